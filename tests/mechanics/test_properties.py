"""What must hold for any ship, berth and lines: the mirror image, more rope never more load, one instant as
among many, what is not known stays on its own row."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.mechanics.arrangement import arrangement_of
from alongside.mechanics.lines import line_states
from alongside.mechanics.making_fast import unstretched_for
from alongside.mechanics.state import LineStates, Pose
from alongside.stay.model import Tail
from tests.mechanics.stays import (
    BREADTH,
    NYLON,
    POLYESTER,
    WIRE,
    Lead,
    afloat,
    arranged,
    inclined,
    moved,
    stay_with,
)

NUMBERS = tuple(LineStates.__dataclass_fields__)
MAKES = ((POLYESTER, None), (POLYESTER, Tail(NYLON, 11.0)), (WIRE, Tail(NYLON, 11.0)), (WIRE, None))

leads = st.builds(
    lambda x, z, along, out, up, make, winch: Lead(
        (x, -BREADTH / 2.0, z),
        (100.0 + (x - 60.0) + along, -out, up),
        *MAKES[make],
        winch=(x - 4.0, 0.0, z + 0.5) if winch else None,
        brake_kn=300.0,
    ),
    x=st.floats(0.0, 120.0),
    z=st.floats(9.0, 16.0),
    along=st.floats(-50.0, 50.0),
    out=st.floats(15.0, 40.0),
    up=st.floats(2.0, 7.0),
    make=st.integers(0, 3),
    winch=st.booleans(),
)
poses = st.builds(
    lambda surge, sway, yaw, tide, fwd, aft, heel: moved(afloat(tide, fwd, aft, heel), surge, sway, yaw),
    surge=st.floats(-1.0, 1.0),
    sway=st.floats(-0.2, 2.0),
    yaw=st.floats(-0.02, 0.02),
    tide=st.floats(-1.0, 7.0),
    fwd=st.floats(4.0, 9.0),
    aft=st.floats(4.0, 9.0),
    heel=st.floats(-4.0, 4.0),
)
tensions = st.floats(10.0, 300.0)


def mirrored(lead: Lead) -> Lead:
    """The same lead seen in a glass that stands athwart the berth: the ship lies port side to."""
    (x, y, z), (bx, by, bz) = lead.fairlead, lead.bollard
    winch = (lead.winch[0], -lead.winch[1], lead.winch[2]) if lead.winch else None
    return replace(lead, fairlead=(x, -y, z), bollard=(200.0 - bx, by, bz), winch=winch)


def mirrored_pose(pose: Pose) -> Pose:
    return replace(pose, surge=-pose.surge, yaw=-pose.yaw, heel_deg=-pose.heel_deg)


@pytest.mark.slow
@given(st.lists(leads, min_size=1, max_size=5), poses, tensions)
def test_port_side_to_is_the_mirror_of_starboard_side_to(
    chosen: list[Lead], pose: Pose, tension: float
) -> None:
    starboard = arranged(*chosen)
    port = arranged(*map(mirrored, chosen), alongside="port")
    length = unstretched_for(starboard, afloat(), tension)[0]
    one = line_states(starboard, pose, length)
    other = line_states(port, mirrored_pose(pose), length)
    for name in NUMBERS:
        assert getattr(other, name) == pytest.approx(getattr(one, name), rel=1e-9, abs=1e-7, nan_ok=True), (
            name
        )


@given(leads, poses, tensions, st.floats(0.0, 5.0))
def test_paying_out_never_raises_load(lead: Lead, pose: Pose, tension: float, metres: float) -> None:
    arrangement = arranged(lead)
    length = unstretched_for(arrangement, pose, tension)[0]
    before, after = (line_states(arrangement, pose, paid) for paid in (length, length + metres))
    for name in ("tension_kn", "load_share", "stretch_share", "elongation_pct"):
        assert (getattr(after, name) <= getattr(before, name) * (1.0 + 1e-12) + 1e-9).all(), name


@given(leads, tensions, st.floats(0.0, 3.0), st.floats(0.0, 3.0))
def test_farther_from_the_quay_never_lowers_load(
    lead: Lead, tension: float, sway: float, farther: float
) -> None:
    """A longer path never carries less."""
    arrangement = arranged(lead)
    length = unstretched_for(arrangement, afloat(), tension)[0]
    near = line_states(arrangement, moved(afloat(), sway=sway), length)
    far = line_states(arrangement, moved(afloat(), sway=sway + farther), length)
    assert far.path_m[0, 0] >= near.path_m[0, 0] - 1e-12
    assert far.tension_kn[0, 0] >= near.tension_kn[0, 0] * (1.0 - 1e-12)


@given(leads, poses, tensions)
def test_components_make_up_the_tension(lead: Lead, pose: Pose, tension: float) -> None:
    arrangement = arranged(lead)
    states = line_states(arrangement, pose, unstretched_for(arrangement, pose, tension))
    whole = np.sqrt(states.ahead_kn**2 + states.in_kn**2 + states.down_kn**2)
    assert whole == pytest.approx(states.tension_kn, rel=1e-12)
    vertical, horizontal = np.radians(states.vertical_deg), np.radians(states.horizontal_deg)
    assert states.down_kn == pytest.approx(states.tension_kn * np.sin(vertical), abs=1e-9)
    assert states.ahead_kn == pytest.approx(
        states.tension_kn * np.cos(vertical) * np.cos(horizontal), abs=1e-9
    )


@given(st.lists(leads, min_size=1, max_size=4), st.lists(poses, min_size=2, max_size=6), tensions)
def test_one_instant_answers_as_among_many(chosen: list[Lead], alone: list[Pose], tension: float) -> None:
    """To the last digit, so that a live watch and a replay of it agree."""
    arrangement = arranged(*chosen)
    length = unstretched_for(arrangement, afloat(), tension)[0]
    together = Pose(*(np.concatenate([getattr(p, k) for p in alone]) for k in Pose.__dataclass_fields__))
    many = line_states(arrangement, together, length)
    for row, pose in enumerate(alone):
        one = line_states(arrangement, pose, length)
        for name in NUMBERS:
            assert np.array_equal(getattr(many, name)[row], getattr(one, name)[0], equal_nan=True), name


def test_blocks_join_without_a_seam() -> None:
    """A thousand instants, worked in several blocks, answer as each by itself."""
    arrangement = arranged(inclined(25.0, 8.0), inclined(60.0, 8.0, WIRE, Tail(NYLON, 11.0)))
    tide = np.linspace(-1.0, 6.0, 1000)
    length = unstretched_for(arrangement, afloat(), 60.0)[0]
    changing = np.repeat(length[None, :], 1000, axis=0)
    whole = line_states(arrangement, afloat(tide), length)
    assert np.array_equal(line_states(arrangement, afloat(tide), changing).tension_kn, whole.tension_kn)
    for row in (0, 255, 256, 257, 511, 512, 999):
        one = line_states(arrangement, afloat(tide[row]), length)
        assert np.array_equal(one.tension_kn[0], whole.tension_kn[row])


@pytest.mark.parametrize("lost", [name for name in Pose.__dataclass_fields__ if name != "time"])
def test_an_unknown_pose_is_nan_on_its_own_row(lost: str) -> None:
    arrangement = arranged(inclined(25.0, 8.0), inclined(60.0, 8.0, WIRE, Tail(NYLON, 11.0)))
    pose = afloat(np.linspace(0.0, 3.0, 5))
    length = unstretched_for(arrangement, afloat(), 60.0)[0]
    whole = line_states(arrangement, pose, length)
    gap = replace(pose, **{lost: np.where(np.arange(5) == 2, np.nan, getattr(pose, lost))})
    found = line_states(arrangement, gap, length)
    others = [0, 1, 3, 4]
    for name in NUMBERS:
        if name != "unstretched_m":
            assert np.isnan(getattr(found, name)[2]).all(), name
        assert np.array_equal(getattr(found, name)[others], getattr(whole, name)[others]), name
    assert np.array_equal(found.unstretched_m[2], length)


def test_a_line_not_made_fast_still_has_its_lead() -> None:
    arrangement = arranged(inclined(25.0, 8.0), inclined(25.0, 8.0))
    states = line_states(arrangement, afloat(), np.array([24.0, np.nan]))
    for name in ("vertical_deg", "horizontal_deg", "outboard_m", "path_m"):
        assert getattr(states, name)[0, 1] == getattr(states, name)[0, 0], name
    for name in set(NUMBERS) - {"vertical_deg", "horizontal_deg", "outboard_m", "path_m"}:
        assert np.isnan(getattr(states, name)[0, 1]), name
        assert not np.isnan(getattr(states, name)[0, 0]), name


def test_a_slack_line_says_by_how_much() -> None:
    """30 m of rope on a path of 27 m: elongation -10 %, no load, no share of its stretch."""
    states = line_states(arranged(inclined(27.0, 0.0)), afloat(), np.array([30.0]))
    assert states.elongation_pct[0, 0] == pytest.approx(-10.0, abs=1e-12)
    for name in ("tension_kn", "stretch_share", "load_share", "ahead_kn", "in_kn", "down_kn"):
        assert getattr(states, name)[0, 0] == 0.0, name


def test_lengths_for_another_number_of_instants_are_refused() -> None:
    with pytest.raises(ValueError, match="for 3 instants, expected 1 or 2"):
        line_states(arranged(inclined(27.0, 0.0)), afloat([0.0, 1.0]), np.full((3, 1), 20.0))


def test_a_file_without_lines_or_fenders_is_no_fault_of_the_mechanics() -> None:
    states = line_states(arrangement_of(stay_with([], fenders=())), afloat([0.0, 1.0]), np.empty(0))
    assert states.tension_kn.shape == (2, 0)
