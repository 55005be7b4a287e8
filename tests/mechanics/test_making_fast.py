"""Making fast, paying out and heaving in: which length is out, and what the line then carries."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.mechanics import REASONS, NoAnswer
from alongside.mechanics.lines import line_states
from alongside.mechanics.making_fast import rope_out, strains_at, unstretched_for
from alongside.stay.model import Tail
from tests.mechanics.stays import NYLON, POLYESTER, WIRE, afloat, arranged, inclined, moved

LEADS = (
    inclined(25.0, 8.0),
    inclined(60.0, 8.0, POLYESTER, Tail(NYLON, 11.0)),
    inclined(40.0, 5.0, WIRE, Tail(NYLON, 11.0)),
    inclined(40.0, 5.0, WIRE),
)
ARRANGEMENT = arranged(*LEADS)

tides = st.floats(-2.0, 8.0)
draughts = st.floats(4.0, 9.0)
heels = st.floats(-4.0, 4.0)
tensions = st.floats(0.5, 700.0)


@given(tides, draughts, draughts, heels, tensions)
def test_a_line_made_fast_carries_that_tension_there(
    tide: float, fwd: float, aft: float, heel: float, tension: float
) -> None:
    pose = afloat(tide, fwd, aft, heel)
    states = line_states(ARRANGEMENT, pose, unstretched_for(ARRANGEMENT, pose, tension))
    assert states.tension_kn[0] == pytest.approx([tension] * len(LEADS), rel=1e-9)


@pytest.mark.slow
@given(tensions, st.floats(-0.5, 1.0), st.floats(-0.5, 1.5), st.floats(-0.01, 0.01))
def test_tended_to_a_tension_at_the_pose_found_now(
    tension: float, surge: float, sway: float, yaw: float
) -> None:
    pose = moved(afloat(3.0), surge, sway, yaw)
    states = line_states(ARRANGEMENT, pose, unstretched_for(ARRANGEMENT, pose, tension))
    assert states.tension_kn[0] == pytest.approx([tension] * len(LEADS), rel=1e-9)


def test_each_line_its_own_tension() -> None:
    wanted = np.array([30.0, 60.0, 90.0, 0.0])
    states = line_states(ARRANGEMENT, afloat(), unstretched_for(ARRANGEMENT, afloat(), wanted))
    assert states.tension_kn[0] == pytest.approx(wanted, rel=1e-9, abs=1e-12)


def test_length_from_the_formula() -> None:
    """L (1 + e_main) + l (1 + e_tail) = P at rows of the curves (ours): polyester is stretched by 10 %
    at 320 kN, so 33 m of path are 30 m of it; with a tail of 10 m of the same, 44 m are."""
    same_tail = inclined(44.0, 0.0, POLYESTER, Tail(POLYESTER, 10.0))
    arrangement = arranged(inclined(33.0, 0.0), same_tail)
    assert unstretched_for(arrangement, afloat(), 320.0)[0] == pytest.approx([30.0, 30.0], abs=1e-12)


def test_path_shorter_than_the_tail_has_no_length() -> None:
    arrangement = arranged(inclined(10.5, 0.0, POLYESTER, Tail(NYLON, 11.0)), inclined(30.0, 0.0))
    out = rope_out(arrangement, afloat(), 60.0)
    assert np.isnan(out.unstretched[0, 0])
    assert REASONS[out.reason[0, 0]] == "path too short for any length of main rope"
    assert out.unstretched[0, 1] > 0.0
    assert out.reason[0, 1] == NoAnswer.ANSWERED


@pytest.mark.parametrize(
    ("lost", "reason"),
    [
        ("tide", NoAnswer.TIDE_UNKNOWN),
        ("draught_fwd", NoAnswer.DRAUGHT_UNKNOWN),
        ("draught_aft", NoAnswer.DRAUGHT_UNKNOWN),
        ("heel_deg", NoAnswer.HEEL_UNKNOWN),
    ],
)
def test_made_fast_at_an_unknown_pose_says_what_is_missing(lost: str, reason: NoAnswer) -> None:
    pose = afloat([1.0, 2.0])
    getattr(pose, lost)[1] = np.nan
    out = rope_out(ARRANGEMENT, pose, 60.0)
    assert not np.isnan(out.unstretched[0]).any()
    assert np.isnan(out.unstretched[1]).all()
    assert (out.reason[1] == reason).all()


def test_a_negative_or_unknown_tension_has_no_length() -> None:
    out = rope_out(ARRANGEMENT, afloat(), np.array([60.0, -1.0, np.nan, 60.0]))
    assert np.array_equal(np.isnan(out.unstretched[0]), [False, True, True, False])
    assert np.array_equal(out.reason[0] == NoAnswer.NO_SUCH_LOAD, [False, True, True, False])


def test_elongation_of_each_part() -> None:
    """At 400 kN, half its breaking load, the nylon tail is 24 % long by a row of its curve; main ropes of one
    make stretch alike with and without a tail."""
    main, tail = strains_at(ARRANGEMENT, np.full((1, len(LEADS)), 400.0))
    assert tail[0] == pytest.approx([0.0, 0.24, 0.24, 0.0], abs=1e-11)
    assert main[0, 0] == main[0, 1]
    assert main[0, 3] == main[0, 2]
