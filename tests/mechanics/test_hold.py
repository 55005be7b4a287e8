"""The whole set with the ship held in place, the loads ashore and on the brakes."""

from dataclasses import replace

import numpy as np
import pytest

from alongside.mechanics import REASONS, NoAnswer
from alongside.mechanics.arrangement import arrangement_of
from alongside.mechanics.bollards import bollard_loads
from alongside.mechanics.hold import hold, stacked
from alongside.mechanics.lines import line_states
from alongside.mechanics.making_fast import unstretched_for
from alongside.mechanics.state import LineStates
from tests.mechanics.stays import Lead, afloat, arranged, inclined, situation, stay_with

UP_AND_DOWN_THE_QUAY = (
    Lead((60.0, -10.0, 16.0), (100.0, -10.0, 4.0), on="B", swl_kn=200.0),
    Lead((20.0, -10.0, 16.0), (100.0, -10.0, 4.0), on="B", swl_kn=200.0),
    Lead((100.0, -10.0, 16.0), (100.0, -10.0, 4.0), on="B", swl_kn=200.0),
)


def test_ship_in_place_touches_no_fender() -> None:
    arrangement = arrangement_of(replace(stay_with([inclined(25.0, 8.0)]), balance=False))
    held = hold(arrangement, situation(afloat([0.0, 2.0])), np.array([24.0]))
    assert held.fenders.deflection.shape == held.fenders.reaction_kn.shape == (2, 2)
    assert not held.fenders.deflection.any()
    assert not held.fenders.reaction_kn.any()
    assert not np.any([held.pose.surge, held.pose.sway, held.pose.yaw])
    assert (held.reason == NoAnswer.ANSWERED).all()
    assert held.lines.tension_kn[1, 0] > held.lines.tension_kn[0, 0] > 0.0


@pytest.mark.parametrize(
    ("lost", "words"),
    [
        ("tide", "tide not known"),
        ("draught_fwd", "draught not known"),
        ("draught_aft", "draught not known"),
        ("heel_deg", "heel not known"),
    ],
)
def test_an_instant_without_its_pose_says_why(lost: str, words: str) -> None:
    pose = afloat([0.0, 1.0, 2.0])
    getattr(pose, lost)[1] = np.nan
    held = hold(arranged(inclined(25.0, 8.0)), situation(pose), np.array([24.0]))
    assert [REASONS[code] for code in held.reason] == ["", words, ""]
    assert np.isnan(held.lines.tension_kn[1, 0])
    assert np.isnan(held.fenders.deflection[1]).all()
    assert not np.isnan(held.lines.tension_kn[[0, 2]]).any()


def test_every_code_has_its_words() -> None:
    assert set(REASONS) == set(NoAnswer)


def test_parts_of_a_stay_join_in_time() -> None:
    arrangement = arranged(inclined(25.0, 8.0), inclined(60.0, 8.0))
    tide, length = np.linspace(0.0, 3.0, 10), np.array([24.0, 59.0])
    whole = hold(arrangement, situation(afloat(tide)), length)
    parts = [hold(arrangement, situation(afloat(tide[part])), length) for part in (slice(0, 4), slice(4, 10))]
    joined = stacked(parts)
    for name in LineStates.__dataclass_fields__:
        joined_values, whole_values = getattr(joined.lines, name), getattr(whole.lines, name)
        np.testing.assert_allclose(joined_values, whole_values, rtol=1e-9, atol=1e-9, err_msg=name)
    assert np.array_equal(joined.pose.tide, tide)
    assert joined.reason.shape == (10,)
    assert joined.fenders.deflection.shape == (10, 2)


def loaded(*tensions: float) -> LineStates:
    arrangement = arranged(*UP_AND_DOWN_THE_QUAY)
    return line_states(arrangement, afloat(), unstretched_for(arrangement, afloat(), np.array(tensions)))


def test_lines_on_one_bollard_add_as_vectors() -> None:
    """By hand (ours): the two that lead 40 m along the quay either way cancel along it; each pulls out with
    10 / 41.665 and up with 6 / 41.665 of its 100 kN. The third pulls square off with 10 and 6 of 11.662."""
    arrangement = arranged(*UP_AND_DOWN_THE_QUAY)
    found = bollard_loads(arrangement, loaded(50.0, 100.0, 100.0))
    slant, straight = np.sqrt(40.0**2 + 10.0**2 + 6.0**2), np.sqrt(10.0**2 + 6.0**2)
    out = 2.0 * 100.0 * 10.0 / slant + 50.0 * 10.0 / straight
    up = 2.0 * 100.0 * 6.0 / slant + 50.0 * 6.0 / straight
    assert arrangement.bollard_ids == ("B",)
    assert found[0, 0] == pytest.approx(np.hypot(out, up), rel=1e-9)


def test_a_line_not_yet_fast_adds_nothing_to_its_bollard_an_unknown_one_makes_it_unknown() -> None:
    arrangement = arranged(*UP_AND_DOWN_THE_QUAY)
    states = line_states(arrangement, afloat(), np.array([11.0, np.nan, np.nan]))
    alone = bollard_loads(arrangement, states, fast=np.array([True, False, False]))
    assert alone[0, 0] == pytest.approx(states.tension_kn[0, 0], rel=1e-12)
    assert np.isnan(bollard_loads(arrangement, states)[0, 0])
