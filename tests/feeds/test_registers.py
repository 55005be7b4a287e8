"""Registers of a stay file: where a number stands, in which order its bytes come, what goes on record."""

import struct
from pathlib import Path
from typing import Final

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.errors import StayFaults
from alongside.feeds.flaws import Flaw
from alongside.feeds.intake import Intake
from alongside.feeds.log import FeedLog
from alongside.feeds.modbus import Block, blocks_of
from alongside.feeds.registers import line_of_fault, line_of_registers
from alongside.feeds.sentence import checksum, sentence
from alongside.stay.model import Feed, Register, Source, Stay
from alongside.stay.ports import ModbusPort, ModbusSerialPort, parse_port
from alongside.stay.registers import TYPES, WORDS, number_of, orders_of
from alongside.stay.registers import registers_of as written_as
from tests.berth import STAY_TEXT, a_stay
from tests.feeds.stays import START, stay_with, write_log

HEAD: Final = STAY_TEXT[: STAY_TEXT.index("feeds:")]
FLOAT: Final = 'example: {shows: "47F1 2000", for: 123456.0}'


def modbus_stay(folder: Path, channels: str, port: str = "modbus:127.0.0.1", more: str = "") -> Stay:
    feed = f"  - name: plc\n    port: {port}\n    channels: {{{channels}}}\n{more}"
    return a_stay(folder, f"{HEAD}feeds:\n{feed}balance: off\n")


def register(folder: Path, keys: str) -> Register:
    (feed,) = modbus_stay(folder, f"tide: {{register: {{{keys}}}}}").feeds
    found = feed.channels[0].register
    assert found is not None
    return found


def registers_of(data: bytes) -> list[int]:
    return list(struct.unpack(f">{len(data) // 2}H", data))


@pytest.mark.parametrize(
    ("shows", "order"),
    [
        ("47F1 2000", (0, 1, 2, 3)),
        ("F147 0020", (1, 0, 3, 2)),
        ("2000 47F1", (2, 3, 0, 1)),
        ("0020 F147", (3, 2, 1, 0)),
    ],
)
def test_the_order_follows_from_an_example(tmp_path: Path, shows: str, order: tuple[int, ...]) -> None:
    """123456.0 is 47F12000 in IEEE 754: exact."""
    example = f'table: input, address: 0, type: float32, example: {{shows: "{shows}", for: 123456.0}}'
    found = register(tmp_path, example)
    assert found.order == order
    assert number_of(registers_of(bytes.fromhex(shows)), "float32", found.order) == 123456.0


@given(st.sampled_from(TYPES), st.integers(0, 3), st.data())
def test_a_number_is_read_back_from_whatever_order_it_comes_in(
    kind: str, way: int, data: st.DataObject
) -> None:
    """Packed by Python's own library."""
    words = WORDS[kind]
    orders = orders_of(words)
    order = orders[way % len(orders)]
    form = {"int": "hiq", "uin": "HIQ", "flo": " fd"}[kind[:3]][{1: 0, 2: 1, 4: 2}[words]]
    raw = data.draw(st.binary(min_size=2 * words, max_size=2 * words))
    (number,) = struct.unpack(f">{form}", raw)
    came = bytearray(2 * words)
    for place, byte in zip(order, raw, strict=True):
        came[place] = byte
    read = number_of(registers_of(bytes(came)), kind, order)
    assert read == float(number) or (number != number and read != read)
    if kind in ("int64", "uint64") or number != number:
        return  # more digits than a float has, and a NaN of any kind
    assert written_as(number, kind, order) == registers_of(bytes(came)), "and written as it came"


@pytest.mark.parametrize(("number", "kind"), [(40_000, "int16"), (-1, "uint16"), (1e39, "float32")])
def test_a_number_that_registers_do_not_hold_is_not_written(number: float, kind: str) -> None:
    with pytest.raises(OverflowError):
        written_as(number, kind, orders_of(WORDS[kind])[0])


def test_a_rounded_example_still_says_the_order(tmp_path: Path) -> None:
    """What a display shows is rounded: 2.45 for 401CCCCD, which is 2.4500000477."""
    for number in ("2.45", "2.5", "2.450"):
        keys = f'table: input, address: 0, type: float32, example: {{shows: "CCCD 401C", for: {number}}}'
        assert register(tmp_path, keys).order == (2, 3, 0, 1)


FAULTS: Final = (
    ("table: input, address: 0, type: float32", "example: missing, expected what 2 registers show"),
    (f"table: input, address: 40001, type: float32, {FLOAT}", "expected 0 of table holding, or 0x9C41"),
    (f"table: input, address: 30011, type: float32, {FLOAT}", "expected 10 of table input, or 0x753B"),
    (f"table: input, address: 400002, type: float32, {FLOAT}", "expected 1 of table holding"),
    (f"table: input, address: 65536, type: float32, {FLOAT}", "is no address"),
    (f"table: coil, address: 0, type: float32, {FLOAT}", "expected holding or input"),
    (f"table: input, address: 0, type: int64, {FLOAT}", "2 registers, expected 4: int64 takes as many"),
    (
        'table: input, address: 0, type: float32, example: {shows: "47F1 2000", for: 12.5}',
        "read as float32 it is 123456 or",
    ),
    (
        'table: input, address: 0, type: int32, example: {shows: "0000 0000", for: 0}',
        "fits 4 orders of the bytes (as they come, bytes exchanged, last register first, last byte first)",
    ),
    (
        'table: input, address: 0, type: uint32, example: {shows: "0101 0202", for: 16843266}',
        "fits 2 orders of the bytes (as they come, bytes exchanged), expected a number whose bytes all",
    ),
    ('table: input, address: 0, type: int16, example: {shows: "xyz", for: 1}', "shows no registers"),
    ('table: input, address: 0, type: int16, example: {shows: "0001", for: much}', "is no number"),
)


@pytest.mark.parametrize(("keys", "says"), FAULTS)
def test_what_leaves_the_number_open_is_a_fault(tmp_path: Path, keys: str, says: str) -> None:
    with pytest.raises(StayFaults) as raised:
        register(tmp_path, keys)
    assert says in str(raised.value)


def test_an_address_in_hexadecimal_is_meant_as_it_stands(tmp_path: Path) -> None:
    assert register(tmp_path, "table: holding, address: 0x9C41, type: int16").address == 40001
    assert register(tmp_path, "table: holding, address: 9999, type: int16").address == 9999


def test_what_has_no_meaning_beside_registers_is_a_fault(tmp_path: Path) -> None:
    one = "tide: {register: {table: input, address: 0, type: int16}}"
    for channels, port, more, says in (
        ("tide: {sentence: XDR, name: T}", "modbus:a", "", "a Modbus device has registers only"),
        (one, "tcp:a:1", "", "register: only a Modbus device has registers"),
        (one, "modbus:a", "    decimal: comma\n", "decimal of registers"),
        (one, "modbus:a", '    poll: {prompt: "x"}\n', "registers are asked for without one"),
        ("tide: {sentence: MWV}", "tcp:a:1", "    poll: {every_s: 2}\n", "prompt: missing"),
    ):
        with pytest.raises(StayFaults) as raised:
            modbus_stay(tmp_path, channels, port, more)
        assert says in str(raised.value)


def test_ports() -> None:
    assert parse_port("modbus:192.168.1.30") == ModbusPort("192.168.1.30", 502)
    assert parse_port("modbus:box:5020?from=10.0.0.1") == ModbusPort("box", 5020, "10.0.0.1")
    assert parse_port("modbus:[fe80::1]") == ModbusPort("fe80::1", 502)
    assert parse_port("modbus-rtu:/dev/ttyS0") == ModbusSerialPort("/dev/ttyS0", 19200, 8, "E", 1)
    other = parse_port("modbus-rtu:/dev/ttyS0?baud=9600&parity=N&stop=2")
    assert other == ModbusSerialPort("/dev/ttyS0", 9600, 8, "N", 2)
    for text in ("modbus:", "modbus:a:0", "modbus-rtu:?baud=9600", "modbus-rtu:/dev/x?baud=1"):
        with pytest.raises(ValueError, match="expected"):
            parse_port(text)


CHANNELS: Final = (
    f"tide: {{register: {{table: input, address: 0, type: float32, {FLOAT}}}, smooth_s: 0}}, "
    "draught_fwd: {register: {table: input, address: 2, type: uint16}, scale: 0.01, smooth_s: 0}, "
    "draught_aft: {register: {table: holding, address: 7, type: uint16}, unit: uA, ma: [0, 16], "
    "smooth_s: 0}, "
    "heel: {register: {table: input, address: 3, type: int16, station: 2}, scale: 0.1, smooth_s: 0}"
)


def test_registers_that_follow_one_another_are_asked_for_at_once(tmp_path: Path) -> None:
    (feed,) = modbus_stay(tmp_path, CHANNELS).feeds
    blocks = blocks_of(feed)
    assert [(b.station, b.table, b.address, b.count) for b in blocks] == [
        (1, "holding", 7, 1),
        (1, "input", 0, 3),
        (2, "input", 3, 1),
    ]
    assert isinstance(blocks[0], Block)
    assert [channel for channel, _ in blocks[1].channels] == ["tide", "draught_fwd"]


def lines_for(stay: Stay, **values: list[int]) -> list[bytes]:
    (feed,) = stay.feeds
    registers = {source.channel: source.register for source in feed.channels}
    return [line_of_registers(channel, registers[channel], came) for channel, came in values.items()]  # type: ignore[arg-type]


def played(folder: Path, stay: Stay, lines: list[bytes]) -> tuple[Intake, dict[str, float]]:
    intake = Intake(stay)
    for batch in FeedLog(write_log(folder / "a.log", ((START, "plc", line) for line in lines))):
        intake.take_batch(batch)
    readings = intake.readings(np.array([START + 1.0]))
    return intake, {name: float(readings.column(name)[0]) for name in intake.channels}


def test_a_record_is_read_without_a_device(tmp_path: Path) -> None:
    stay = modbus_stay(tmp_path, CHANNELS)
    came = {"tide": [0x401C, 0xCCCD], "draught_fwd": [700], "draught_aft": [12000], "heel": [65521]}
    lines = lines_for(stay, **came)
    assert lines[0].startswith(b"$IIXDR,G,2.45000005,,tide,G,16412,,tide.0,G,52429,,tide.1*")
    _, read = played(tmp_path, stay, lines)
    expected = {"tide": 2.450000047683716, "draught_fwd": 7.0, "draught_aft": 8.0, "heel": -1.5}
    assert {name: read[name] for name in expected} == pytest.approx(expected, abs=1e-12)


@pytest.mark.parametrize(
    ("microamperes", "value"),
    [(3800, -0.2), (20500, 16.5), (3600, None), (3799, None), (21000, None), (20501, None), (0, None)],
)
def test_namur_limits_of_a_current_loop(tmp_path: Path, microamperes: int, value: float | None) -> None:
    """NAMUR NE 43, from memory: 3.8 to 20.5 mA is measured; from 3.6 down and from 21 up a fault."""
    channel = "heel: {register: {table: input, address: 0, type: uint16}, unit: uA, ma: [0, 16], smooth_s: 0}"
    stay = modbus_stay(tmp_path, channel)
    intake, read = played(tmp_path, stay, lines_for(stay, heel=[microamperes]))
    if value is None:
        assert np.isnan(read["heel"])
        assert intake.tallies["plc"][Flaw.LOOP] == 1
    else:
        assert read["heel"] == pytest.approx(value, abs=1e-9)


def test_faults_are_counted_by_name_and_are_no_figures(tmp_path: Path) -> None:
    stay = modbus_stay(tmp_path, CHANNELS)
    nan = [0x7FC0, 0]
    lines = [
        line_of_fault("tide", "no answer"),
        line_of_fault("tide", "exception 2, no such address"),
        line_of_fault("tide", "1 registers, 2 asked for"),
        *lines_for(stay, tide=nan),
    ]
    intake, read = played(tmp_path, stay, lines)
    assert np.isnan(read["tide"])
    tally = intake.tallies["plc"]
    assert (tally[Flaw.NO_ANSWER], tally[Flaw.EXCEPTION], tally[Flaw.GARBLED]) == (1, 1, 1)
    assert tally[Flaw.NO_VALUE] == 1


def test_a_sentence_with_too_few_registers_is_garbled(tmp_path: Path) -> None:
    stay = modbus_stay(tmp_path, CHANNELS)
    short = lines_for(stay, draught_fwd=[700])[0].replace(b"draught_fwd", b"tide")
    intake, read = played(tmp_path, stay, [sentence(short[1:-3])])
    assert np.isnan(read["tide"])
    assert intake.tallies["plc"][Flaw.GARBLED] == 1


@given(st.lists(st.binary(max_size=12), max_size=12))
def test_nothing_that_a_sentence_holds_raises(fields: list[bytes]) -> None:
    of = Register("input", 0, "float32", (0, 1, 2, 3))
    intake = Intake(stay_with(Feed("plc", "modbus:a", (Source("tide", "XDR", register=of),))))
    body = b",".join([b"IIXDR,G,1,,tide", *fields])
    for line in (b"$%s*%02X" % (body, checksum(body)), b"modbus tide: " + body):
        intake.take(START, "plc", line)
    intake.readings(np.array([START + 1.0]))
