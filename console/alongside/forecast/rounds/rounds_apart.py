"""Few hands: a round that lasts long for want of hands is made longer, or split; the better is kept.

While a round lasts, the old length and the new one of each of its lines must serve, so that a long round asks
much of the bands. Split, each round has only as many lines as the hands can do at the same time, and asks for
its own minutes alone; but there are more rounds, and none may begin while the hands are at another.
"""

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from alongside.forecast.rounds.bands_ready import Barrier
from alongside.forecast.rounds.fewest_rounds import plan_together
from alongside.forecast.rounds.how_long_lengths_serve import TOLERANCE
from alongside.forecast.rounds.plan import NO_LIMITS, Crew, Plan, Round
from alongside.readings import Floats


def plan_rounds(
    time: Floats,
    lo: Floats,
    hi: Floats,
    present: Floats,
    crew: Crew = NO_LIMITS,
    barriers: Sequence[Barrier] = (),
) -> Plan:
    """Return the rounds, made longer or split: those that leave less not cured, of these the fewer, of as
    many the longer. Inputs as `plan_together` has them. Where something else than a line leaves its limits
    (`barriers`), all lines are planned together."""
    together = plan_together(time, lo, hi, present, crew, barriers)
    lines = _first_out(lo, hi, present)
    is_split = len(lines) > crew.lines_at_once > 0 and not barriers
    if not is_split or (together.is_fewest and not _missing(together)):
        return together
    apart = _apart(time, lo, hi, present, crew, lines)
    return apart if _worth(apart) < _worth(together) else together


def _worth(plan: Plan) -> tuple[float, int]:
    return round(_missing(plan), 3), len(plan.rounds)


def _missing(plan: Plan) -> float:
    """Return the metres that lines need which rounds cannot follow, added up."""
    return sum(each.missing_m for each in plan.cannot_cure if each.why == "pace")


def _first_out(lo: Floats, hi: Floats, present: Floats) -> list[int]:
    """Return the lines (columns) whose present lengths leave their bands, the first to do so first."""
    out = (present < lo - TOLERANCE) | (present > hi + TOLERANCE)
    lines = np.flatnonzero(out.any(axis=0))
    return [int(line) for line in lines[np.argsort(out.argmax(axis=0)[lines], kind="stable")]]


def _apart(time: Floats, lo: Floats, hi: Floats, present: Floats, crew: Crew, lines: Sequence[int]) -> Plan:
    """Return rounds of as many lines as can be done at the same time, those first whose lines leave their
    bands first; each group in the time that the ones before it leave."""
    size = int(crew.lines_at_once)
    groups = [lines[at : at + size] for at in range(0, len(lines), size)]
    others = np.setdiff1d(np.arange(present.size), np.array(lines, dtype=np.intp))
    plans, busy = [], crew.busy
    for group in (*groups, others.tolist()):
        mine = np.isin(np.arange(present.size), group)
        low, high = np.where(mine, lo, np.nan), np.where(mine, hi, np.nan)
        plan = plan_together(time, low, high, present, replace(crew, busy=busy))
        busy = (*busy, *((each.latest, each.latest + each.duration_s) for each in plan.rounds))
        plans.append((mine, plan))
    return _joined(plans)


def _joined(plans: Sequence[tuple[NDArray[np.bool_], Plan]]) -> Plan:
    """Return the plans of groups of lines as one. A round begins no sooner than the one before it is done at
    its latest: so the hands are never wanted twice, whichever times are taken."""
    lengths = np.full_like(plans[0][1].lengths, np.nan)
    for mine, plan in plans:
        lengths[:, mine] = plan.lengths[:, mine]
    rounds = sorted((each for _, plan in plans for each in plan.rounds), key=lambda each: each.latest)
    rounds[1:] = [_after(before, each) for before, each in pairwise(rounds)]
    cannot_cure = sorted(
        (each for _, plan in plans for each in plan.cannot_cure), key=lambda each: (each.time, each.line)
    )
    return Plan(
        rounds=tuple(rounds),
        cannot_cure=tuple(cannot_cure),
        lengths=lengths,
        good_until=float(min(plan.good_until for _, plan in plans)),
        margin=float(np.nanmin([plan.margin for _, plan in plans])),
        at_least=0,
    )


def _after(before: Round, each: Round) -> Round:
    done = before.latest + before.duration_s
    return replace(each, not_before=min(max(each.not_before, done), each.latest))
