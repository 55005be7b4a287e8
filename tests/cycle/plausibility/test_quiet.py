"""No gauge is doubted without cause: examples, quiet stays, surges, a fast flood, a recorded storm."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from alongside.readings import Quality
from alongside.stay.model import Stay
from alongside.training.simulate.log import write_log
from tests.cycle.plausibility.heard import EXAMPLES, example, hear, readings_of
from tests.cycle.plausibility.made import BEGIN, COASTER, as_readings, instants, quiet, witnesses_of
from tests.forecast.vlissingen import feed_log, stay_at_vlissingen


@pytest.mark.slow
@pytest.mark.parametrize("name", EXAMPLES)
def test_the_examples_raise_no_doubt(name: str) -> None:
    stay, log = example(name)
    doubts = hear(stay, readings_of(stay, log)).first
    # Two of the logs have a gauge that sticks to the last digit, as their pages say.
    assert not {key for key in doubts if not key[1].startswith("FROZEN")}


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(20))
def test_a_quiet_stay_of_a_day_raises_none(seed: int, full_stay: Stay, tmp_path: Path) -> None:
    rng = np.random.default_rng(seed)
    stay = [full_stay, *(example(name)[0] for name in EXAMPLES)][seed % 4]
    assert stay.simulate is not None
    scenario = replace(
        stay.simulate,
        seed=seed,
        hours=24,
        faults=(),
        interval_s=float(rng.choice([1, 2, 3])),
        # the coal berth's own limit of rate, 0.5 m/s, is that of a swell of 0.5 m at most
        swell_height=float(rng.uniform(0.0, 0.5)),
        swell_period=float(rng.uniform(4.5, 14.0)),
        noise_m=float(rng.uniform(0.003, 0.03)),
        surge_m=float(rng.uniform(-0.4, 0.5)),
    )
    stay = replace(stay, simulate=scenario)
    write_log(stay, tmp_path / "quiet.log")
    heard = hear(stay, readings_of(stay, tmp_path / "quiet.log"))
    assert not heard.first
    for column in (heard.readings.quality[600:] != Quality.GOOD).T:
        # the crests of a swell may look like spikes for some seconds; a caution waits for fifteen
        edges = np.flatnonzero(np.diff(np.r_[False, column, False]))
        assert (edges[1::2] - edges[::2]).max(initial=0) < 15


@pytest.mark.slow
@settings(max_examples=20)
@given(st.floats(0.05, 0.4), st.floats(-1.8, 1.8), st.floats(0.0, 8.0))
def test_a_storm_surge_raises_none(per_h: float, metres: float, hours: float) -> None:
    """Up to 0.4 m an hour, to 1.8 m, up and down again."""
    time = instants(25.0)
    columns = quiet(time)
    grown = np.minimum(abs(metres), per_h * np.maximum(time - BEGIN - hours * 3600.0, 0.0) / 3600.0)
    gone = np.maximum(0.0, abs(metres) - per_h * np.maximum(BEGIN + 26 * 3600.0 - time, 0.0) / 3600.0)
    columns["tide"] = columns["tide"] + np.sign(metres) * np.maximum(grown - gone, 0.0)
    assert not hear(COASTER, as_readings(time, columns)).first


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(12))
def test_a_steep_and_high_surge_is_no_fault_of_the_gauge(seed: int) -> None:
    """Nearly half a metre an hour, to nearly two metres, at any time of the tide; some stay, some go."""
    rng = np.random.default_rng(seed)
    time = instants(30.0)
    up, metres, lasts = rng.uniform(0.3, 0.48), rng.uniform(1.0, 1.95), rng.uniform(0.0, 9.0)
    hours = (time - BEGIN) / 3600.0 - rng.uniform(0.0, 12.0)
    surge = np.clip(up * hours, 0.0, metres) - np.clip(0.4 * (hours - metres / up - lasts), 0.0, metres)
    columns = quiet(time)
    columns["tide"] += rng.choice([-1.0, 1.0]) * surge
    assert not hear(COASTER, as_readings(time, columns)).first


@pytest.mark.parametrize(("metres", "minutes"), [(0.15, 12), (0.2, 20), (0.2, 28)])
def test_a_seiche_of_the_harbour_raises_none(metres: float, minutes: float) -> None:
    time = instants(14.0)
    columns = quiet(time)
    columns["tide"] += metres * np.sin(2.0 * np.pi * time / (60.0 * minutes))
    assert not hear(COASTER, as_readings(time, columns)).first


def test_a_flood_of_six_metres_an_hour_raises_none() -> None:
    """A port with 12 m of range at the head of an estuary: the water stands low, then comes twice as fast as
    the cosine has it."""
    assert COASTER.tide is not None
    high_low = tuple((at, 0.5 if height < 2.0 else 12.5) for at, height in COASTER.tide.high_low)
    stay = replace(COASTER, tide=replace(COASTER.tide, high_low=high_low))
    time = instants(25.0, 10.0)
    turns, heights = np.array(high_low).T
    before = np.searchsorted(turns, time, side="right") - 1
    phase = np.pi * (time - turns[before]) / (turns[before + 1] - turns[before])
    steep = phase - 0.48 * np.sin(2.0 * phase)
    level = heights[before] + (heights[before + 1] - heights[before]) * (1.0 - np.cos(steep)) / 2.0
    assert 5.5 < np.abs(np.diff(level)).max() * 360.0 < 6.5
    columns = quiet(time) | {"tide": level + np.random.default_rng(5).normal(0.0, 0.01, time.size)}
    assert not hear(stay, as_readings(time, columns)).first
    assert np.abs(level - witnesses_of(stay).table(time)).max() > 1.5, "though the cosine is far off"


@pytest.mark.slow
@pytest.mark.parametrize("day", [1, 4, 8, 11, 16, 17])
def test_a_recorded_storm_raises_none(day: int, tmp_path: Path) -> None:
    """January 2018 at Vlissingen: 1.7 m above the prediction, 0.7 m more within an hour, two outages; the
    watch begins anywhere in it."""
    begin, end = f"2018-01-{day:02d}T12:00:00Z", "2018-01-21T23:00:00Z"
    stay = stay_at_vlissingen(tmp_path, begin)
    assert not hear(stay, readings_of(stay, feed_log(tmp_path, begin, end))).first
