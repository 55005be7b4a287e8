"""Each fault is named within ten minutes of when a witness could tell, and for as long as it lasts."""

from math import inf, isinf
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from alongside.readings import Quality
from alongside.stay.model import Stay
from tests.cycle.plausibility.faults import CASES, Case, World
from tests.cycle.plausibility.heard import hear, readings_of
from tests.cycle.plausibility.made import BEGIN, COASTER, as_readings, instants, quiet

IN_TIME_S = 600.0


@pytest.mark.slow
@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_a_fault_is_named_in_time(case: Case, world: World, full_stay: Stay, full_log: Path) -> None:
    rng = np.random.default_rng(sum(case.name.encode()))
    begin = float(world.good.time[0])
    at = begin
    while not case.since_start and (at == begin or not case.where(world, at)):
        at = float(rng.uniform(begin + 1800.0, begin + 12 * 3600.0))
    heard = hear(full_stay, readings_of(full_stay, full_log, case.make(world, at)))
    column = heard.readings.channels.index(case.channel)
    doubtful = heard.readings.quality[:, column] != Quality.GOOD
    after = heard.readings.time >= at
    first = float(heard.readings.time[np.flatnonzero(doubtful & after)[0]]) if doubtful[after].any() else inf
    tells = case.tells(world, at)
    if isinf(tells):
        assert isinf(first), case.why
        return
    assert first <= tells + IN_TIME_S, case.why
    assert doubtful[heard.readings.time > tells + IN_TIME_S].all(), "and for good"
    if case.likely:
        assert case.likely in {doubt.likely for _, doubt in heard.of(case.channel)}


@pytest.mark.slow
@settings(max_examples=25)
@given(st.floats(0.5, 3.0), st.sampled_from([-1.0, 1.0]), st.floats(1.0, 20.0))
def test_any_step_of_the_tide_is_named_and_stays(size: float, way: float, hours: float) -> None:
    time = instants(22.0)
    columns = quiet(time)
    at = BEGIN + hours * 3600.0
    columns["tide"] = columns["tide"] + np.where(time >= at, way * size, 0.0)
    heard = hear(COASTER, as_readings(time, columns))
    doubtful = heard.readings.quality[:, 0] == Quality.SUSPECT
    assert not doubtful[time < at].any()
    assert doubtful[time >= at + IN_TIME_S].all()
    assert not (heard.readings.quality[:, 1:] != Quality.GOOD).any(), "and no other gauge is"


@pytest.mark.slow
@settings(max_examples=25)
@given(st.floats(0.0, 0.006), st.floats(1.0, 12.0), st.integers(0, 2**16))
def test_a_tide_that_is_stuck_is_named_whatever_its_jitter(jitter: float, hours: float, seed: int) -> None:
    time = instants(22.0)
    columns = quiet(time)
    stuck = int(np.searchsorted(time, BEGIN + hours * 3600.0))
    rng = np.random.default_rng(seed)
    columns["tide"][stuck:] = columns["tide"][stuck] + rng.uniform(-jitter, jitter, time.size - stuck)
    heard = hear(COASTER, as_readings(time, columns))
    doubtful = heard.readings.quality[:, 0] == Quality.SUSPECT
    assert not doubtful[:stuck].any()
    # the table moves by 0.73 m within four hours wherever it begins, but for the hour about its turn
    assert doubtful[stuck + 240 :].all()


@pytest.mark.slow
@settings(max_examples=15)
@given(st.floats(0.25, 2.0), st.sampled_from(["draught_fwd", "draught_aft"]), st.floats(1.0, 20.0))
def test_any_step_of_a_draught_is_named(size: float, channel: str, hours: float) -> None:
    time = instants(22.0)
    columns = quiet(time)
    at = BEGIN + hours * 3600.0
    columns[channel] = columns[channel] + np.where(time >= at, size, 0.0)
    heard = hear(COASTER, as_readings(time, columns))
    doubtful = heard.readings.quality[:, heard.readings.channels.index(channel)] == Quality.SUSPECT
    assert not doubtful[time < at].any()
    assert doubtful[time >= at + IN_TIME_S].all()


def test_a_spike_that_is_over_leaves_no_doubt() -> None:
    time = instants(4.0)
    columns = quiet(time)
    columns["tide"][60:75] += 1.0
    heard = hear(COASTER, as_readings(time, columns))
    doubtful = heard.readings.quality[:, 0] == Quality.SUSPECT
    assert doubtful[66:74].all(), "while it lasts"
    assert not doubtful[85:].any(), "it is back where it was"
