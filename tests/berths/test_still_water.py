"""Docks and locks: the level of the water where there is no tide."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from alongside.cycle.plausibility.model import Doubt
from alongside.forecast.expected.tide import tide_ahead
from alongside.forecast.present import Heard
from alongside.forecast.tide.between_extremes import planned_height
from alongside.forecast.tide.prediction import tide_table
from alongside.readings import Floats
from alongside.stay.model import Stay, TidePlan
from alongside.stay.tide_level import level_by_table
from alongside.units import unix_time
from tests.berth import START
from tests.stay.measured.sheet import faults_with, stay_with
from tests.worlds import readings, watched

DOCK = "tide: {level: 7.4}\n"
LOCK = """\
tide:
  levels:
    - {at: 2026-03-02T04:00:00Z, level: 7.4}
    - {at: 2026-03-02T05:00:00Z, level: 3.4, over_min: 20}
    - {at: 2026-03-02T08:00:00Z, level: 6.4}
"""


def stay(folder: Path, text: str) -> Stay:
    return stay_with(folder, ("balance: off\n", "balance: off\n" + text))


def plan_of(folder: Path, text: str) -> TidePlan:
    tide = stay(folder, text).tide
    assert tide is not None
    return tide


def heard(tide: float) -> Heard:
    time = START + 60.0 * np.arange(30)
    nothing = np.full(time.size, np.nan)
    return Heard(time, np.full(time.size, tide), *([nothing] * 5))


def doubts_of_tide(of: Stay, time: Floats, level: Floats) -> list[Doubt]:
    steady = readings(time.size)
    value = steady.value.copy()
    value[:, 0] = level
    doubts = watched(of, replace(steady, time=time, value=value)).memory.plausibility.doubts
    return [doubt for doubt in doubts if doubt.channel == "tide"]


def test_a_dock_has_one_level_at_any_time(tmp_path: Path) -> None:
    levels = planned_height(plan_of(tmp_path, DOCK), np.array([START, START + 48 * 3600.0, START + 1e8]))
    assert levels == pytest.approx(7.4)


@pytest.mark.parametrize(
    ("time", "level"),
    [
        ("2026-03-01T00:00:00Z", 7.4),
        ("2026-03-02T05:00:00Z", 7.4),
        ("2026-03-02T05:05:00Z", 6.4),  # a quarter of 4 m in 5 of 20 min
        ("2026-03-02T05:20:00Z", 3.4),
        ("2026-03-02T08:07:30Z", 4.9),  # half of 3 m in half of a quarter of an hour
        ("2026-03-03T00:00:00Z", 6.4),
    ],
)
def test_a_lock_goes_from_level_to_level(time: str, level: float, tmp_path: Path) -> None:
    plan, at = plan_of(tmp_path, LOCK), unix_time(time)
    assert float(planned_height(plan, at)) == pytest.approx(level)
    assert level_by_table(plan, at) == pytest.approx(level)


def test_the_look_ahead_opens_no_band_of_weather(tmp_path: Path) -> None:
    """What the gauge reads more than the file says, 3 cm, goes on."""
    table, time = tide_table(plan_of(tmp_path, DOCK)), START + 1800.0 + 3600.0 * np.arange(13)
    ahead = tide_ahead(table, heard(7.43), START + 1800.0, time, 50, np.random.default_rng(1))
    assert ahead.metres.shape == (50, 13)
    assert ahead.metres == pytest.approx(7.43)
    assert ahead.notes == ("level of dock or lock by the stay file: no tide, and no weather upon it",)


def test_a_gauge_in_a_dock_is_never_frozen(tmp_path: Path) -> None:
    def freeze(of: Stay) -> float | None:
        return next(source.freeze_s for source in of.feeds[0].channels if source.channel == "tide")

    assert freeze(stay(tmp_path, DOCK)) is None
    assert freeze(stay(tmp_path, "")) == 1800.0


@pytest.mark.parametrize("until_min", [64, 75, 85, 110, 180])
def test_a_lock_that_is_worked_late_raises_no_doubt(until_min: int, tmp_path: Path) -> None:
    """The level falls by 4 m within 20 min, a quarter of an hour after its time."""
    time = START + 10.0 * np.arange(6 * until_min)
    level = planned_height(plan_of(tmp_path, LOCK), time - 900.0)
    assert not doubts_of_tide(stay(tmp_path, LOCK), time, level)


def test_a_gauge_that_never_follows_the_lock_is_doubted(tmp_path: Path) -> None:
    time = START + 10.0 * np.arange(6 * 180)
    assert doubts_of_tide(stay(tmp_path, LOCK), time, np.full(time.size, 7.4))


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        (
            "tide: {high_low: [[2026-03-02T00:00:00Z, 7.4], [2026-03-02T06:00:00Z, 7.4], "
            "[2026-03-02T12:00:00Z, 7.4]]}\n",
            "waters of one height are no tide, expected level: m above chart datum, of a dock",
        ),
        (
            "tide: {level: 7.4, levels: [{at: 2026-03-02T04:00:00Z, level: 7.4}]}\n",
            "level and levels together",
        ),
        ("tide: {level: 7.4, datum: NAP}\n", "tide.datum: datum beside the level of a dock"),
        (
            LOCK.replace("level: 7.4}", "level: 7.4, over_min: 5}"),
            "tide.levels[0].over_min: over_min of the first",
        ),
        (LOCK.replace("08:00", "05:10"), "tide.levels[2].at: begins before the level before is reached"),
        (LOCK.replace("08:00", "03:10"), "tide.levels[2]: time does not rise"),
    ],
)
def test_what_cannot_be_is_refused_at_its_place(text: str, fault: str, tmp_path: Path) -> None:
    assert fault in faults_with(tmp_path, ("balance: off\n", "balance: off\n" + text))
