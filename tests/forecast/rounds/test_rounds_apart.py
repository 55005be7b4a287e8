"""Rounds of few hands: made longer, or split."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from alongside.forecast.rounds.fewest_rounds import plan_together
from alongside.forecast.rounds.how_long_lengths_serve import TOLERANCE
from alongside.forecast.rounds.plan import Crew, Plan
from alongside.forecast.rounds.rounds_apart import plan_rounds

ONE_TEAM = Crew(minutes_per_line=10.0, hands=2)
STEP = 600.0


def two_lines_within_ten_minutes():
    """Two lines at 10 m, every ten minutes. Line 0 must be 10.8 m or more from 60 min on, line 1 from 70 min;
    neither may be that long before 50 min."""
    time = STEP * np.arange(10)
    lo, hi = np.full((10, 2), 9.5), np.full((10, 2), 10.5)
    hi[5:] = 11.5
    lo[6:, 0] = 10.8
    lo[7:, 1] = 10.8
    return time, lo, hi, np.array([10.0, 10.0])


def missing(plan: Plan) -> float:
    return sum(each.missing_m for each in plan.cannot_cure if each.why == "pace")


def test_two_hands_do_one_line_after_the_other_where_a_long_round_does_not_serve() -> None:
    """By hand: a round of both lasts 20 min and would have to begin at 40 min, when no longer line serves
    yet. One line at 50 min, the other at 60 min."""
    case = two_lines_within_ten_minutes()
    assert missing(plan_together(*case, ONE_TEAM)) > 0.0
    plan = plan_rounds(*case, ONE_TEAM)
    assert plan.cannot_cure == ()
    assert [(each.latest, [move.line for move in each.moves]) for each in plan.rounds] == [
        (5 * STEP, [0]),
        (6 * STEP, [1]),
    ]
    assert plan.lengths[5, 0] >= 10.8
    assert plan.lengths[5, 1] == 10.0


def test_hands_enough_need_no_splitting() -> None:
    case = two_lines_within_ten_minutes()
    plan = plan_rounds(*case, Crew(minutes_per_line=10.0, hands=4))
    assert len(plan.rounds) == 1
    assert plan.cannot_cure == ()


def test_a_round_that_serves_is_not_split() -> None:
    time, lo, hi, present = two_lines_within_ten_minutes()
    hi[:] = 11.5
    plan = plan_rounds(time, lo, hi, present, ONE_TEAM)
    assert len(plan.rounds) == 1
    assert plan.rounds[0].duration_s == 2 * STEP


@pytest.mark.slow
@settings(max_examples=300)
@given(st.integers(0, 2**32 - 1), st.sampled_from([0.0, 2 * STEP]), st.sampled_from([np.inf, 2.0]))
def test_split_rounds_never_want_hands_twice_and_keep_what_they_say(
    seed: int, gap_s: float, largest: float
) -> None:
    """Judged by plain looking: no two rounds at once, at no time of theirs; while a round lasts old and new
    length serve; and never more is missing than with long rounds."""
    rng = np.random.default_rng(seed)
    m, n = int(rng.integers(4, 16)), int(rng.integers(2, 6))
    walk = np.cumsum(rng.integers(-1, 2, (m, n)), axis=0) + 10
    lo, hi = walk - rng.integers(1, 3, (m, n)).astype(float), walk + rng.integers(1, 3, (m, n)).astype(float)
    present = (lo[0] + hi[0]) / 2.0
    time = STEP * np.arange(m)
    crew = Crew(10.0, 2 * int(rng.integers(1, 3)), gap_s=gap_s, largest_move=largest)
    plan, together = plan_rounds(time, lo, hi, present, crew), plan_together(time, lo, hi, present, crew)
    assert missing(plan) <= missing(together) + 1e-3
    if plan.rounds == together.rounds:
        return
    for before, after in pairwise(plan.rounds):
        assert after.latest >= after.not_before
        assert after.latest >= before.latest + max(before.duration_s, gap_s) - 1e-6
        if after.not_before < after.latest:
            assert after.not_before >= before.latest + before.duration_s - 1e-6
    cured = ~np.zeros((m, n), dtype=bool)
    for each in plan.cannot_cure:
        cured[(time >= each.time), each.line] = False
    for each in plan.rounds:
        assert len(each.moves) <= crew.lines_at_once
        assert each.duration_s == 600.0
        start = int(np.searchsorted(time, each.latest))
        for move in each.moves:
            assert abs(move.pay_out_m) <= largest + 1e-9
            old = move.length - move.pay_out_m
            if start and cured[start, move.line]:
                assert lo[start, move.line] - TOLERANCE <= old <= hi[start, move.line] + TOLERANCE
    inside = (plan.lengths >= lo - 1e-6) & (plan.lengths <= hi + 1e-6)
    assert (inside | ~cured | (lo > hi)).all()
