"""Bands of length from the mechanics, and plans made on them."""

from dataclasses import replace

import numpy as np
import pytest

from alongside.forecast.rounds.length_bands import (
    Within,
    bands,
    tensions_within,
    within_stage,
)
from alongside.forecast.rounds.rounds_apart import plan_rounds
from alongside.mechanics.arrangement import arrangement_of
from alongside.mechanics.geometry import leads_of
from alongside.mechanics.lines import line_states
from alongside.mechanics.making_fast import unstretched_for
from alongside.stay.model import Limits, StageLimits, Tail
from tests.mechanics.stays import NYLON, POLYESTER, WIRE, Lead, afloat, stay_with

LEADS = [
    Lead((60.0, -9.0, 9.0), (60.0, -30.0, 3.0)),
    Lead((60.0, -9.0, 9.0), (110.0, -12.0, 3.0), rope=WIRE, tail=Tail(NYLON, 11.0), brake_kn=500.0),
    Lead((20.0, -9.0, 9.0), (-30.0, -11.0, 3.0), rope=POLYESTER),
]
NAN = float("nan")


@pytest.fixture(scope="module")
def arrangement():
    return arrangement_of(stay_with(LEADS))


def over_a_tide():
    return afloat(2.0 - 2.0 * np.cos(np.linspace(0.0, 2.0 * np.pi, 150)))


def test_ends_of_the_band_lie_at_the_limits(arrangement):
    pose = over_a_tide()
    within = Within(stretch_share=0.85, load_share=0.80, brake_share=0.70, slack_share=0.04)
    lo, hi = bands(arrangement, leads_of(arrangement, pose).path.T, within)
    tight, loose = line_states(arrangement, pose, lo), line_states(arrangement, pose, hi)
    by_brake = tight.tension_kn / arrangement.brake_kn
    nearest = np.fmax(np.fmax(tight.stretch_share / 0.85, tight.load_share / 0.80), by_brake / 0.70)
    np.testing.assert_allclose(nearest, 1.0, rtol=1e-9)
    np.testing.assert_allclose(loose.load_share, 0.04, rtol=1e-9)


def test_a_heavy_wire_may_be_as_much_longer_as_it_hangs():
    """7 kg/m, from memory: at both ends of its band the line under load, which hangs, is at the limits; a
    straight one of that length would be slack."""
    heavy = replace(WIRE, weight_kg_per_m=7.0)
    leads = [
        Lead((60.0, -9.0, 9.0), (110.0, -12.0, 3.0), rope=heavy),
        Lead((60.0, -9.0, 9.0), (90.0, -40.0, -12.0), rope=heavy, tail=Tail(NYLON, 11.0)),
        LEADS[2],
    ]
    hanging, pose = arrangement_of(stay_with(leads)), over_a_tide()
    within = Within(stretch_share=NAN, load_share=0.80, brake_share=NAN, slack_share=0.02)
    levels = leads_of(hanging, pose)
    lo, hi = bands(hanging, levels.path.T, within, levels.level.T)
    np.testing.assert_allclose(line_states(hanging, pose, lo).load_share, 0.80, rtol=1e-6)
    np.testing.assert_allclose(line_states(hanging, pose, hi).load_share, 0.02, rtol=1e-6)
    straight_lo, straight_hi = bands(hanging, levels.path.T, within)
    assert (hi[:, :2] - straight_hi[:, :2] > 0.005).all()
    assert (lo[:, :2] > straight_lo[:, :2]).all()
    np.testing.assert_array_equal(hi[:, 2], straight_hi[:, 2])
    np.testing.assert_allclose(line_states(hanging, pose, hi).level_m, levels.level.T)


def test_what_is_not_asked_does_not_bind(arrangement):
    least, most = tensions_within(arrangement, Within(NAN, NAN, NAN, NAN))
    assert (least == 0.0).all()
    assert np.isinf(most).all()
    path = leads_of(arrangement, over_a_tide()).path.T
    lo, hi = bands(arrangement, path, Within(NAN, NAN, NAN, NAN))
    assert (lo == 0.0).all()
    np.testing.assert_allclose(hi, path - arrangement.tail_length)


def test_limits_of_a_stage():
    limits = Limits(load_share=StageLimits(0.6, None, 0.9))
    assert within_stage(limits, "warning") == Within(0.85, 0.6, 0.85, 0.01)
    assert within_stage(limits, "caution").slack_share == 0.04
    assert np.isnan(within_stage(Limits(brake_share=StageLimits()), "alarm").brake_share)


def test_a_path_that_is_not_known_has_no_band(arrangement):
    lo, hi = bands(arrangement, np.full((1, 3), NAN), Within(0.85, 0.85, 0.85, 0.01))
    assert np.isnan(lo).all()
    assert np.isnan(hi).all()


def test_a_plan_on_these_bands_keeps_every_line_within_its_limits(arrangement):
    pose = over_a_tide()
    within = Within(0.40, 0.40, 0.60, 0.04)
    lo, hi = bands(arrangement, leads_of(arrangement, pose).path.T, within)
    present = unstretched_for(arrangement, afloat(0.0), np.full(3, 40.0))[0]
    plan = plan_rounds(300.0 * np.arange(150), lo, hi, present)
    assert plan.rounds
    assert plan.cannot_cure == ()
    states = line_states(arrangement, pose, plan.lengths)
    assert states.stretch_share.max() <= 0.40 + 1e-9
    assert states.load_share.max() <= 0.40 + 1e-9
    assert states.load_share.min() >= 0.04 - 1e-9
    untended = line_states(arrangement, pose, present)
    assert untended.stretch_share.max() > 0.40
