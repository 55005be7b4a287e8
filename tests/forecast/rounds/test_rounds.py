"""Tending rounds."""

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from alongside.forecast.rounds.plan import Crew
from alongside.forecast.rounds.rounds_against_margin import rounds_against_margin
from alongside.forecast.rounds.rounds_apart import plan_rounds
from tests.forecast.rounds.every_plan import fewest

HOUR = 3600.0


def hours(instants):
    return [instant / HOUR for instant in instants]


def rising():
    """One line on a steady rise: (time, lo, hi, present)."""
    lo = np.array([10.0, 10.2, 10.4, 10.6, 10.8, 11.0, 11.2])[:, None]
    return HOUR * np.arange(7), lo, lo + 0.5, np.array([10.3])


def breast_and_spring():
    """A breast 15 m and a spring 50 m out, 6 m down at low water, over one tide of 4 m, hourly."""
    hour = np.arange(13)
    height = 6.0 + 2.0 - 2.0 * np.cos(2.0 * np.pi * hour / 12.42)
    length = np.hypot([[15.0, 50.0]], height[:, None])
    lo, hi, present = length / 1.04, length / 1.002, length[0] / 1.015
    return HOUR * hour, np.round(lo, 2), np.round(hi, 2), np.round(present, 2)


def test_a_steady_rise():
    # ours, by hand: latest {2, 5}, earliest {1, 4}; bands [10.8, 10.9] and [11.2, 11.5]
    plan = plan_rounds(*rising())
    assert hours(each.latest for each in plan.rounds) == [2, 5]
    assert hours(each.not_before for each in plan.rounds) == [1, 4]
    bands = [(move.low, move.high) for each in plan.rounds for move in each.moves]
    np.testing.assert_allclose(bands, [(10.8, 10.9), (11.2, 11.5)], atol=1e-9)
    assert plan.is_fewest
    assert plan.margin == pytest.approx(0.05, abs=1e-9)
    assert hours([plan.good_until]) == [6]


def test_a_steady_rise_rounds_against_margin():
    # ours, by hand: 0.05 m with two rounds, 0.15 m with three
    two, three = rounds_against_margin(*rising(), more=1)
    assert (two.rounds, three.rounds) == (2, 3)
    assert two.margin == pytest.approx(0.05, abs=1e-8)
    assert three.margin == pytest.approx(0.15, abs=1e-8)
    assert len(three.plan.rounds) == 3
    assert three.plan.margin == pytest.approx(0.15, abs=1e-8)


def test_a_breast_and_a_spring_over_a_tide():
    # ours, by hand: four rounds, all on the breast, slack, slack, heave, heave
    plan = plan_rounds(*breast_and_spring())
    assert hours(each.latest for each in plan.rounds) == [3, 5, 9, 11]
    assert hours(each.not_before for each in plan.rounds) == [2, 4, 8, 10]
    assert {move.line for each in plan.rounds for move in each.moves} == {0}
    assert [np.sign(each.moves[0].pay_out_m) for each in plan.rounds] == [1, 1, -1, -1]
    assert plan.is_fewest
    for each in plan.rounds:
        assert each.moves[0].pay_out_m / 0.05 == pytest.approx(round(each.moves[0].pay_out_m / 0.05))


def drawn(rng, kind):
    """A random instance in whole metres, every ten minutes, with what binds it: (bands, plan's and every
    plan's arguments)."""
    crew_counts = kind == "crew"
    m, n = int(rng.integers(3, 6 if crew_counts else 7)), int(rng.integers(1, 3 if crew_counts else 4))
    walk = np.cumsum(rng.integers(-2, 3, (m, n)), axis=0) + 10
    lo, hi = walk - rng.integers(0, 3, (m, n)), walk + rng.integers(0, 3, (m, n))
    if rng.random() < 0.2:  # a band that is empty at an instant
        lo[rng.integers(m), rng.integers(n)] += 4
    present = (lo[0] + hi[0]) // 2 + rng.integers(-2, 3, n)  # at times already out of band
    k = int(rng.integers(1, 4))
    crew, limits = {
        "plain": (Crew(), {}),
        "gap": (Crew(gap_s=600.0 * (k + 1)), {"gap": k + 1}),
        "largest move": (Crew(largest_move=float(k)), {"largest": k}),
        "crew": (Crew(minutes_per_line=10.0, hands=2 * k), {"per_line": 1, "teams": k}),
    }[kind]
    return (600.0 * np.arange(m), lo, hi, present), crew, limits


@pytest.mark.slow
@pytest.mark.parametrize("kind", ["plain", "gap", "largest move", "crew"])
def test_500_random_instances_against_every_plan_there_is(kind):
    rng = np.random.default_rng(len(kind))
    proved = possible = 0
    for _ in range(125):
        (time, lo, hi, present), crew, limits = drawn(rng, kind)
        plan = plan_rounds(time, lo.astype(float), hi.astype(float), present.astype(float), crew)
        least = fewest(lo.tolist(), hi.tolist(), present.tolist(), **limits)
        outpaced = any(each.why == "pace" for each in plan.cannot_cure)
        assert outpaced == (least is None)
        if least is not None:
            assert len(plan.rounds) == least
            possible, proved = possible + 1, proved + plan.is_fewest
    assert proved == possible
    assert possible > 40


def test_an_empty_band_is_named_and_the_rest_is_planned():
    time, lo, hi, _ = rising()
    wider = np.hstack([lo, lo - 1.0]), np.hstack([hi, hi + 1.0])
    wider[0][3, 1], wider[1][3, 1] = 10.9, 10.6
    plan = plan_rounds(time, *wider, np.array([10.3, 10.3]))
    (cannot,) = plan.cannot_cure
    assert (cannot.line, cannot.time, cannot.until, cannot.why) == (1, 3 * HOUR, 3 * HOUR, "empty")
    assert cannot.missing_m == pytest.approx(0.3)
    assert hours(each.latest for each in plan.rounds) == [2, 5]
    assert hours([plan.good_until]) == [2]


def test_already_out_of_band_is_a_round_now():
    time, lo, hi, _ = rising()
    plan = plan_rounds(time, lo, hi, np.array([9.7]))
    assert plan.rounds[0].latest == plan.rounds[0].not_before == 0.0
    assert plan.rounds[0].overdue
    assert not plan.rounds[1].overdue
    assert hours([plan.good_until]) == [6]


def test_nothing_to_do():
    time, lo, hi, present = rising()
    plan = plan_rounds(time[:2], lo[:2], hi[:2], present)
    assert plan.rounds == ()
    assert plan.is_fewest


def test_a_line_that_is_not_known_is_left_alone():
    time, lo, hi, _ = rising()
    plan = plan_rounds(time, np.hstack([lo, lo]), np.hstack([hi, hi]), np.array([10.3, np.nan]))
    assert {move.line for each in plan.rounds for move in each.moves} == {0}
    assert np.isnan(plan.lengths[:, 1]).all()


def test_nothing_is_planned_beyond_what_is_known():
    time, lo, hi, present = rising()
    lo[4:] = np.nan
    plan = plan_rounds(time, lo, hi, present)
    assert hours(each.latest for each in plan.rounds) == [2]
    assert hours([plan.good_until]) == [3]
    assert np.isnan(plan.lengths[4:]).all()


def test_bands_that_outpace_rounds_are_named_and_planned_around():
    time, lo, hi, present = rising()
    plan = plan_rounds(time, lo, hi, present, Crew(gap_s=5 * HOUR))
    (cannot,) = plan.cannot_cure
    assert (cannot.line, cannot.why) == (0, "pace")
    assert cannot.missing_m == pytest.approx(0.1)  # ours: from 2 h to 5 h lo is 11.0, hi 10.9
    assert cannot.time == 5 * HOUR


def test_without_hands_there_are_no_rounds():
    plan = plan_rounds(*rising(), Crew(hands=1))
    assert plan.rounds == ()
    assert plan.cannot_cure[0].time == 2 * HOUR


def test_a_round_lasts_as_long_as_its_lines_take():
    assert Crew(minutes_per_line=10.0, hands=4).duration(3) == 1200.0
    assert Crew(minutes_per_line=10.0).duration(3) == 600.0
    assert Crew(hands=1).duration(1) == math.inf
    plan = plan_rounds(*rising(), Crew(minutes_per_line=60.0))
    first = plan.rounds[0]
    assert first.duration_s == HOUR
    assert hours([first.latest]) == [1]  # done by 2 h, when 10.3 fails


def test_the_line_that_fails_first_is_tended_first():
    time, lo, hi, present = rising()
    plan = plan_rounds(time, np.hstack([lo - 0.1, lo]), np.hstack([hi, hi]), np.repeat(present, 2))
    assert [move.line for move in plan.rounds[0].moves] == [1, 0]


def test_a_margin_that_rounds_cannot_keep_is_not_asked():
    time, lo, hi, present = rising()
    crew = Crew(largest_move=0.6, gap_s=3 * HOUR)
    with_margin = plan_rounds(time, lo, hi, present, Crew(largest_move=0.6, gap_s=3 * HOUR, margin=0.2))
    assert with_margin.cannot_cure == ()
    assert len(with_margin.rounds) == len(plan_rounds(time, lo, hi, present, crew).rounds)


def test_a_choice_of_margin_is_kept_by_its_plan():
    time, lo, hi, present = breast_and_spring()
    for choice in rounds_against_margin(time, lo, hi, present):
        assert choice.plan.margin >= choice.margin / 2.0
        clear = np.minimum(choice.plan.lengths - lo, hi - choice.plan.lengths)
        assert clear.min() == pytest.approx(choice.plan.margin, abs=1e-9)


def test_lines_that_need_no_tending_are_left():
    time, lo, hi, present = rising()
    plan = plan_rounds(time, np.hstack([lo, lo - 2.0]), np.hstack([hi, hi + 2.0]), np.repeat(present, 2))
    assert [len(each.moves) for each in plan.rounds] == [1, 1]


@st.composite
def instances(draw):
    m, n = draw(st.integers(2, 12)), draw(st.integers(1, 4))
    steps = draw(arrays(float, (m, n), elements=st.floats(-0.5, 0.5)))
    width = draw(arrays(float, (m, n), elements=st.floats(0.05, 1.5)))
    lo = 20.0 + np.cumsum(steps, axis=0)
    present = lo[0] + width[0] * draw(arrays(float, n, elements=st.floats(-0.5, 1.5)))
    return 300.0 * np.arange(m), lo, lo + width, present


crews = st.builds(
    Crew,
    minutes_per_line=st.sampled_from([0.0, 5.0, 10.0]),
    hands=st.sampled_from([None, 2, 4]),
    gap_s=st.sampled_from([0.0, 900.0]),
    largest_move=st.sampled_from([math.inf, 0.6]),
    margin=st.sampled_from([0.0, 0.05]),
)


@settings(deadline=None)
@given(instances(), crews)
def test_no_band_is_violated_inside_a_plan(instance, crew):
    time, lo, hi, present = instance
    plan = plan_rounds(time, lo, hi, present, crew)
    excused = np.zeros(lo.shape, dtype=bool)
    for each in plan.cannot_cure:
        excused[(time >= each.time) & (time <= each.until), each.line] = True
    lengths = np.tile(present, (time.size, 1))
    for each in plan.rounds:
        for move in each.moves:
            lengths[time >= each.latest, move.line] += move.pay_out_m
            assert abs(move.pay_out_m) <= crew.largest_move + 1e-9
            assert move.low - 1e-9 <= move.length <= move.high + 1e-9
    np.testing.assert_allclose(lengths, plan.lengths, atol=1e-9)
    out = (lengths < lo - 1e-6) | (lengths > hi + 1e-6)
    assert not (out & ~excused).any()
    assert all(each.not_before <= each.latest for each in plan.rounds)
    starts = np.diff([each.latest for each in plan.rounds])
    assert (starts >= crew.gap_s - 1e-6).all()


@settings(deadline=None)
@given(instances(), st.floats(0.0, 0.1))
def test_tighter_bands_never_need_fewer_rounds(instance, by):
    time, lo, hi, present = instance
    by = np.minimum(by, (hi - lo) / 2.0)
    wide = plan_rounds(time, lo, hi, present)
    tight = plan_rounds(time, lo + by, hi - by, present)
    assert len(tight.rounds) >= len(wide.rounds)
    assert wide.is_fewest
    assert tight.is_fewest


@settings(deadline=None)
@given(instances())
def test_latest_starts_close_pairs_that_no_length_serves(instance):
    # why the farthest reach is optimal: from one latest start to the next no length serves throughout
    time, lo, hi, present = instance
    plan = plan_rounds(time, lo, hi, present)
    at = [int(each.latest / 300.0) for each in plan.rounds]
    for begin, end in pairwise(at):
        assert (lo[begin : end + 1].max(axis=0) > hi[begin : end + 1].min(axis=0) + 1e-9).any()
