"""Units of XDR: brought to the channel's unit, or refused and counted; never a wrong figure."""

import math
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.errors import StayFaults
from alongside.feeds.flaws import Flaw
from alongside.feeds.intake import Intake
from alongside.feeds.listen import Listening, table
from alongside.feeds.sentence import sentence
from alongside.readings import Quality, Reason
from alongside.stay.channels import CHANNELS, kind_of
from alongside.stay.feeds import source_of
from alongside.stay.model import Feed, Stay
from alongside.units import KNOT
from tests.berth import STAY_TEXT, a_stay
from tests.feeds.stays import START, stay_with


def stay(channel: str, **given_keys: object) -> Stay:
    source = source_of(channel, {"sentence": "XDR", "name": ("X",), "smooth_s": 0.0, **given_keys})
    return stay_with(Feed("gauges", "udp:1", (source,)))


def heard(channel: str, kind: str, comes: str, raw: str = "2.5", **given_keys: object) -> Intake:
    intake = Intake(stay(channel, **given_keys))
    intake.take(START, "gauges", sentence(f"YXXDR,{kind},{raw},{comes},X"))
    return intake


def value(intake: Intake) -> float:
    return float(intake.readings(np.array([START])).value[0, 0])


@pytest.mark.parametrize(
    ("channel", "kind", "unit", "expected"),
    [
        ("tide", "D", "M", 2.5),
        ("draught_fwd", "D", "M", 2.5),
        ("heel", "A", "D", 2.5),
        ("tension.1", "N", "N", 0.0025),
        ("wind_speed", "G", "N", 2.5 * KNOT),
        ("wind_speed", "G", "M", 2.5),
        ("wind_speed", "G", "K", 2.5 / 3.6),
        ("tide", "D", "", 2.5),
        ("tension.1", "G", "", 2.5),
    ],
)
def test_the_letters_of_the_standard(channel: str, kind: str, unit: str, expected: float) -> None:
    """From memory: M metres, D degrees, N newtons of IEC 61162-1; N knots, K km/h, M m/s of its MWV."""
    assert value(heard(channel, kind, unit)) == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize(
    ("channel", "kind", "unit"),
    [("tide", "D", "F"), ("tide", "D", "f"), ("tide", "D", "I"), ("tide", "P", "B"),
     ("heel", "A", "M"), ("heel", "A", "R"), ("tension.1", "N", "K"), ("wind_speed", "G", "D"),
     ("depth", "D", "m")],
)  # fmt: skip
def test_any_other_is_refused_counted_and_said(channel: str, kind: str, unit: str) -> None:
    intake = heard(channel, kind, unit)
    readings = intake.readings(START + np.arange(2.0))
    assert math.isnan(readings.value[0, 0])
    assert intake.tallies["gauges"] == {Flaw.UNIT: 1}
    for k in range(1, 700):
        intake.take(START + k, "gauges", sentence(f"YXXDR,{kind},2.5,{unit},X"))
    readings = intake.readings(np.array([START + 700.0]))
    assert readings.quality[0, 0] == Quality.LOST
    assert readings.reason[0, 0] == Reason.WRONG_UNIT


def test_a_gauge_that_changes_to_feet_becomes_doubtful_and_keeps_its_last_metres() -> None:
    intake = Intake(stay("tide"))
    for k in range(20):
        unit = "M" if k < 10 else "F"
        intake.take(START + k, "gauges", sentence(f"YXXDR,D,{2.5 if k < 10 else 8.2},{unit},X"))
    readings = intake.readings(START + np.arange(20.0))
    assert readings.value[:, 0].tolist() == [2.5] * 20
    assert readings.reason[12:, 0].tolist() == [Reason.WRONG_UNIT] * 8
    assert readings.quality[19, 0] == Quality.SUSPECT


def test_what_the_stay_file_names_is_what_counts() -> None:
    feet = {"unit": "F", "scale": 0.3048}
    assert value(heard("tide", "D", "F", "10", **feet)) == pytest.approx(3.048)
    assert heard("tide", "D", "M", "10", **feet).tallies["gauges"] == {Flaw.UNIT: 1}
    assert value(heard("tension.1", "N", "N", "2500", unit="N")) == 2.5
    assert value(heard("tension.1", "N", "N", "2500", scale=0.001)) == 2.5, (
        "a scale says what the raw value is"
    )
    assert value(heard("tide", "D", "C", "250", scale=0.01)) == 2.5


def test_a_height_does_not_hide_the_unit() -> None:
    """Both bring the value to the channel: km/h to m/s, and 25 m to 10 m."""
    expected = 36.0 / 3.6 * (10.0 / 25.0) ** (1.0 / 7.0)
    intake = heard("wind_speed", "G", "K", "36.0", unit="K", height_m=25.0)
    assert value(intake) == pytest.approx(expected)


def test_a_mean_of_several_needs_the_unit_of_each() -> None:
    intake = Intake(stay("tide", name=("X", "Y")))
    for k, units in enumerate([("M", "M"), ("M", "F")]):
        intake.take(START + k, "gauges", sentence(f"YXXDR,D,2,{units[0]},X,D,3,{units[1]},Y"))
    assert intake.tallies["gauges"] == {Flaw.UNIT: 1}
    assert intake.readings(np.array([START + 1])).value[0, 0] == 2.5


@given(
    st.sampled_from(CHANNELS), st.sampled_from("ABCDFGHILNPRSTUV"), st.text("ABCDFKMNPRfm%", max_size=2),
    st.decimals(0, 20, places=2),
)  # fmt: skip
def test_no_unit_makes_another_figure_than_the_one_meant(
    channel: str, kind: str, unit: str, raw: object
) -> None:
    """Metres by M, degrees by D, speeds by three letters, nothing else."""
    factor = {"m": {"M": 1.0}, "deg": {"D": 1.0}, "m/s": {"M": 1.0, "N": KNOT, "K": 1 / 3.6}}[
        kind_of(channel).unit
    ]
    meant = 1.0 if not unit else factor.get(unit)
    intake = heard(channel, kind, unit, str(raw))
    ((_, _, got),) = intake.newest_raw()
    if meant is None:
        assert math.isinf(got)
        assert intake.tallies["gauges"] == {Flaw.UNIT: 1}
    else:
        assert got == pytest.approx(float(str(raw)) * meant, rel=1e-12)


def test_listen_says_which_unit_came() -> None:
    listening = Listening(stay("tide"))
    listening.hear(START, "gauges", sentence("YXXDR,D,2.5,F,X"))
    assert "tide             wrong unit F" in table(listening, START)
    assert "faults: 1 wrong unit" in table(listening, START)


@pytest.mark.parametrize(
    ("keys", "problem"),
    [
        (
            "{sentence: XDR, name: TIDE, unit: F}",
            "unit 'F' without a scale, expected a scale that makes it m",
        ),
        ("{sentence: XDR, name: TIDE, unit: 'a b'}", "expected a unit as the gauge names it"),
        ("{sentence: DBT, unit: M}", "only the transducers of an XDR have units"),
    ],
)
def test_a_unit_that_cannot_be_is_a_fault(tmp_path: Path, keys: str, problem: str) -> None:
    there = "tide: {sentence: XDR, name: TIDE}"
    assert there in STAY_TEXT
    with pytest.raises(StayFaults, match=problem):
        a_stay(tmp_path, STAY_TEXT.replace(there, f"tide: {keys}"))
