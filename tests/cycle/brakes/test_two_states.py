"""Both states of a brake in question: against independent statics, and what must hold of any gusts. Expected
values: ours."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import interpolate, optimize

from alongside.actions import TendLine
from alongside.mechanics.exposure import exposure_of, loads_of
from alongside.mechanics.situation import Situation
from alongside.readings import Floats
from alongside.stay.model import Stay
from tests.cycle.brakes.gusts import BEGIN, BRAKE, GALE, gusts, lived, started
from tests.mechanics.test_render import berth

SPEEDS = st.lists(st.floats(5.0, 24.0), min_size=2, max_size=12)


def statics(stay: Stay, seen: Situation, lengths: Floats, cap: float) -> tuple[Floats, Floats]:
    """Return loads and paths of the lines where nothing is left over: plain trigonometry, scipy's monotone
    cubic and root finder. Ship of 120 m on an even keel, starboard side to, ropes without tails."""
    place, breadth = stay.place, stay.ship.breadth
    wind = loads_of(exposure_of(stay), seen)[0]

    def lines(pose: Floats) -> tuple[Floats, Floats, Floats, Floats]:
        cos, sin = np.cos(pose[2]), np.sin(pose[2])
        forces, loads, paths, arms = [], [], [], []
        for line, length in zip(stay.lines, lengths, strict=True):
            at = stay.ship.fairleads[line.fairlead]
            ahead, port = at.x - place.ship_x, at.y
            arm = np.array([ahead * cos - port * sin, ahead * sin + port * cos])
            x, y = place.berth_x + pose[0] + arm[0], breadth / 2.0 + pose[1] + arm[1]
            up = at.z - float(seen.draught_aft[0]) + float(seen.tide[0])
            bollard, winch = stay.berth.bollards[line.bollard].at, stay.ship.winches[line.winch or ""].at
            lead = np.array([bollard.x - x, bollard.y - y, bollard.z - up])
            inboard = np.linalg.norm([at.x - winch.x, at.y - winch.y, at.z - winch.z])
            path = np.linalg.norm(lead) + inboard
            table = np.array(line.rope.curve)
            curve = interpolate.PchipInterpolator(table[:, 0], table[:, 1])
            strain = max(100.0 * (path / length - 1.0), 0.0)
            load = min(float(curve(strain)) * line.rope.mbl_kn, cap)
            forces.append(load * lead[:2] / np.linalg.norm(lead))
            loads.append(load)
            paths.append(path)
            arms.append(arm)
        return np.array(forces), np.array(loads), np.array(paths), np.array(arms)

    def sides(pose: Floats) -> Floats:
        x = np.array([fender.x for fender in stay.berth.fenders])
        y0 = breadth / 2.0 + pose[1]
        across = x - place.berth_x - pose[0] - breadth / 2.0 * np.sin(pose[2])
        side: Floats = y0 - breadth / 2.0 * np.cos(pose[2]) + np.tan(pose[2]) * across
        return side

    def net(scaled: Floats) -> Floats:
        pose = scaled * np.array([1.0, 1.0, 0.02])
        forces, _, _, arms = lines(pose)
        total = np.append(forces.sum(axis=0), (arms[:, 0] * forces[:, 1] - arms[:, 1] * forces[:, 0]).sum())
        stiffness = np.array([fender.stiffness_kn_per_m for fender in stay.berth.fenders], dtype=float)
        push = stiffness * np.maximum(-sides(pose), 0.0)
        for axis in range(3):
            step = np.zeros(3)
            step[axis] = 1e-6
            total[axis] += (push * (sides(pose + step) - sides(pose - step)) / 2e-6).sum()
        total += wind.at(np.array([pose[2]]))[:, 0]
        return total * np.array([1.0, 1.0, 0.02])

    found = optimize.root(net, np.array([0.0, 0.2, 0.0]), method="hybr", tol=1e-13)
    assert np.abs(found.fun).max() < 1e-4
    _, loads, paths, _ = lines(found.x * np.array([1.0, 1.0, 0.02]))
    return loads, paths


def test_both_states_are_those_of_independent_statics() -> None:
    stay, _, before = started()
    seen = gusts(GALE)
    found = lived(seen)
    assert found.slipped[-1] is not None
    held, _ = statics(stay, seen, before.unstretched, np.inf)
    capped, paths = statics(stay, seen, before.unstretched, BRAKE)
    np.testing.assert_allclose(found.held.lines.tension_kn[0], held, rtol=1e-5)
    np.testing.assert_allclose(found.in_slipped.lines.tension_kn[0], capped, rtol=1e-5)
    rope = stay.lines[0].rope
    table = np.array(rope.curve)
    curve = interpolate.PchipInterpolator(table[:, 0], table[:, 1])
    strain = optimize.brentq(lambda e: curve(e) - BRAKE / rope.mbl_kn, 0.0, 15.0)
    ran = found.slipped[-1].over.ran_out_m[-1]
    gave = capped > BRAKE * (1.0 - 1e-9)
    assert gave.any()
    expected = paths / (1.0 + strain / 100.0) - before.unstretched
    np.testing.assert_allclose(ran[gave], expected[gave], atol=1e-4)


@pytest.mark.slow
@settings(max_examples=40)
@given(speeds=SPEEDS)
def test_length_is_conserved_and_never_above_the_holding(speeds: list[float]) -> None:
    _, _, before = started()
    found = lived(gusts(*speeds))
    np.testing.assert_array_equal(found.lengths.unstretched, before.unstretched)  # no answer, no length
    if found.slipped[-1] is None:
        assert (found.held.lines.tension_kn <= BRAKE * (1.0 + 1e-6)).all()
        return
    state = found.slipped[-1]
    ran = state.over.ran_out_m
    np.testing.assert_allclose(
        state.hold.lines.unstretched_m, before.unstretched + np.nan_to_num(ran), rtol=0.0, atol=1e-9
    )
    assert (np.diff(np.nan_to_num(ran), axis=0) >= 0.0).all()  # what ran out stays out
    stretched = state.hold.lines.unstretched_m * (1.0 + state.hold.lines.elongation_pct / 100.0)
    np.testing.assert_allclose(stretched, state.hold.lines.path_m, rtol=1e-12)
    assert (state.hold.lines.tension_kn <= BRAKE * (1.0 + 2e-6)).all()
    over = found.held.lines.tension_kn > BRAKE * (1.0 + 1e-6)
    asked = ~np.isnan(ran)
    assert asked[over].all()
    assert (asked[1:] >= asked[:-1]).all()  # and stays asked when the gust is over


@pytest.mark.slow
@settings(max_examples=40)
@given(speeds=SPEEDS, cuts=st.sets(st.integers(1, 11)), slack=st.floats(0.05, 0.5), when=st.integers(0, 11))
def test_the_same_however_it_is_cut(speeds: list[float], cuts: set[int], slack: float, when: int) -> None:
    seen, n = gusts(*speeds), len(speeds)
    actions = {when: [TendLine("3", paid_out=slack)]} if when < n else {}
    whole, cut = (lived(seen, actions, [c for c in some if c < n]) for some in ((), cuts))
    np.testing.assert_array_equal(whole.held.lines.unstretched_m, cut.held.lines.unstretched_m)
    brakes, other = whole.lengths.brakes, cut.lengths.brakes
    assert [(each.line, each.since) for each in brakes.questions] == [
        (each.line, each.since) for each in other.questions
    ]
    for one, two in zip(brakes.questions, other.questions, strict=True):
        assert two.ran_out_m == pytest.approx(one.ran_out_m, abs=1e-6)
        assert two.most_kn == pytest.approx(one.most_kn, rel=1e-6)
    if brakes.slipped is not None and other.slipped is not None:
        np.testing.assert_allclose(brakes.slipped, other.slipped, atol=1e-6)


@pytest.mark.parametrize("cuts", [(), (1,), (1, 2)])
def test_a_gauge_that_is_wrong_asks_but_runs_nothing_out(cuts: tuple[int, ...]) -> None:
    """What ran out does not come back, so not by a value that another witness says is wrong; it is said that
    more may have."""
    found = lived(gusts(GALE, GALE, 10.0), misled=np.array([True, True, False]), cuts=cuts)
    over = found.held.lines.tension_kn[0] > BRAKE
    assert over.any()
    assert list(found.lengths.brakes.asked) == [str(at + 1) for at in np.flatnonzero(over)]
    assert {(each.since, each.ran_out_m, each.most_kn) for each in found.lengths.brakes.questions} == {
        (BEGIN, 0.0, BRAKE)  # no brake is known to have borne what a wrong gauge shows
    }
    assert found.slipped[0] is not None
    assert found.slipped[0].over.or_more is not None
    np.testing.assert_array_equal(found.slipped[0].over.or_more[0], over)
    last = found.slipped[-1]
    assert last is not None
    assert last.over.or_more is not None
    assert not last.over.or_more[-1].any()


@pytest.mark.parametrize("cuts", [(), (1,)])
def test_from_a_wrong_gauge_no_more_runs_out_than_had(cuts: tuple[int, ...]) -> None:
    found = lived(gusts(GALE, GALE + 2.0, GALE + 2.0), misled=np.array([False, True, False]), cuts=cuts)
    both = [each for each in found.slipped if each is not None]
    ran = np.concatenate([each.over.ran_out_m for each in both])
    most = np.concatenate([each.over.most_kn for each in both])
    more = np.concatenate([each.over.or_more for each in both if each.over.or_more is not None])
    np.testing.assert_array_equal(ran[0], ran[1])
    np.testing.assert_array_equal(most[0], most[1])
    assert (ran[2] > ran[1]).any()
    assert most[2].max() > most[1].max()
    assert more.any(axis=1).tolist() == [False, True, False]


def test_a_ship_kept_in_place_has_both_states_too() -> None:
    """The length that carries the holding on the path of the ship in place."""
    stay = replace(berth(balanced=False))
    seen = replace(gusts(0.0), tide=np.array([4.5]))
    found = lived(seen, stay=stay)
    over = found.held.lines.tension_kn[0] > BRAKE
    assert over.any()
    np.testing.assert_allclose(found.in_slipped.lines.tension_kn[0, over], BRAKE, rtol=1e-9)
    np.testing.assert_array_equal(found.in_slipped.lines.path_m, found.held.lines.path_m)


def test_slacked_by_metres_both_states_change_by_them() -> None:
    found = lived(gusts(GALE, 10.0), {1: [TendLine("3", paid_out=0.4)]})
    _, arrangement, before = started()
    at = arrangement.ids.index("3")
    assert found.lengths.unstretched[at] == pytest.approx(before.unstretched[at] + 0.4)
    question = found.lengths.brakes.question("3")
    assert question is not None
    assert question.since == BEGIN
    assert found.lengths.brakes.slipped is not None
    expected = before.unstretched[at] + 0.4 + question.ran_out_m
    assert found.lengths.brakes.slipped[at] == pytest.approx(expected)


def test_a_line_set_to_a_tension_has_a_known_length() -> None:
    found = lived(gusts(GALE, 10.0), {1: [TendLine("3", to_tension_kn=50.0)]})
    assert found.lengths.brakes.question("3") is None
    assert found.lengths.brakes.questions, "the others are still asked"
    notes = [event.text for event in found.events if event.event == "note"]
    assert notes == ["Line 3: set to a tension, so nothing is asked of its brake any more"]
