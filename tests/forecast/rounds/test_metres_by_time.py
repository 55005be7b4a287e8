"""The metres of a move when its round begins earlier than at its latest."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.forecast.rounds.metres_by_time import metres_by_time
from alongside.forecast.rounds.plan import Move, Round
from alongside.forecast.rounds.rounds_apart import plan_rounds
from alongside.forecast.rounds.whole_steps import in_steps
from tests.forecast.rounds.test_rounds import HOUR, drawn, rising

TOLERANCE = 1e-4
"""Metres are rounded to a tenth of a millimetre."""


def test_an_earlier_round_takes_fewer_metres_of_a_steady_rise():
    # ours, by hand: tended at 1 h, lengths 10.5 to 10.7 serve longest (until 3 h); at 2 h, 10.8 to 10.9
    time, lo, hi, present = rising()
    plan = plan_rounds(time, lo, hi, present)
    first, second = plan.rounds
    steps = metres_by_time(time, lo[:, 0], hi[:, 0], first, first.moves[0], until=second.latest)
    assert [when / HOUR for when, _ in steps] == [1.0, 2.0]
    assert [metres for _, metres in steps] == pytest.approx([0.4, 0.55])
    assert steps[-1][1] == pytest.approx(first.moves[0].pay_out_m)


def test_metres_that_serve_to_the_last_moment_are_made_whole_steps():
    """A band that closes on 0.24 m: nobody measures that on a rope. Ours, by hand."""
    time = np.arange(13.0) * 300.0
    lo = 10.0 + np.array([*np.linspace(0.10, 0.24, 7), *np.full(6, 0.60)])
    hi = np.append(np.full(7, 10.24), np.full(6, 10.80))
    move = Move(0, 0.70, 10.70, 10.60, 10.80)
    each = Round(0.0, 7 * 300.0, 7 * 300.0, time[-1], 0.0, (move,))
    steps = metres_by_time(time, lo, hi, each, move)
    assert all(in_steps(metres) for _, metres in steps[:-1] if metres < 0.24)
    assert steps[0] == (0.0, pytest.approx(0.20)), "serves longer than half of what 0.24 m does"
    assert steps[-1][1] == pytest.approx(0.70)


@given(st.integers(0, 10_000), st.sampled_from(["plain", "gap", "largest move", "crew"]))
def test_metres_at_any_time_serve_as_long_as_any_length_does_or_half_as_long_in_whole_steps(seed, kind):
    (time, lo, hi, present), crew, _ = drawn(np.random.default_rng(seed), kind)
    lo, hi = lo.astype(float), hi.astype(float)
    plan = plan_rounds(time, lo, hi, present.astype(float), crew)
    for number, each in enumerate(plan.rounds):
        for move in each.moves:
            later = [one for one in plan.rounds[number + 1 :] if any(m.line == move.line for m in one.moves)]
            until = later[0].latest + later[0].duration_s if later else np.inf
            low, high = lo[:, move.line], hi[:, move.line]
            steps = metres_by_time(time, low, high, each, move, until)
            times = [when for when, _ in steps]
            assert times == sorted(set(times))
            assert each.not_before <= times[0]
            assert times[-1] <= each.latest
            assert steps[-1][1] == pytest.approx(move.pay_out_m, abs=TOLERANCE)
            for when, metres in steps[:-1] if times[-1] == each.latest else steps:
                length = move.length - move.pay_out_m + metres
                served = serving(time, low, high, when, until)
                if in_steps(metres):
                    served = served[: (len(served) + 1) // 2]
                assert all(low[k] - TOLERANCE <= length <= high[k] + TOLERANCE for k in served)


def serving(time, low, high, begin, until):
    """Return samples from `begin` on for as long as any single length serves, those with an empty band left
    out."""
    best, worst, served = np.inf, -np.inf, []
    for k in np.flatnonzero((time >= begin) & (time < until)).tolist():
        if low[k] > high[k]:
            continue
        worst, best = max(worst, low[k]), min(best, high[k])
        if worst > best:
            break
        served.append(k)
    return served
