"""Tending rounds out of what is expected, each plan run through the mechanics before it is proposed.

The band of a line at an instant is what serves most of the members. A round is begun before the ship leaves
her fenders or her place where that keeps her there; what the cases hold is counted round by round.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from alongside.forecast.basis import Basis
from alongside.forecast.expected.ensemble import Expected
from alongside.forecast.members import Members
from alongside.forecast.model import ChoiceAhead, Incurable, MoveAhead, RoundAhead, Tending
from alongside.forecast.off_place import before_she_is_off
from alongside.forecast.present import Present
from alongside.forecast.rounds.length_bands import Within, within_stage
from alongside.forecast.rounds.metres_by_time import ByTime, metres_by_time
from alongside.forecast.rounds.plan import UNLIMITED, Crew, Move, Plan
from alongside.forecast.rounds.rounds_against_margin import rounds_against_margin
from alongside.forecast.tending_job import Ends, Job, Tried
from alongside.mechanics.arrangement import Arrangement
from alongside.readings import Floats
from alongside.stay.model import LookAhead, Stay

CLEAR: Final = 0.995
"""Of every share: a stage is reached at its limit, so a plan keeps this much short of it."""
LEAST_M: Final = 0.005
"""Less is nothing that is missing."""
FOLLOWS_S: Final = 1800.0
"""Spells so near each other are one."""


@dataclass(frozen=True, slots=True, eq=False)
class Followed:
    """A plan, the lengths (m, lines) of main rope with it, m, and how the set held so, for all members."""

    tending: Tending
    lengths: Floats
    run: Members


def plan_tending(basis: Basis, present: Present, expected: Expected, held: Members) -> Followed:
    """Return the fewest rounds that keep every line short of the stage asked for, verified. `held` is what
    the mechanics found for all members with the present lengths."""
    stay, arrangement = basis.stay, basis.arrangement
    job = Job(basis, present, expected, within_of(stay), crew_of(stay.outlook))
    best = job.until_it_holds(job.ends_of(held))
    if arrangement.balanced:
        best = before_she_is_off(basis, job, best)
    plan, run = best.plan, best.run
    failing = job.failing(plan, run)
    holds = job.that_hold(plan, run)
    tending = Tending(
        rounds=_rounds(arrangement, plan, expected.time, best.ends, holds),
        cannot_cure=(*_incurable(arrangement, plan), *failing),
        choices=_choices(job, best),
        within=stay.outlook.keep_within,
        good_until=plan.good_until,
        is_fewest=plan.is_fewest,
        verified=not failing,
        holds=float(holds[:, -1].mean()),
        rounds_by_table=_rounds_by_table(job, held) if plan.rounds else len(plan.rounds),
    )
    return Followed(tending, job.tended(plan.lengths), run)


def _rounds_by_table(job: Job, held: Members) -> int | None:
    """Return the fewest rounds if all comes as expected; None where such a plan does not hold."""
    alone = replace(job, given_away=0.0, members=1)
    best: Tried = alone.until_it_holds(alone.ends_of(held))
    return len(best.plan.rounds) if best.missing <= 0.0 else None


def within_of(stay: Stay) -> Within:
    """Return the shares of the stage that lines are kept short of, a hair inside."""
    asked = within_stage(stay.limits, stay.outlook.keep_within)
    return Within(
        asked.stretch_share * CLEAR,
        asked.load_share * CLEAR,
        asked.brake_share * CLEAR,
        asked.slack_share / CLEAR,
    )


def crew_of(settings: LookAhead) -> Crew:
    """Return what a round takes with the hands that the stay file has."""
    return Crew(
        minutes_per_line=settings.minutes_per_line,
        hands=settings.hands,
        hands_per_line=settings.hands_per_line,
        gap_s=settings.gap_min * 60.0,
        largest_move=UNLIMITED if settings.largest_move is None else settings.largest_move,
        margin=settings.margin,
    )


def _choices(job: Job, best: Tried) -> tuple[ChoiceAhead, ...]:
    """Return rounds against margin, without the crew's clock where that is not asked for."""
    if not best.plan.rounds or job.crew.largest_move < UNLIMITED:
        return ()
    found = rounds_against_margin(
        job.expected.time, *best.ends.bands, job.present.unstretched, replace(job.crew, margin=0.0)
    )
    return tuple(ChoiceAhead(choice.rounds, choice.margin) for choice in found)


def _rounds(
    arrangement: Arrangement, plan: Plan, time: Floats, ends: Ends, holds: np.ndarray
) -> tuple[RoundAhead, ...]:
    """Return rounds by name and time; `holds` (members, m) as of `Job.that_hold`."""
    lo, hi = ends.bands
    until = [*(each.latest for each in plan.rounds[1:]), np.inf]
    rows = [max(int(np.searchsorted(time, end)) - 1, 0) for end in until]

    def by_time(number: int, move: Move) -> ByTime:
        later = [
            each for each in plan.rounds[number + 1 :] if any(one.line == move.line for one in each.moves)
        ]
        until = later[0].latest + later[0].duration_s if later else np.inf
        wide = ends.expected[0][:, move.line], ends.expected[1][:, move.line]
        each = plan.rounds[number]
        return metres_by_time(time, lo[:, move.line], hi[:, move.line], each, move, until, wide)

    return tuple(
        RoundAhead(
            not_before=each.not_before,
            latest=each.latest,
            lengths_from=each.lengths_from,
            serves_until=each.serves_until,
            duration_s=each.duration_s,
            moves=tuple(
                MoveAhead(arrangement.ids[move.line], round(move.pay_out_m, 4), by_time(number, move))
                for move in each.moves
            ),
            overdue=each.overdue,
            holds=float(holds[:, rows[number]].mean()),
        )
        for number, each in enumerate(plan.rounds)
    )


def _incurable(arrangement: Arrangement, plan: Plan) -> tuple[Incurable, ...]:
    found = [
        Incurable(arrangement.ids[each.line], each.time, each.until, each.missing_m, each.why)
        for each in plan.cannot_cure
        if each.missing_m >= LEAST_M
    ]
    return merged(found)


def merged(found: Sequence[Incurable]) -> tuple[Incurable, ...]:
    """Return spells of one line for one reason that follow on each other, as one; earliest first."""
    open_spells: dict[tuple[str, str], Incurable] = {}
    closed: list[Incurable] = []
    for each in sorted(found, key=lambda spell: spell.time):
        before = open_spells.get((each.line, each.why))
        if before is not None and each.time - before.until <= FOLLOWS_S:
            missing, until = max(before.missing_m, each.missing_m), max(before.until, each.until)
            each = replace(before, until=until, missing_m=missing)
        elif before is not None:
            closed.append(before)
        open_spells[each.line, each.why] = each
    return tuple(sorted([*closed, *open_spells.values()], key=lambda spell: (spell.time, spell.line)))
