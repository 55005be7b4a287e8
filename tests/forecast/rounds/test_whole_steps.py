"""Moves that can be done on deck: steps of 0.05 m, none small where there is room, no limit broken."""

from itertools import product

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.forecast.rounds.plan import Crew
from alongside.forecast.rounds.rounds_apart import plan_rounds
from alongside.forecast.rounds.whole_steps import (
    LEAST_MOVE,
    in_centimetres,
    in_steps,
    nearest_length,
    on_deck,
)
from tests.forecast.rounds.test_rounds import HOUR, instances

LEAST = 0.10  # common practice, no source: nobody sends two men for less


def with_all_rounds(time, plan, lengths_before):
    """(m, n) lengths when every round is begun at its latest; a test's own book-keeping."""
    lengths = np.tile(lengths_before, (time.size, 1))
    for each in plan.rounds:
        for move in each.moves:
            lengths[time >= each.latest, move.line] += move.pay_out_m
    return lengths


def test_a_small_move_is_joined_to_another_round():
    # ours, by hand: 10.0 fails at 2 h by 0.03 m, and at 4 h by 0.60 m. A move of 0.10 at 1 h or of all at 1 h
    # serves too, so nobody goes out for 0.05 m
    time = HOUR * np.arange(6)
    lo = np.array([9.5, 9.6, 10.03, 10.03, 10.60, 10.60])[:, None]
    hi = np.array([10.2, 10.2, 10.2, 10.2, 10.8, 10.8])[:, None]
    plan = plan_rounds(time, lo, hi, np.array([10.0]), Crew())
    found = on_deck(plan, time, (lo, hi), (lo, hi), Crew())
    moves = [move.pay_out_m for each in found.rounds for move in each.moves]
    assert len(found.rounds) == len(plan.rounds) == 2
    assert all(abs(move) >= LEAST - 1e-9 and in_steps(move) for move in moves)
    lengths = with_all_rounds(time, found, np.array([10.0]))
    assert ((lo - 1e-9 <= lengths) & (lengths <= hi + 1e-9)).all()


def test_a_short_wire_keeps_its_small_move():
    # ours, by hand: between 10.03 and 10.07 only a move of 0.05 m serves
    time = HOUR * np.arange(3)
    lo, hi = np.array([9.9, 10.03, 10.03])[:, None], np.array([10.07, 10.07, 10.07])[:, None]
    plan = plan_rounds(time, lo, hi, np.array([10.0]), Crew())
    ((move,),) = [each.moves for each in on_deck(plan, time, (lo, hi), (lo, hi), Crew()).rounds]
    assert abs(move.pay_out_m - 0.05) < 1e-9


def test_where_no_step_serves_most_cases_one_serves_what_is_expected():
    # ours, by hand: 10.11 to 10.14 has no step from 10.0, 10.05 to 10.20 has 0.10 and 0.15
    time = HOUR * np.arange(3)
    lo, hi = np.array([9.9, 10.11, 10.11])[:, None], np.array([10.3, 10.14, 10.14])[:, None]
    wide = np.array([9.9, 10.05, 10.05])[:, None], np.array([10.3, 10.20, 10.20])[:, None]
    plan = plan_rounds(time, lo, hi, np.array([10.0]), Crew())
    ((move,),) = [each.moves for each in on_deck(plan, time, (lo, hi), wide, Crew()).rounds]
    assert min(abs(move.pay_out_m - 0.10), abs(move.pay_out_m - 0.15)) < 1e-9


@pytest.mark.slow
@given(instances(), st.sampled_from([Crew(), Crew(minutes_per_line=5.0, hands=2), Crew(largest_move=0.6)]))
def test_no_limit_that_was_kept_is_broken_on_deck(instance, crew):
    time, lo, hi, present = instance
    plan = plan_rounds(time, lo, hi, present, crew)
    found = on_deck(plan, time, (lo, hi), (lo, hi), crew)
    before, after = (with_all_rounds(time, each, present) for each in (plan, found))
    broken = ((before < lo - 1e-6) | (before > hi + 1e-6)).any(axis=0)
    out = ((after < lo - 1e-6) | (after > hi + 1e-6)).any(axis=0)
    excused = {each.line for each in plan.cannot_cure}
    first_at_once = bool(plan.rounds) and plan.rounds[0].overdue
    for line in np.flatnonzero(out):
        assert broken[line] or line in excused or first_at_once
    np.testing.assert_allclose(after, found.lengths, atol=1e-9)
    assert len(found.rounds) <= len(plan.rounds)
    by_latest = {each.latest: each for each in plan.rounds}
    for each in found.rounds:
        assert each.duration_s <= by_latest[each.latest].duration_s
        assert all(abs(move.pay_out_m) <= crew.largest_move + 1e-9 for move in each.moves)


@pytest.mark.slow
@given(st.integers(0, 100_000))
def test_no_way_of_whole_steps_has_fewer_moves_or_fewer_small_ones(seed):
    """One line over the rounds of its plan, against every way there is in steps of 0.05 m."""
    rng = np.random.default_rng(seed)
    m = int(rng.integers(3, 7))
    time = 600.0 * np.arange(m)
    middle = 10.0 + 0.05 * np.cumsum(rng.integers(-4, 5, m))
    lo, hi = (
        (middle - 0.05 * rng.integers(0, 4, m))[:, None],
        (middle + 0.05 * rng.integers(0, 4, m))[:, None],
    )
    present = float(lo[0, 0] + 0.05 * rng.integers(0, 2))
    plan = plan_rounds(time, lo, hi, np.array([present]))
    found = on_deck(plan, time, (lo, hi), (lo, hi), Crew())
    made = [move.pay_out_m for each in found.rounds for move in each.moves]
    starts = [round(each.latest / 600.0) for each in plan.rounds]
    if not starts or len(starts) > 2 or starts[0] == 0:
        return
    best = None
    for steps in product(range(-25, 26), repeat=len(starts)):
        lengths = np.full(m, present)
        for start, step in zip(starts, steps, strict=True):
            lengths[start:] += 0.05 * step
        if ((lengths < lo[:, 0] - 1e-9) | (lengths > hi[:, 0] + 1e-9)).any():
            continue
        count = sum(step != 0 for step in steps), sum(0 < abs(step) < 2 for step in steps)
        best = count if best is None else min(best, count)
    assert best is not None, "whole bands have a way of whole steps"
    assert (len(made), sum(abs(move) < LEAST - 1e-9 for move in made)) == best
    assert all(in_steps(move) for move in made)


def test_the_length_next_to_the_one_wanted():
    assert LEAST_MOVE == LEAST
    assert abs(nearest_length(10.0, 10.03, 9.0, 11.0) - 10.10) < 1e-9, "0.10 m where there is room"
    assert abs(nearest_length(10.0, 10.03, 9.98, 10.06) - 10.05) < 1e-9, "else 0.05 m"
    assert abs(nearest_length(10.0, 10.03, 10.02, 10.04) - 10.03) < 1e-9, "else centimetres"


@given(instances(), st.sampled_from([Crew(), Crew(largest_move=0.6), Crew(minutes_per_line=5.0, hands=2)]))
def test_every_move_that_is_written_is_whole_centimetres_and_so_are_the_lengths(instance, crew):
    time, lo, hi, present = instance
    plan = on_deck(plan_rounds(time, lo, hi, present, crew), time, (lo, hi), (lo, hi), crew)
    written = in_centimetres(plan, time, crew)
    before, after = (with_all_rounds(time, each, present) for each in (plan, written))
    if not np.isfinite(crew.largest_move):
        assert np.abs(after - before).max(initial=0.0) <= 0.005 + 1e-9
    for each in written.rounds:
        assert each.moves
        assert all(0.005 < abs(move.pay_out_m) <= crew.largest_move + 1e-9 for move in each.moves)
        assert all(abs(move.pay_out_m * 100.0 - round(move.pay_out_m * 100.0)) < 1e-6 for move in each.moves)
    known = ~np.isnan(written.lengths)
    assert np.allclose(written.lengths[known], after[known])
