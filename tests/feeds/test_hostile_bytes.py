"""Garbage: never an exception, never a value that no sound sentence gave, always counted."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.feeds.block import frame, one_line_end
from alongside.feeds.flaws import Flaw, Flawed
from alongside.feeds.intake import Intake
from alongside.feeds.lines import LineCutter
from alongside.feeds.sentence import checksum, number, said_by, sentence, split_tags, tag_block, tag_name
from alongside.stay.model import Feed, Source
from tests.feeds.stays import START, stay_with, tide, tide_gauge


@pytest.mark.parametrize(
    "text",
    ["nan", "inf", "-inf", "1e5", "+ 3", " 3", "1_0", "٣", "0x10", "--1", "1.2.3", ".", "-", "9" * 400, "3-"],
)
def test_what_is_not_a_number(text: str) -> None:
    with pytest.raises(ValueError, match=r"not a number|could not convert"):
        number(text.encode())


@pytest.mark.parametrize(
    ("text", "value"), [("12.3", 12.3), ("-0.3", -0.3), ("+5", 5.0), ("007", 7.0), (".5", 0.5), ("5.", 5.0)]
)
def test_what_is_a_number(text: str, value: float) -> None:
    assert number(text.encode()) == value
    assert math.isnan(number(b""))


@given(st.binary(max_size=3000))
def test_checksum_is_the_xor_of_all_bytes(body: bytes) -> None:
    plain = 0
    for byte in body[:1024]:
        plain ^= byte
    assert checksum(body[:1024]) == plain


@pytest.mark.parametrize(
    ("line", "flaw"),
    [
        (b"$WLXDR,D,2.137,M,TIDE*68", Flaw.CHECKSUM),
        (b"$WLXDR,D,2.137,M,TIDE", Flaw.NO_CHECKSUM),
        (b"$WLXDR,D,2.137,M,TI", Flaw.NO_CHECKSUM),
        (b"$WLXDR,D,2.137,M,TIDE*6", Flaw.GARBLED),
        (b"$WLXDR,D,2.137,M,TIDE*6G", Flaw.GARBLED),
        (b"\xff\x00\x81\x7f", Flaw.GARBLED),
        (b"$" + b"A" * 1100 + b"*00", Flaw.OVERLONG),
        (rb"\s:gauges,c:1772424000*00\$WLXDR,D,2.137,M,TIDE*69", Flaw.CHECKSUM),
        (rb"\s:gauges,c:1772424000\$WLXDR,D,2.137,M,TIDE*69", Flaw.NO_CHECKSUM),
        (rb"\s:gauges,c:17724240", Flaw.GARBLED),
        (sentence(b"WLXDR,D,nan,M,TIDE"), Flaw.GARBLED),
        (sentence(b"WLXDR,D,1e1,M,TIDE"), Flaw.GARBLED),
        (sentence(b"WLXDR,D,,M,TIDE"), Flaw.NO_VALUE),
        (sentence(b"WLTXT,1,2,3"), Flaw.UNKNOWN),
    ],
)
def test_a_line_that_is_of_no_use_is_counted_by_kind(line: bytes, flaw: Flaw) -> None:
    intake = Intake(tide_gauge())
    intake.take(START, "gauges", line)
    assert intake.tallies["gauges"][flaw] == 1
    assert np.isnan(intake.readings(np.array([START])).value).all()


@pytest.mark.parametrize(
    "line",
    [
        b"$WLXDR,D,2.1$WLXDR,D,2.137,M,TIDE*69",
        b"\xff\xfe$WLXDR,D,2.137,M,TIDE*69",
        b"$WLXDR,D,2.137,M,TIDE*69 ",
    ],
)
def test_a_whole_sentence_behind_noise_counts(line: bytes) -> None:
    intake = Intake(tide_gauge())
    intake.take(START, "gauges", line)
    assert intake.readings(np.array([START])).value[0, 0] == 2.137


def all_sentences() -> Intake:
    sources = (
        Source("tide", "XDR", names=("A",)),
        Source("draught_fwd", "XDR", names=("A", "B")),
        Source("wind_speed", "MWV"),
        Source("wind_from", "MWV"),
        Source("heading", "THS"),
        Source("current_speed", "VBW"),
        Source("current_to", "VDR"),
        Source("depth", "DPT"),
        Source("heel", group="heel"),
    )
    return Intake(stay_with(Feed("gauges", "udp:1", sources, r"H=(?P<heel>\S+)")))


FIELD = st.one_of(
    st.sampled_from([b"", b"A", b"V", b"R", b"T", b"N", b"M", b"1.5", b"-3", b"nan", b"inf", b"360.1", b"B"]),
    st.binary(max_size=6),
)
ADDRESS = st.sampled_from([b"WIMWV", b"WLXDR", b"HETHS", b"VDVBW", b"VDVDR", b"SDDPT", b"PXYZ", b""])
SOUND = st.builds(
    lambda address, rest: sentence(b",".join([address, *rest])), ADDRESS, st.lists(FIELD, max_size=9)
)
HALF = st.builds(lambda line, n: line[:n], SOUND, st.integers(0, 40))
LINE = st.one_of(SOUND, HALF, st.binary(max_size=60), st.builds(lambda b: b"H=" + b, st.binary(max_size=9)))


@given(st.lists(LINE, max_size=12))
def test_nothing_raises_and_no_value_is_infinite(lines: list[bytes]) -> None:
    intake = all_sentences()
    for at, line in enumerate(lines):
        intake.take(START + at, "gauges", line)
    readings = intake.readings(np.arange(START, START + 13.0))
    assert intake.heard["gauges"] == len(lines)
    assert not np.isinf(readings.value).any()
    assert (np.isnan(readings.value) == (readings.quality == 2)).all()


@given(st.floats(-4, 19), st.data())
def test_one_flipped_bit_is_never_believed(metres: float, data: st.DataObject) -> None:
    """XOR finds every single flipped bit."""
    line = bytearray(tide(metres))
    at = data.draw(st.integers(1, len(line) - 4))
    line[at] ^= 1 << data.draw(st.integers(0, 7))
    intake = Intake(tide_gauge())
    intake.take(START, "gauges", bytes(line))
    assert np.isnan(intake.readings(np.array([START])).value).all()


TAGGED = st.builds(
    lambda tags, line: b"".join(tags) + line.replace(b"\n", b"").replace(b"\r", b""),
    st.lists(
        st.one_of(
            st.builds(
                lambda n, t, by: tag_block(tag_name(n), t, by),
                st.text(max_size=8),
                st.integers(0, 2**33),
                st.sampled_from(["", "10.0.0.5", "fe80::1", "x", "1", "1" * 46, "10.0.0.5,n:3"]),
            ),
            st.sampled_from([b"\\s:a*34\\", b"\\", b"\\x\\", b"\\s:a,c:12*3\\", b"\\s:a,c:1:2345678*55\\"]),
        ),
        max_size=2,
    ),
    st.one_of(SOUND, HALF, st.binary(max_size=30)),
)


@given(st.lists(TAGGED, min_size=1, max_size=8))
def test_framing_a_block_agrees_with_framing_line_by_line(lines: list[bytes]) -> None:
    block = b"".join(line + b"\n" for line in lines)
    framed = frame(block)
    filled = [line for line in lines if line]
    assert len(framed.start) == len(filled)
    for at, line in enumerate(filled):
        start, body, end = int(framed.start[at]), int(framed.body[at]), int(framed.end[at])
        assert block[start:end] == line
        if framed.plain[at]:
            (time, source, sender, *_), rest = split_tags(line)
            assert (time, source) == (framed.time[at], line[3 : int(framed.comma[at]) - start])
            assert sender.encode() == block[int(framed.sender[at]) : int(framed.star[at])]
            assert block[body:end] == rest
        if framed.sound[at]:
            assert said_by(block[body:end]) == block[body + 1 : end - 3]


def test_framing_a_block_finds_what_is_sound_and_plain() -> None:
    line = tag_block(b"gauges", START) + tide(2.0)
    framed = frame(one_line_end(line + b"\r\n" + line + b"\n\n" + tide(3.0) + b"\r"))
    assert framed.sound.tolist() == [True, True, True]
    assert framed.plain.tolist() == [True, True, False]
    assert framed.time[:2].tolist() == [START, START]


@given(st.lists(st.binary(max_size=40), max_size=20), st.integers(1, 7))
def test_lines_do_not_depend_on_the_pieces_they_come_in(lines: list[bytes], size: int) -> None:
    stream = b"\r\n".join(lines) + b"\n"
    whole, piecewise = LineCutter().cut(stream), LineCutter()
    pieces = [line for at in range(0, len(stream), size) for line in piecewise.cut(stream[at : at + size])]
    assert pieces == whole


def test_an_endless_line_comes_out_once_and_is_over_long() -> None:
    cutter = LineCutter()
    lines = [line for _ in range(100) for line in cutter.cut(b"x" * 100)] + cutter.cut(
        b"\n" + tide(2.0) + b"\n"
    )
    assert len(lines) == 2
    with pytest.raises(Flawed, match="over-long"):
        said_by(lines[0])
    assert lines[1] == tide(2.0)
