"""How far she ranged in the last 15 min: peak to peak, the same however a stay is cut."""

import json
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.alerts.rules import rules_of
from alongside.cycle.motion_range import Minutes, motion_ranges
from alongside.forecast.basis import Basis
from alongside.mechanics.hold import nothing_known
from alongside.mechanics.situation import Situation, situation_of
from alongside.mechanics.state import Hold
from alongside.readings import Floats, Quality
from alongside.reports.json_lines import state_lines
from alongside.stay.gear import range_limits
from alongside.stay.model import StageLimits
from alongside.stay.stage import Stage
from tests.worlds import awkward_stay, readings, watched

LENGTHS = np.full(6, 20.0)


@pytest.fixture(scope="module")
def basis(tmp_path_factory: pytest.TempPathFactory) -> Basis:
    return Basis.of(awkward_stay(tmp_path_factory.mktemp("stay")))


def found(basis: Basis, surge: Floats, start: float = 0.0) -> tuple[Situation, Hold]:
    """The ship at these surges, one a second, from a full minute on; sway is minus half of it."""
    situation = situation_of(basis.stay, readings(surge.size, start=1_772_424_000.0 + start))
    held = nothing_known(basis.arrangement, situation)
    lines = replace(held.lines, unstretched_m=np.tile(LENGTHS, (surge.size, 1)))
    pose = replace(held.pose, surge=surge, sway=-surge / 2.0, yaw=np.zeros(surge.size))
    return situation, replace(held, pose=pose, lines=lines, without=None)


def ranged(basis: Basis, surge: Floats, cuts: tuple[int, ...] = ()) -> Floats:
    situation, held = found(basis, surge)
    minutes: Minutes = ()
    parts = []
    for start, stop in pairwise(sorted({0, *cuts, surge.size})):
        found_there, minutes = motion_ranges(
            minutes, LENGTHS, situation.rows(start, stop), held.rows(start, stop)
        )
        parts.append(found_there)
    return np.concatenate(parts)


def test_a_ship_that_swings_half_a_metre_either_way_ranges_a_metre(basis: Basis) -> None:
    """Peak to peak: 1.00 m along and 0.50 m across, though she is never more than 0.50 m off her place."""
    surge = 0.5 * np.sin(2.0 * np.pi * np.arange(1800) / 120.0)
    ranges = ranged(basis, surge)
    assert ranges[-1] == pytest.approx([1.0, 0.5, 0.0], abs=1e-3)


def test_an_offset_is_no_motion_and_a_swing_is_forgotten_after_a_quarter_of_an_hour(basis: Basis) -> None:
    surge = np.full(2400, 0.8)
    surge[300:310] = 1.4
    ranges = ranged(basis, surge)[:, 0]
    assert ranges[299] == 0.0
    assert ranges[300:1200] == pytest.approx(0.6)
    assert ranges[1201:] == pytest.approx(0.0, abs=1e-12)


@given(
    st.lists(st.floats(-2.0, 2.0), min_size=30, max_size=60),
    st.lists(st.integers(1, 1799), max_size=8),
)
def test_how_it_is_cut_makes_no_difference(basis: Basis, levels: list[float], cuts: list[int]) -> None:
    surge = np.repeat(np.array(levels), 1800 // len(levels) + 1)[:1800]
    ranges = ranged(basis, surge)
    np.testing.assert_array_equal(ranged(basis, surge, tuple(cuts)), ranges)
    for row in range(0, 1800, 173):
        first = max(0, (row // 60 - 14) * 60)
        assert ranges[row, 0] == np.ptp(surge[first : row + 1])


def test_what_a_doubtful_gauge_says_is_no_motion(basis: Basis) -> None:
    surge = np.zeros(900)
    surge[400:500] = 3.0
    situation, held = found(basis, surge)
    quality = np.where(surge > 0.0, Quality.SUSPECT, Quality.GOOD).astype(np.int8)
    ranges, _ = motion_ranges((), LENGTHS, replace(situation, quality=quality), held)
    assert ranges[:, 0].tolist() == [0.0] * 900


def test_a_length_that_changes_begins_anew(basis: Basis) -> None:
    surge = np.zeros(900)
    surge[450:] = 0.7
    situation, held = found(basis, surge)
    lengths = held.lines.unstretched_m.copy()
    lengths[450:, 2] += 0.5
    slacked = replace(held, lines=replace(held.lines, unstretched_m=lengths))
    assert motion_ranges((), LENGTHS, situation, slacked)[0][-1, 0] == 0.0
    assert motion_ranges((), LENGTHS, situation, held)[0][-1, 0] == pytest.approx(0.7)


def test_a_range_is_judged_by_its_own_limits_and_is_written(tmp_path: Path) -> None:
    """Gusts off the quay: her range of sway raises `drift` by limits of its own, and stands in the states."""
    plain = awkward_stay(tmp_path)
    limits = replace(plain.limits, sway_range_m=StageLimits(0.01))
    stay = replace(plain, limits=limits)
    heard = readings(400)
    value = heard.value.copy()
    value[200:, heard.channels.index("wind_speed")] = 16.0
    there = watched(stay, replace(heard, value=value))
    raised = [e for e in there.block.events if (e.alert, e.subject) == ("drift", "sway_range")]
    assert raised
    assert raised[0].text.startswith("Ship ranges ")
    assert " across the berth in 15 min (limit 0.01 m)" in raised[0].text
    (line,) = state_lines(there.basis, there.block, [399])
    pose = there.block.hold.pose
    assert json.loads(line)["sway_range"] == pytest.approx(np.ptp(pose.sway), abs=1e-6)
    assert there.picture().stages["drift", "sway_range"] >= Stage.CAUTION


def test_every_gear_has_limits_of_ranges(tmp_path: Path) -> None:
    stay = awkward_stay(tmp_path)
    ways = [rule.subject for rule in rules_of(stay) if rule.cause == "drift"]
    assert ways == ["surge", "sway", "surge_range", "sway_range", "yaw_range"]
    ramp = replace(stay, gear="rail_ferry")
    assert [rule.subject for rule in rules_of(ramp) if rule.cause == "drift"] == ways[:-1]
    assert range_limits(replace(stay, gear="container_cranes"))["surge_range"].alarm == 0.5
