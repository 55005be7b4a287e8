"""The same sentences built and read by pynmeagps, a general library, as a cross-check."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pynmeagps import NMEAMessage, NMEAReader

from alongside.feeds.meanings import MEANINGS, quads
from alongside.feeds.sentence import said_by, sentence
from alongside.units import KNOT

ANGLE = st.integers(0, 3599).map(lambda tenths: tenths / 10.0)
SPEED = st.integers(0, 999).map(lambda tenths: tenths / 10.0)


def fields(line: bytes) -> list[bytes]:
    return said_by(line.rstrip()).split(b",")


@given(ANGLE, SPEED, st.sampled_from("RT"), st.sampled_from("NMK"))
def test_mwv_built_by_pynmeagps(angle: float, speed: float, reference: str, unit: str) -> None:
    built = NMEAMessage(
        "WI", "MWV", 0, angle=angle, reference=reference, speed=speed, speedu=unit, status="A"
    ).serialize()
    said = fields(built)
    factor = {"N": KNOT, "M": 1.0, "K": 1 / 3.6}[unit]
    assert MEANINGS["MWV"]["wind_from"](said, reference.encode()) == pytest.approx(angle, abs=1e-9)
    assert MEANINGS["MWV"]["wind_speed"](said, None) == pytest.approx(speed * factor, abs=1e-9)


@given(ANGLE)
def test_hdt_read_by_pynmeagps(angle: float) -> None:
    line = sentence(f"HEHDT,{angle:.1f},T")
    parsed = NMEAReader.parse(line + b"\r\n")
    assert MEANINGS["HDT"]["heading"](fields(line), None) == pytest.approx(float(parsed.headingT), abs=1e-9)


@given(st.integers(1, 9999), st.integers(-50, 50))
def test_dpt_read_by_pynmeagps(centimetres: int, decimetres: int) -> None:
    line = sentence(f"SDDPT,{centimetres / 100:.2f},{decimetres / 10:.1f},100")
    parsed = NMEAReader.parse(line + b"\r\n")
    expected = float(parsed.depth) + float(parsed.offset)
    assert MEANINGS["DPT"]["depth"](fields(line), None) == pytest.approx(expected, abs=1e-9)


@given(st.lists(st.integers(-9999, 99999), min_size=1, max_size=4))
def test_xdr_read_by_pynmeagps(millimetres: list[int]) -> None:
    body = ",".join(f"D,{value / 1000:.3f},M,G{at}" for at, value in enumerate(millimetres, start=1))
    line = sentence("YXXDR," + body)
    parsed = NMEAReader.parse(line + b"\r\n")
    for at, (kind, value, unit, name) in enumerate(quads(fields(line)), start=1):
        theirs = [getattr(parsed, f"{key}_{at:02d}") for key in ("tdrtype", "data", "dataunit", "tdrid")]
        assert [kind.decode(), value, unit.decode(), name.decode()] == [
            theirs[0],
            float(theirs[1]),
            *theirs[2:],
        ]
