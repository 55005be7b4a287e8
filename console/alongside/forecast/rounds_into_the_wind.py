"""Tending into the wind: a round after which the ship would not stand the wind is not proposed.

Bands follow the ship: where lines are slackened in a wind off the berth she moves with them, and the next
slackening follows. A round is no cure with which the wind that is expected until it can be undone reaches
the caution share of what is held, or the warning off the fenders, or takes her from her place, where that is
worse than without it; nor are those that follow it. In light airs a round costs nothing.
"""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from alongside.forecast.basis import Basis
from alongside.forecast.expected.ensemble import Expected
from alongside.forecast.in_the_wind import GUST, SOON_S, WORSE, WORSE_M, can_be_tried, limits_in_wind, stood
from alongside.forecast.members import Members
from alongside.forecast.model import Incurable, RoundAhead, Tending
from alongside.forecast.present import Present
from alongside.forecast.tending_plan import Followed
from alongside.mechanics.situation import Situation
from alongside.readings import Floats
from alongside.stay.gear import RANGES

SLIP_M: Final = 0.25
"""So much farther from her place is worse. Common practice, no source."""
EVERY_S: Final = 1800.0
"""What a round costs is tried so often."""


@dataclass(frozen=True, slots=True)
class Slip:
    """The first round that the ship would not stand, and the wind of then, m/s."""

    number: int
    wind_ms: float


def without_slips(
    basis: Basis, present: Present, expected: Expected, held: Members, plan: Followed
) -> Followed:
    """Return the plan up to the first round that the wind speaks against; `held` is the state with the
    present lengths."""
    first = _first_slip(basis, present, expected, held, plan)
    if first is None:
        return plan
    tending = up_to(plan.tending, first.number, first.wind_ms, float(expected.time[-1]))
    if not tending.rounds:
        return Followed(tending, np.broadcast_to(present.unstretched, plan.lengths.shape), held)
    lengths = plan.lengths.copy()
    after = expected.time >= plan.tending.rounds[first.number].latest
    lengths[after] = lengths[max(int(np.argmax(after)) - 1, 0)]
    return Followed(tending, lengths, Members(basis, expected, lengths))


def up_to(tending: Tending, number: int, wind_ms: float, end: float) -> Tending:
    """Return rounds before the one that the wind speaks against, whose moves are said not to be done until
    `end`."""
    kept, dropped = tending.rounds[:number], tending.rounds[number]
    wind = tuple(
        Incurable(move.line, dropped.latest, end, abs(move.pay_out_m), "wind", wind_ms, move.pay_out_m < 0.0)
        for move in dropped.moves
    )
    return Tending(
        rounds=kept,
        cannot_cure=(*(each for each in tending.cannot_cure if each.until < dropped.latest), *wind),
        within=tending.within,
        good_until=tending.good_until if kept else np.fmin(tending.good_until, dropped.latest),
        is_fewest=tending.is_fewest,
    )


def _first_slip(
    basis: Basis, present: Present, expected: Expected, held: Members, plan: Followed
) -> Slip | None:
    """Return the first round that the wind speaks against, as expected; None where it does against none."""
    if not plan.tending.rounds:
        return None
    adrift = _adrift(basis, held, plan, expected.time.size)
    starts = [*(each.latest for each in plan.tending.rounds), np.inf]
    before = present.unstretched
    for number, each in enumerate(plan.tending.rounds):
        rows = np.flatnonzero((expected.time > starts[number]) & (expected.time <= starts[number + 1]))
        if not rows.size:
            continue
        wind = expected.wind_speed[0]
        if adrift[rows].any():
            return Slip(number, float(wind[rows[adrift[rows].argmax()]]))
        after = with_moves(basis, before, each)
        some = rows[:: max(1, int(EVERY_S / np.diff(expected.time).min()))] if rows.size > 1 else rows
        tried = expected.situation(1).at(some)
        if number == 0 and max(each.not_before, each.lengths_from) <= present.time + SOON_S:
            tried = with_wind_of_now(tried, present)
        over = not_stood(basis, tried, before, after)
        if over.any():
            return Slip(number, float(tried.wind_speed[over.argmax()]))
        before = after
    return None


def with_wind_of_now(tried: Situation, present: Present) -> Situation:
    """Return the situations with the first in the wind of now, the gusts of the last ten minutes included,
    where that is stronger than what is expected then."""
    now = float(np.fmax(present.wind_speed, GUST * present.wind_gust))
    if not now > tried.wind_speed[0]:
        return tried
    speed, come_from = tried.wind_speed.copy(), tried.wind_from.copy()
    speed[0], come_from[0] = now, present.wind_from
    return replace(tried, wind_speed=speed, wind_from=come_from)


def with_moves(basis: Basis, lengths: Floats, each: RoundAhead) -> Floats:
    """Return lengths (lines,) once a round is done."""
    after = lengths.copy()
    for move in each.moves:
        after[basis.arrangement.ids.index(move.line)] += move.pay_out_m
    return after


def not_stood(basis: Basis, situation: Situation, before: Floats, after: Floats) -> NDArray[np.bool_]:
    """Return (n,) whether the wind of each of n situations speaks against changing lengths (lines,) so."""
    if not can_be_tried(basis) or np.isnan(situation.wind_speed + situation.wind_from).all():
        return np.zeros(len(situation), dtype=bool)
    caution, warning = limits_in_wind(basis)
    was, then = (stood(basis, situation, lengths, caution) for lengths in (before, after))
    off = (then.off_m >= warning) & (then.off_m > was.off_m + WORSE_M)
    slacks = bool((after > before).any())
    over = then.over & ((then.of_the_wind & slacks) | ~was.over | (then.share > was.share + WORSE))
    return np.asarray(off | over)


def _adrift(basis: Basis, held: Members, plan: Followed, m: int) -> NDArray[np.bool_]:
    """Return (m,) whether she lies farther from her place with the plan, and at alarm, as expected."""
    worse = np.zeros(m, dtype=bool)
    states = held.as_expected(), plan.run.as_expected()
    for rule in basis.rules:
        if rule.cause == "drift" and rule.subject not in RANGES:
            before, after = (np.abs(getattr(each.pose, rule.subject)) for each in states)
            worse |= (after >= rule.limits[2]) & (after > before + SLIP_M)
    return worse
