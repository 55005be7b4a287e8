"""What sentences say. Values from makers' manuals and logs as published there; units are exact."""

import math

import numpy as np
import pytest

from alongside.feeds.intake import Intake
from alongside.feeds.meanings import MEANINGS, quads, zda_time
from alongside.feeds.sentence import said_by, split_tags, tag_block
from alongside.stay.model import Feed, Source
from alongside.units import KNOT, unix_time
from tests.feeds.stays import START, one_channel, stay_with


def fields(line: str) -> list[bytes]:
    return said_by(line.encode()).split(b",")


@pytest.mark.parametrize(
    ("line", "channel", "expected"),
    [
        ("$IIMWV,338,R,13.41,N,A*2C", "wind_from", 338.0),
        ("$IIMWV,338,R,13.41,N,A*2C", "wind_speed", 13.41 * KNOT),
        ("$WIMWV,100.2,T,11.5,N,A*13", "wind_from", 100.2),
        ("$WIMWV,100.2,T,11.5,N,A*13", "wind_speed", 11.5 * KNOT),
        ("$WIMWD,326.6,T,325.2,M,11.4,N,5.9,M*65", "wind_from", 326.6),
        ("$WIMWD,326.6,T,325.2,M,11.4,N,5.9,M*65", "wind_speed", 5.9),
        ("$HEHDT,4.0,T*2B", "heading", 4.0),
        ("$IIVDR,10.1,T,12.3,M,1.2,N*3A", "current_to", 10.1),
        ("$IIVDR,10.1,T,12.3,M,1.2,N*3A", "current_speed", 1.2 * KNOT),
        ("$SDDPT,17.5,-0.3,100*57", "depth", 17.2),
    ],
)
def test_published_sentences(line: str, channel: str, expected: float) -> None:
    said = fields(line)
    assert MEANINGS[said[0][2:].decode()][channel](said, None) == pytest.approx(expected, abs=1e-12)


@pytest.mark.parametrize("channel", ["wind_from", "wind_speed"])
def test_published_mwv_that_says_invalid_gives_nothing(channel: str) -> None:
    assert math.isnan(MEANINGS["MWV"][channel](fields("$WIMWV,,T,,N,V*32"), None) or 0.0)


def test_published_zda() -> None:
    said = fields("$GPZDA,160012.71,11,03,2004,-1,00*7D")
    assert zda_time(said) == pytest.approx(unix_time("2004-03-11T16:00:12.710Z"), abs=1e-6)


def test_published_xdr_has_all_its_quads() -> None:
    line = "$HCXDR,A,171,D,PITCH,A,-37,D,ROLL,G,367,,MAGX,G,2420,,MAGY,G,-8984,,MAGZ*41"
    assert quads(fields(line)) == [
        (b"A", 171.0, b"D", b"PITCH"),
        (b"A", -37.0, b"D", b"ROLL"),
        (b"G", 367.0, b"", b"MAGX"),
        (b"G", 2420.0, b"", b"MAGY"),
        (b"G", -8984.0, b"", b"MAGZ"),
    ]


def reading(source: Source, line: str) -> float:
    intake = Intake(one_channel(source))
    intake.take(START, "gauges", line.encode())
    return float(intake.readings(np.array([START])).column(source.channel)[0])


DRAUGHTS = "$YXXDR,D,8.42,M,DRFP,D,8.40,M,DRFS,D,9.11,M,DRAP,D,9.08,M,DRAS*45"
LOADS = "$YXXDR,N,245000,N,L01,N,251300,N,L02,N,198700,N,L03,N,240900,N,L04*45"


@pytest.mark.parametrize(
    ("source", "line", "expected"),
    [
        (Source("tide", "XDR", names=("TIDE",)), "$WLXDR,D,2.137,M,TIDE*69", 2.137),
        (Source("draught_fwd", "XDR", names=("DRFP", "DRFS")), DRAUGHTS, 8.41),
        (Source("draught_aft", "XDR", names=("DRAS", "DRAP")), DRAUGHTS, 9.095),
        (Source("draught_mid_port", "XDR", names=("DRFP",), scale=2.0, offset=-0.5), DRAUGHTS, 16.34),
        (Source("tension.3", "XDR", names=("L03",), scale=0.001), LOADS, 198.7),
    ],
)
def test_published_xdr_by_name_scale_and_offset(source: Source, line: str, expected: float) -> None:
    """Sentences as published; means and scaling ours."""
    assert reading(source, line) == pytest.approx(expected, abs=1e-12)


def test_a_mean_needs_every_transducer() -> None:
    assert math.isnan(reading(Source("draught_fwd", "XDR", names=("DRFP", "DRXX")), DRAUGHTS))


def test_published_tag_block() -> None:
    line = rb"\s:WI0001,n:23,c:1714564800*56\$WIMWV,214.8,R,12.3,N,A*1C"
    (time, source, *_), rest = split_tags(line)
    assert (time, source) == (1714564800.0, b"WI0001")
    assert said_by(rest) == b"WIMWV,214.8,R,12.3,N,A"


def test_published_tag_block_followed_by_another_loses_to_the_first() -> None:
    """The block in front is a recorder's."""
    came_in = rb"\s:WI0001,n:23,c:1714564800*56\$WIMWV,214.8,R,12.3,N,A*1C"
    line = tag_block(b"wind", 1714564812.345) + came_in
    (time, source, *_), rest = split_tags(line)
    assert (time, source) == (pytest.approx(1714564812.345, abs=1e-6), b"wind")
    assert rest.startswith(b"$WIMWV")


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("WIMWV,338,R,13.41,N,A", 13.41 * 1852.0 / 3600.0),
        ("WIMWV,338,R,36.0,K,A", 10.0),
        ("WIMWV,338,R,10.0,M,A", 10.0),
        ("WIMWV,338,R,10.0,S,A", 4.4704),
    ],
)
def test_units_of_mwv(line: str, expected: float) -> None:
    """Ours: knot, km/h, m/s, statute mile an hour by their definitions."""
    said = line.encode().split(b",")
    assert MEANINGS["MWV"]["wind_speed"](said, None) == pytest.approx(expected, abs=1e-12)


@pytest.mark.parametrize(
    ("heading_line", "bearing", "line", "expected"),
    [
        (b"", 90.0, b"$IIMWV,338,R,13.41,N,A*2C", 68.0),
        (b"$HEHDT,4.0,T*2B", 90.0, b"$IIMWV,338,R,13.41,N,A*2C", 342.0),
        (b"$HEHDT,4.0,T*2B", 90.0, b"$WIMWV,100.2,T,11.5,N,A*13", 104.2),
    ],
)
def test_mwv_becomes_true_by_the_heading(
    heading_line: bytes, bearing: float, line: bytes, expected: float
) -> None:
    """Ours: angle off the bow + heading; without a gyro that of the berth. T is off the bow as well."""
    wind = Source("wind_from", "MWV")
    feed = Feed("all", "udp:1", (wind, Source("heading", "HDT")) if heading_line else (wind,))
    intake = Intake(stay_with(feed, bearing_of_x=bearing))
    if heading_line:
        intake.take(START, "all", heading_line)
    intake.take(START, "all", line)
    value = intake.readings(np.array([START])).column("wind_from")[0]
    assert value == pytest.approx(expected, abs=1e-9)


def test_mwd_is_true_already() -> None:
    value = reading(Source("wind_from", "MWD"), "$WIMWD,326.6,T,325.2,M,11.4,N,5.9,M*65")
    assert value == pytest.approx(326.6, abs=1e-9)


@pytest.mark.parametrize(
    ("reference", "line", "expected"),
    [
        (None, "$SDDPT,17.5,-0.3,100*57", 17.2),
        ("keel", "$SDDPT,17.5,-0.3,100*57", 17.2),
        ("transducer", "$SDDPT,17.5,-0.3,100*57", 17.5),
        ("waterline", "$SDDPT,17.5,-0.3,100*57", None),
        ("waterline", "$SDDPT,17.5,4.5,100*78", 22.0),
        ("keel", "$SDDPT,17.5,4.5,100*78", None),
    ],
)
def test_sign_of_the_offset_in_dpt(reference: str | None, line: str, expected: float | None) -> None:
    value = MEANINGS["DPT"]["depth"](fields(line), reference.encode() if reference else None)
    assert value == (None if expected is None else pytest.approx(expected, abs=1e-12))


@pytest.mark.parametrize(
    ("body", "formatter", "channel", "expected"),
    [
        (b"HETHS,77.5,A", "THS", "heading", 77.5),
        (b"HETHS,77.5,E", "THS", "heading", None),
        (b"HETHS,77.5,S", "THS", "heading", None),
        (b"HETHS,,V", "THS", "heading", None),
        (b"SDDBT,12.3,f,3.75,M,2.05,F", "DBT", "depth", 3.75),
        (b"SDDBT,10.0,f,,M,,F", "DBT", "depth", 3.048),
        (b"SDDBT,,f,,M,2.0,F", "DBT", "depth", 3.6576),
        (b"SDDBT,,f,,M,,F", "DBT", "depth", None),
        (b"VDVBW,-0.3,0.4,A,0.0,0.0,A,,V,,V", "VBW", "current_speed", 0.5 * KNOT),
        (b"VDVBW,-1.0,0.0,A,0.0,0.0,A,,V,,V", "VBW", "current_to", 0.0),
        (b"VDVBW,0.0,1.0,A,0.0,0.0,A,,V,,V", "VBW", "current_to", 270.0),
        (b"VDVBW,-1.0,0.0,V,0.0,0.0,A,,V,,V", "VBW", "current_speed", None),
        (b"WIMWD,326.6,T,325.2,M,11.4,N,,M", "MWD", "wind_speed", 11.4 * KNOT),
        (b"WIMWD,,T,325.2,M,11.4,N,5.9,M", "MWD", "wind_from", None),
    ],
)
def test_other_sentences(body: bytes, formatter: str, channel: str, expected: float | None) -> None:
    """Ours, on the definitions of the standard; None for no value. A ship that lies still and logs 1 kn
    astern has the current running ahead; logging 1 kn to starboard, it runs to port."""
    value = MEANINGS[formatter][channel](body.split(b","), None)
    assert value is not None
    if expected is None:
        assert math.isnan(value)
    else:
        assert value == pytest.approx(expected, abs=1e-12)
