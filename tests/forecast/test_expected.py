"""Expected situations: tide, draughts and wind to come. Arithmetic on the documented formulas: ours."""

from dataclasses import replace

import numpy as np
import pytest

from alongside.forecast.expected.draught import draughts_ahead
from alongside.forecast.expected.draughts import draughts_with_masses, masses_on_board
from alongside.forecast.expected.ensemble import expected_situations
from alongside.forecast.tide.prediction import expected_level, tide_table
from alongside.stay.model import CargoOperation
from tests.berth import START
from tests.forecast.scene import HIGH_LOW, HOUR, LOADING, heard, planned, stay_ahead


def times(present, hours=12):
    return present.time + 300.0 * np.arange(hours * 12 + 1)


def table_level(stay, time):
    return expected_level(tide_table(stay.tide), time).metres


def by_plan(stay, clock, start=START):
    moved = masses_on_board(stay.cargo, clock) - masses_on_board(stay.cargo, [start])
    return draughts_with_masses(stay.ship, 4.0, 4.5, moved, [each.x for each in stay.cargo])


def test_a_surge_fades_on_top_of_the_prediction(tmp_path):
    # r0 exp(-h / 24 h): 0.40 m leaves 0.40 exp(-0.25) = 0.3115 m after six hours. Ours.
    stay = stay_ahead(tmp_path)
    present = heard(
        replace(planned(stay, START + 8 * HOUR)),
        6,
        lambda time: table_level(stay, time) + 0.40,
        lambda time: 0.0 * time + 4.0,
        lambda time: 0.0 * time + 4.5,
    )
    found = expected_situations(stay, present, times(present), members=20)
    added = found.tide[0] - table_level(stay, found.time)
    assert added[0] == pytest.approx(0.40, abs=1e-9)
    assert added[72] == pytest.approx(0.40 * np.exp(-0.25), abs=1e-9)


def test_the_band_opens_from_what_was_just_measured(tmp_path):
    stay = stay_ahead(tmp_path)
    present = heard(
        planned(stay, START + 8 * HOUR),
        6,
        lambda time: table_level(stay, time),
        lambda time: 0.0 * time + 4.0,
        lambda time: 0.0 * time + 4.5,
    )
    tide = expected_situations(stay, present, times(present), members=50).tide
    width = np.ptp(tide, axis=0)
    assert width[0] == 0.0
    assert width[12] > 0.1
    assert width[-1] > width[12]


def test_the_same_present_gives_the_same_members(tmp_path):
    stay = stay_ahead(tmp_path)
    present = planned(stay)
    one, other = (expected_situations(stay, present, times(present)) for _ in range(2))
    for name in ("tide", "draught_fwd", "draught_aft", "wind_speed"):
        assert np.array_equal(getattr(one, name), getattr(other, name), equal_nan=True)


def test_a_gang_that_works_to_plan_is_expected_to_end_with_it(tmp_path):
    stay = stay_ahead(tmp_path)
    present = heard(
        planned(stay, START + 2 * HOUR),
        2,
        lambda time: table_level(stay, time),
        lambda time: by_plan(stay, time)[0],
        lambda time: by_plan(stay, time)[1],
    )
    found = expected_situations(stay, present, times(present), members=20)
    fwd, aft = by_plan(stay, found.time)
    assert found.draught_fwd[0] == pytest.approx(fwd, abs=0.005)
    assert found.draught_aft[0] == pytest.approx(aft, abs=0.005)


def test_a_slow_gang_is_expected_to_end_late(tmp_path):
    # at 60 % of the plan 800 t at 200 t/h take 6 h 40 min instead of 4 h; all of it is loaded then. Ours.
    stay = stay_ahead(tmp_path)
    slow = lambda time: by_plan(stay, START + 0.6 * (time - START))  # noqa: E731 - one line of the scene
    present = heard(
        planned(stay, START + 3 * HOUR),
        3,
        lambda time: table_level(stay, time),
        lambda time: slow(time)[0],
        lambda time: slow(time)[1],
    )
    found = expected_situations(stay, present, times(present), members=20)
    fwd, aft = slow(found.time)
    assert found.draught_fwd[0] == pytest.approx(fwd, abs=0.03)
    assert found.draught_aft[0] == pytest.approx(aft, abs=0.03)
    assert any("60 % of its plan" in note for note in found.notes)
    assert any("behind its plan" in note for note in found.notes)


def test_without_a_plan_the_trend_goes_on_for_six_hours_and_stands(tmp_path):
    stay = stay_ahead(tmp_path, cargo=())
    present = heard(
        planned(stay, START + 3 * HOUR),
        3,
        lambda time: table_level(stay, time),
        lambda time: 5.0 - 0.10 * (time - START) / HOUR,
        lambda time: 5.5 - 0.10 * (time - START) / HOUR,
    )
    found = expected_situations(stay, present, times(present), members=20)
    assert found.draught_fwd[0, 36] == pytest.approx(4.7 - 0.30, abs=1e-6)
    assert found.draught_fwd[0, 72] == pytest.approx(4.7 - 0.60, abs=1e-6)
    assert found.draught_fwd[0, -1] == pytest.approx(4.7 - 0.60, abs=1e-6)


def test_without_a_plan_and_without_a_past_nothing_is_made_up(tmp_path):
    stay = stay_ahead(tmp_path, cargo=())
    present = replace(planned(stay), planned=False)
    found = expected_situations(stay, present, times(present), members=5)
    assert np.isnan(found.draught_fwd).all()
    assert any("too little measured" in note for note in found.notes)


def test_without_a_tide_section_the_tide_to_come_is_not_known(tmp_path):
    stay = stay_ahead(tmp_path)
    present = planned(stay)
    found = expected_situations(replace(stay, tide=None), present, times(present), members=5)
    assert np.isnan(found.tide).all()
    assert any("no section tide" in note for note in found.notes)


def test_beyond_the_table_the_level_is_not_known(tmp_path):
    stay = stay_ahead(tmp_path)
    present = planned(stay, HIGH_LOW[-2][0])
    found = expected_situations(stay, present, times(present, 24), members=5)
    beyond = found.time > HIGH_LOW[-1][0]
    assert np.isnan(found.tide[:, beyond]).all()
    assert not np.isnan(found.tide[:, ~beyond]).any()
    assert any("does not cover" in note for note in found.notes)


def test_a_cosine_says_how_far_off_it_can_be(tmp_path):
    stay = stay_ahead(tmp_path)
    found = expected_situations(stay, planned(stay), times(planned(stay)), members=5)
    assert any("1.7 m wrong" in note for note in found.notes)


def test_cargo_of_the_scene_is_what_the_tests_take_it_for():
    assert LOADING[0].end == START + 4 * HOUR


@pytest.mark.parametrize(
    ("worked_h", "pace"),
    [((0.0, 0.0), 0.0), ((0.0, 1.0), 0.5), ((0.0, 2.0), 1.0), ((1.0, 1.0), 0.0), ((0.2, 0.4), 0.1)],
)
def test_a_gang_that_is_behind_goes_on_as_it_worked_last(tmp_path, worked_h, pace):
    """Hours of the plan that were worked by two hours ago and by now, four hours after it began; in between
    evenly. A gang that has not begun is not expected at its full pace at once."""
    stay = stay_ahead(tmp_path, cargo=(CargoOperation("hold", START, 1600.0, 200.0, 40.0),))
    now = START + 4 * HOUR
    ends = START + np.array([0.0, 2.0, 4.0]) * HOUR
    depth = 4.0 + np.array([0.0, *worked_h]) * 200.0 / 800.0
    present = replace(planned(stay, now), planned=False)

    def draught(time):
        return np.interp(time, ends, depth)

    present = heard(present, 4.0, lambda time: 0.0 * time + 2.0, draught, lambda time: draught(time) + 0.5)
    rng = np.random.default_rng(1)
    found = draughts_ahead(stay, present, now + np.array([0.0, HOUR]), 50, rng)
    grown = found.fwd[0, 1] - found.fwd[0, 0]
    assert grown == pytest.approx(pace * 200.0 / 800.0, abs=0.03)
    assert found.fwd[:, 1].max() - found.fwd[0, 0] > 0.3 * 200.0 / 800.0, "it may always work faster"
