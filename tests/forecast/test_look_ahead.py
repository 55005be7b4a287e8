"""The forecast as a whole: limits to come, the ship, the gangway, and the caution that one comes soon."""

from dataclasses import replace

import numpy as np
import pytest

from alongside.errors import WrongInput
from alongside.forecast.basis import Basis
from alongside.forecast.before_arrival import planned_situation
from alongside.forecast.expected.ensemble import expected_situations
from alongside.forecast.next_limit import next_limits_of
from alongside.mechanics.gangway import rail_over_quay
from alongside.mechanics.hold import hold
from alongside.stay.model import Gangway, MadeFast
from alongside.stay.stage import Stage
from tests.berth import START
from tests.forecast.scene import HOUR, TABLE, looked, planned, stay_ahead


def test_what_is_expected_is_what_the_mechanics_say_of_it(tmp_path):
    stay = stay_ahead(tmp_path)
    present, forecast = planned(stay), looked(stay)
    situation = expected_situations(stay, present, forecast.times, forecast.members).situation(1)
    held = hold(Basis.of(stay).arrangement, situation, present.unstretched)
    assert np.allclose(forecast.stretch_share, held.lines.stretch_share, equal_nan=True)
    assert np.allclose(forecast.vertical_deg, held.lines.vertical_deg)


def test_an_expected_limit_is_where_the_stage_changes(tmp_path):
    forecast = looked(stay_ahead(tmp_path))
    steep = [limit for limit in forecast.limits if limit.cause == "steep" and limit.expected is not None]
    assert steep
    for limit in steep:
        column = forecast.lines.index(limit.line)
        reached = forecast.times[forecast.stage[:, column] >= limit.stage]
        assert reached.size
        if not limit.standing:
            assert limit.not_before <= limit.expected
            assert limit.no_later is None or limit.expected <= limit.no_later


def test_the_worst_stage_of_most_members_is_no_better_than_the_expected_one(tmp_path):
    forecast = looked(stay_ahead(tmp_path), members=40)
    assert (forecast.stage <= forecast.stage_worst).mean() > 0.98
    assert ((forecast.cause >= 0) == (forecast.stage > 0)).all()


def test_the_rail_over_the_quay(tmp_path):
    # tide 3.20, rail 15.00 above the keel, draught there 8.195, quay 5.50: 4.505 m. Ours.
    stay = stay_ahead(tmp_path)
    stay = replace(stay, outlook=replace(stay.outlook, gangway=Gangway(40.0, 15.0, 5.5)))
    here = replace(
        planned_situation(stay, START),
        tide=np.array([3.2]),
        draught_fwd=np.array([8.195]),
        draught_aft=np.array([8.195]),
    )
    assert rail_over_quay(stay, here)[0] == pytest.approx(4.505, abs=1e-9)
    # starboard side to and heeled 2 deg to starboard: half a breadth of 14 m sinks by 7 tan 2 deg = 0.2444 m
    heeled = replace(here, heel_deg=np.array([2.0]))
    assert rail_over_quay(stay, heeled)[0] == pytest.approx(4.505 - 7.0 * np.tan(np.radians(2.0)), abs=1e-9)


def test_a_gangway_that_gets_too_steep_is_a_limit_to_come(tmp_path):
    stay = stay_ahead(tmp_path, cargo=())
    gangway = Gangway(40.0, 9.0, 4.0, lowest=0.5, highest=3.0)
    stay = replace(stay, outlook=replace(stay.outlook, gangway=gangway))
    found = [limit for limit in looked(stay).limits if limit.cause == "gangway"]
    assert {limit.subject for limit in found} <= {"low", "high"}
    assert found
    assert all(limit.line is None and limit.stage is Stage.WARNING for limit in found)


def test_soon_is_the_next_warning_of_each_line(tmp_path):
    forecast = looked(stay_ahead(tmp_path))
    for each in next_limits_of(forecast):
        mine = [
            limit
            for limit in forecast.limits
            if (limit.line or "") == each.subject
            and limit.stage >= Stage.WARNING
            and limit.expected is not None
            and limit.expected > forecast.time
        ]
        assert each.time == min(limit.expected for limit in mine)
        assert each.stage >= Stage.WARNING
    assert next_limits_of(forecast)


def test_nothing_known_of_the_tide_is_a_reason_not_a_number(tmp_path):
    stay = stay_ahead(tmp_path)
    present = replace(planned(stay), tide=float("nan"))
    forecast = looked(replace(stay, tide=None), present)
    assert forecast.reason == "tide not known"
    assert forecast.limits == ()
    assert np.isnan(forecast.stretch_share).all()


# --- from the plan alone


def test_from_the_plan_lines_are_as_made_fast(tmp_path):
    stay = stay_ahead(tmp_path, cargo=())
    present = planned(stay)
    # lines 2 and 3 state tide and draughts of their own; there they carry the 20 kN they were fast with
    here = replace(planned_situation(stay, START), tide=np.array([2.0]))
    held = hold(Basis.of(stay).arrangement, here, present.unstretched)
    assert held.lines.tension_kn[0, 1:] == pytest.approx(20.0, abs=1e-9)
    assert present.draught_fwd == 4.0
    assert present.draught_aft == 4.5


def test_from_the_plan_cargo_since_then_counts(tmp_path):
    stay = stay_ahead(tmp_path)
    mean = [(p.draught_fwd + p.draught_aft) / 2.0 for p in (planned(stay), planned(stay, START + 2 * HOUR))]
    assert mean[1] - mean[0] == pytest.approx(400.0 / 800.0, abs=0.01)  # 400 t at 800 t a metre. Ours.


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (lambda stay: replace(stay, tide=None), "tide: missing"),
        (lambda stay: replace(stay, ship=replace(stay.ship, hydrostatics=())), "ship.hydrostatics: missing"),
        (
            lambda stay: replace(
                stay, lines=tuple(replace(line, made_fast=MadeFast(START, 20.0)) for line in stay.lines)
            ),
            "no line states draughts",
        ),
    ],
)
def test_a_plan_that_lacks_something_says_what(tmp_path, change, said):
    with pytest.raises(WrongInput, match=said):
        planned(change(stay_ahead(tmp_path)), START + HOUR)


def test_the_table_of_the_scene_agrees_with_itself():
    assert TABLE[0].displacement == 2400.0
