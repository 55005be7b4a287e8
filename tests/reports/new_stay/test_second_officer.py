"""A second officer's sheet becomes a stay: in how many answers, and how near its loads come to those of the
stay with full data."""

from dataclasses import replace
from pathlib import Path
from typing import Final

import numpy as np
import pytest

from alongside.forecast.basis import Basis
from alongside.forecast.before_arrival import planned_lengths, planned_situation, when_fast
from alongside.forecast.rope_ranges import RopeRanges, rope_ranges
from alongside.mechanics.arrangement import arrangement_of
from alongside.mechanics.hold import hold
from alongside.mechanics.situation import Situation, joined
from alongside.readings import Floats
from alongside.reports.remarks.all import remarks_of
from alongside.stay.model import Stay
from alongside.stay.read import read_stay
from alongside.units import KNOT
from tests.reports.new_stay.filled import written
from tests.reports.new_stay.sheets import COASTER, JETTY, Sheet, typed

CONFIGS: Final = Path(__file__).parents[3] / "configs"
MOST_ANSWERS: Final = 90
WITHIN: Final = 0.10
WIDEST: Final = 1.5
HALF_HOURS: Final = 24
PULLS_KN: Final = 10.0
"""Below it a line is as good as slack, and a part of its load says nothing."""

STAYS: Final = [
    pytest.param(JETTY, "product_jetty", id="jetty"),
    pytest.param(COASTER, "coaster_quay", id="coaster"),
]


def afloat(truth: Stay, wind_ms: float) -> Situation:
    """What good gauges would read in the twelve hours after making fast, in a wind square off the berth."""
    start = when_fast(truth)
    here = joined([planned_situation(truth, start + 1800.0 * each) for each in range(1, HALF_HOURS + 1)])
    speed = np.full(len(here), wind_ms)
    off = np.full(len(here), (truth.berth.bearing_of_x + 90.0) % 360.0)
    return replace(here, wind_speed=speed, wind_gust=speed, wind_from=off)


def loads(stay: Stay, situation: Situation) -> tuple[Floats, RopeRanges]:
    arrangement = arrangement_of(stay)
    lines = hold(arrangement, situation, planned_lengths(stay, arrangement, when_fast(stay))).lines
    return lines.tension_kn, rope_ranges(Basis.of(stay), situation, lines)


def not_tended(stay: Stay) -> Stay:
    return replace(stay, lines=tuple(replace(line, tended=()) for line in stay.lines))


@pytest.mark.parametrize(("sheet", "name"), STAYS)
def test_a_sheet_is_at_most_ninety_answers_and_a_stay_without_doubts(
    tmp_path: Path, sheet: Sheet, name: str
) -> None:
    confirmed = 1
    assert len(typed(sheet)) + confirmed <= MOST_ANSWERS
    stay = written(sheet, tmp_path)
    assert len(stay.lines) == len(read_stay(CONFIGS / f"{name}.yaml").lines)
    assert not [each for each in remarks_of(stay) if "mbl_kn tested" not in each.text]


@pytest.mark.slow
@pytest.mark.parametrize("wind_ms", [0.0, 25.0 * KNOT])
@pytest.mark.parametrize(("sheet", "name"), STAYS)
def test_its_loads_are_those_of_full_data(tmp_path: Path, sheet: Sheet, name: str, wind_ms: float) -> None:
    """Within 10 %, or in the range that is said, which is at most half as much again."""
    truth = not_tended(read_stay(CONFIGS / f"{name}.yaml"))
    situation = afloat(truth, wind_ms)
    true, _ = loads(truth, situation)
    measured, ranges = loads(written(sheet, tmp_path), situation)
    pulls = true > PULLS_KN
    assert pulls.mean() > 0.5
    near = np.abs(measured - true) <= WITHIN * true
    told = (ranges.tension_low_kn <= true) & (true <= ranges.tension_high_kn)
    told &= ranges.tension_high_kn <= WIDEST * measured
    assert (near | told)[pulls].all(), np.argwhere(~(near | told) & pulls)
