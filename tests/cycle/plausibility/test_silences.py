"""A gauge that was silent and comes back elsewhere, one that speaks seldom, a draught without a plan."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from alongside.cycle.plausibility.sigmas import BAND_90
from alongside.readings import Floats, Quality, Reason
from alongside.stay.model import Stay
from tests.cycle.plausibility.heard import Heard, hear
from tests.cycle.plausibility.made import COASTER, as_readings, instants, quiet

NO_PLAN = replace(COASTER, cargo=())
NO_TABLE = replace(COASTER, tide=None)


def silent(stay: Stay, channel: str, at: int, minutes: int, then: float, hours: float = 10.0) -> Heard:
    """A channel silent for so many minutes, and so much higher from then on."""
    columns = quiet(instants(hours), COASTER)
    columns[channel][at : at + minutes] = np.nan
    columns[channel][at + minutes :] += then
    return hear(stay, as_readings(instants(hours), columns))


def doubtful(heard: Heard, channel: str) -> Floats:
    return heard.readings.quality[:, heard.readings.channels.index(channel)] == Quality.SUSPECT


@pytest.mark.slow
@settings(max_examples=12)
@given(
    st.sampled_from([COASTER, NO_PLAN]),
    st.sampled_from([("tide", 0.6), ("tide", -1.2), ("draught_fwd", -0.45), ("draught_aft", 0.9)]),
    st.integers(30, 400),
    st.integers(1, 10),
)
def test_another_level_after_a_silence_is_named_and_stays(
    stay: Stay, other: tuple[str, float], at: int, minutes: int
) -> None:
    channel, by = other
    heard = silent(stay, channel, at, minutes, by)
    assert doubtful(heard, channel)[at + minutes + 5 :].all()
    assert {seen.reason for _, seen in heard.of(channel)} >= {Reason.JUMPED}


@settings(max_examples=12)
@given(
    st.sampled_from([COASTER, NO_PLAN, NO_TABLE]),
    st.sampled_from(["tide", "draught_fwd", "draught_aft"]),
    st.integers(10, 400),
    st.integers(1, 90),
)
def test_the_same_level_after_a_silence_is_believed(stay: Stay, channel: str, at: int, minutes: int) -> None:
    assert not silent(stay, channel, at, minutes, 0.0).first


def test_a_level_that_goes_back_in_another_silence_leaves_no_doubt() -> None:
    time = instants(6.0)
    columns = quiet(time)
    columns["tide"][100:108] = columns["tide"][200:208] = np.nan
    columns["tide"][108:200] += 1.0
    doubted = doubtful(hear(COASTER, as_readings(time, columns)), "tide")
    assert doubted[112:200].all()
    assert not doubted[220:].any()


def test_two_draughts_exchanged_while_they_were_silent_are_named_so() -> None:
    time = instants(6.0)
    columns = quiet(time)
    fwd, aft = columns["draught_fwd"], columns["draught_aft"]
    assert abs(fwd[110] - aft[110]) > 0.5
    columns["draught_fwd"], columns["draught_aft"] = (
        np.where(np.arange(time.size) < 110, *pair) for pair in ((fwd, aft), (aft, fwd))
    )
    for channel in ("draught_fwd", "draught_aft"):
        columns[channel][100:110] = np.nan
    heard = hear(NO_PLAN, as_readings(time, columns))
    assert {doubt.likely for doubt in heard.last if doubt.reason is Reason.JUMPED} == {"swapped"}


def seldom(by: float, at: int = 160, minutes: int = 10) -> Heard:
    """A tide gauge that speaks every ten minutes, and so much higher from one minute on."""
    time = instants(12.0)
    columns = quiet(time)
    columns["tide"][at:] += by
    spoken = np.arange(time.size) // minutes * minutes
    columns["tide"] = columns["tide"][spoken]
    readings = as_readings(time, columns)
    readings.age[:, 0] = time - time[spoken]
    return hear(COASTER, readings)


@pytest.mark.parametrize("by", [0.9, -1.3])
def test_a_step_of_a_gauge_that_speaks_seldom_is_named(by: float) -> None:
    doubted = doubtful(seldom(by), "tide")
    assert not doubted[:160].any()
    assert doubted[160 + 25 :].all(), "with its second value, and for good"


def test_a_gauge_that_speaks_seldom_raises_none() -> None:
    assert not seldom(0.0).first


@pytest.mark.slow
@pytest.mark.parametrize("minutes", [30, 120, 300])
def test_without_a_plan_nine_of_ten_spreads_hold_what_is_true(minutes: int) -> None:
    """She loads half a metre in an hour, and stops, and nothing says when."""
    time = instants(20.0)
    truth = quiet(time)["draught_fwd"]
    inside = []
    for at in range(60, time.size - minutes, 90):
        rows = slice(at, at + minutes)
        read = silent(NO_PLAN, "draught_fwd", at, minutes, 0.0, 20.0).readings
        off = np.abs(read.value[rows, 1] - truth[rows])
        inside.append((off <= BAND_90 * read.spread[rows, 1]).mean())
    assert np.mean(inside) > 0.9
