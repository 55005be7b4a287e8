"""A million mutated lines against a plain reader of our own: no fault of ours, no wrong figure uncounted."""

import math
import random
import re
from collections.abc import Callable

import pytest

from alongside.feeds.intake import Intake
from alongside.feeds.sentence import sentence, tag_block
from alongside.stay.feeds import source_of
from alongside.stay.model import Feed, Stay
from tests.feeds.stays import START, stay_with

SENDERS = ("10.0.0.5", "10.0.0.5", "10.0.0.5", "10.0.0.7")
NUMBER = re.compile(rb"[-+]?(\d+\.?\d*|\.\d+)")
NOISE = b"$!*,\\.-+0123456789eEnaifxMFDATV\x00\xff "
UNITS = {"tide": b"M", "draught_fwd": b"M", "heel": b"D"}
NAMES = {"tide": b"TIDE", "draught_fwd": b"DRF", "heel": b"HEEL"}


def stay() -> Stay:
    sources = [
        source_of(channel, {"sentence": "XDR", "name": (name.decode(),)}) for channel, name in NAMES.items()
    ]
    sources += [source_of("wind_speed", {"sentence": "MWV"}), source_of("heading", {"sentence": "HDT"})]
    return stay_with(Feed("net", "udp:1", tuple(sources)))


def original(chance: random.Random) -> bytes:
    """A right sentence of a gauge, now and then behind a TAG block of its own."""
    value = chance.uniform(-3.0, 20.0)
    text = chance.choice(
        [
            f"WLXDR,D,{value:.3f},M,TIDE",
            f"YXXDR,D,{value:.2f},M,DRF,A,{value / 4:.1f},D,HEEL",
            f"YXXDR,A,{value:.1f},D,HEEL,D,,M,DRF,D,{value:.1f},M,TIDE",
            f"WIMWV,{abs(value) * 9:.1f},R,{abs(value):.1f},{chance.choice('NMKS')},A",
            f"HEHDT,{abs(value) * 10:.1f},T",
        ]
    )
    tags = tag_block(b"GA0001", START) if chance.random() < 0.1 else b""
    return tags + sentence(text)


def flipped(line: bytearray, chance: random.Random) -> None:
    line[chance.randrange(len(line))] ^= 1 << chance.randrange(8)


def cut(line: bytearray, chance: random.Random) -> None:
    del line[chance.randrange(len(line)) :]


def without_a_piece(line: bytearray, chance: random.Random) -> None:
    at = chance.randrange(len(line))
    del line[at : at + chance.randrange(1, 6)]


def with_noise(line: bytearray, chance: random.Random) -> None:
    at = chance.randrange(len(line) + 1)
    line[at:at] = bytes(
        chance.choice(b"$!*,\\.-+0123456789eEnaifxMFDATV\x00\xff ") for _ in range(chance.randrange(1, 5))
    )


def exchanged(line: bytearray, chance: random.Random) -> None:
    """Two bytes change places: the checksum does not see it."""
    a, b = chance.randrange(len(line)), chance.randrange(len(line))
    line[a], line[b] = line[b], line[a]


def doubled(line: bytearray, chance: random.Random) -> None:
    line += line[chance.randrange(len(line)) :]


def summed_again(line: bytearray, chance: random.Random) -> None:
    """Something else in it, and the checksum right for it: a gauge that says something odd."""
    begin = line.rfind(b"$")
    body = bytearray(line[begin + 1 :].partition(b"*")[0])
    if begin >= 0 and body:
        with_noise(body, chance)
        line[begin:] = sentence(bytes(body))


MUTATIONS: list[Callable[[bytearray, random.Random], None]] = [
    flipped, cut, without_a_piece, with_noise, exchanged, doubled, summed_again, summed_again,
]  # fmt: skip


def body_of(line: bytes) -> bytes | None:
    """What a line says by a reading of the rules that shares no code with the program; None for nothing."""
    while line.startswith(b"\\"):
        block, closed, line = line[1:].partition(b"\\")
        text, star, digits = block[:-3], block[-3:-2], block[-2:]
        if not closed or star != b"*" or not is_sum_of(text, digits):
            return None
    line = line.rstrip(b"\r\n\t \0")
    begin = max(line.rfind(b"$"), line.rfind(b"!"))
    text, star, digits = line[begin + 1 :].partition(b"*")
    if begin < 0 or not star or not text or not is_sum_of(text, digits):
        return None
    return text if all(32 <= byte < 127 for byte in line[begin:]) else None


def is_sum_of(text: bytes, digits: bytes) -> bool:
    total = 0
    for byte in text:
        total ^= byte
    return digits in (f"{total:02X}".encode(), f"{total:02x}".encode())


def figure(field: bytes) -> float:
    return float(field) if len(field) <= 24 and NUMBER.fullmatch(field) else math.nan


def meant(line: bytes) -> dict[str, float]:
    """The raw value of each channel that a line gives; NaN for none, infinite for one in a wrong unit."""
    body = body_of(line)
    if body is None:
        return {}
    fields = body.split(b",")
    kind = fields[0].decode()[2:] if not fields[0].startswith(b"P") else ""
    given: dict[str, float] = {}
    if kind == "XDR":
        for at in range(1, len(fields) - 3, 4):
            _, value, unit, name = fields[at : at + 4]
            for channel, mine in NAMES.items():
                if name == mine and channel not in given:
                    right = unit in (b"", UNITS[channel])
                    given[channel] = figure(value) if right else math.inf
    elif kind == "MWV":
        by = {b"N": 1852.0 / 3600.0, b"M": 1.0, b"K": 1 / 3.6, b"S": 1609.344 / 3600.0}
        right = len(fields) > 5 and fields[5] == b"A" and fields[4] in by and figure(fields[3]) >= 0.0
        given["wind_speed"] = figure(fields[3]) * by[fields[4]] if right else math.nan
    elif kind == "HDT":
        right = len(fields) > 2 and fields[2] == b"T" and 0.0 <= figure(fields[1]) <= 360.0
        given["heading"] = figure(fields[1]) if right else math.nan
    return given


def lives_through(count: int, seed: int) -> int:
    """Put so many mutated lines into an intake; return how many gave a value."""
    chance, intake, used = random.Random(seed), Intake(stay()), 0
    tally = intake.tallies["net"]
    for channel in intake._channels:  # the right one was first
        channel.samples.senders.hearing.hear(START, SENDERS[0])
        assert channel.samples.senders.admits(START)
    for k in range(count):
        line = bytearray(original(chance))
        for _ in range(chance.randrange(1, 3)):
            if line:
                chance.choice(MUTATIONS)(line, chance)
        text, sender, before = bytes(line), chance.choice(SENDERS), sum(tally.values())
        intake.take(START + k * 1e-3, "net", text, sender)
        got = {samples.source.channel: value for samples, _, value in intake.newest_raw()}
        expected = meant(text) if sender == SENDERS[0] else {}
        assert got.keys() == expected.keys(), (text, got, expected)
        for channel, value in got.items():
            assert value == pytest.approx(expected[channel], rel=1e-12, nan_ok=True), (text, channel)
        refused = body_of(text) is None or not all(math.isfinite(value) for value in got.values())
        assert not refused or sum(tally.values()) > before, f"not counted: {text!r}"
        used += any(math.isfinite(value) for value in got.values())
    assert intake.heard["net"] == count
    return used


def test_some_thousand() -> None:
    assert lives_through(4_000, 1) > 100


@pytest.mark.slow
def test_a_million() -> None:
    assert sum(lives_through(100_000, seed) for seed in range(10)) > 10_000
