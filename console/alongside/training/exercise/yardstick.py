"""What an exercise is measured by: how things stand at its start, what comes of it with nothing done, and
with the best plan. All of it follows from the exercise alone, whatever a trainee did."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import Final

from alongside.actions import CallOut, Done
from alongside.forecast.rounds.plan import Plan, Round
from alongside.training.exercise.asked_for import ACTIONS, Called, orders_asked_for
from alongside.training.exercise.best_plan import moves_of, plan_of
from alongside.training.exercise.expected import orders_of, whole_of
from alongside.training.exercise.judged import LEAST
from alongside.training.exercise.model import Exercise
from alongside.training.exercise.run import Beginning, Played, Run, Seen, beginning_of, run_exercise

ALL_GOOD: Final = 0.5
"""A plan that costs less than this part of nothing done is good as it is."""
Shown = Callable[[float, str], None]
"""Shows which part of the work, 0 to 1, is done, and at what it is."""
Orders = tuple[Done, ...]
Lived = Callable[[Sequence[Done]], Run]
"""What comes of orders."""


@dataclass(frozen=True, slots=True, eq=False)
class Yardstick:
    """`called` is what alerts `decide` call for; `plan` the best in hindsight on the course that the stay
    takes with that, and what the exercise expects, ordered, but nothing tended; `best` is all of it lived
    through."""

    beginning: Beginning
    nothing: Run
    plan: Plan
    best: Run
    called: tuple[Called, ...] = ()


def not_shown(part: float, words: str) -> None:
    """Show nothing."""


def between(shown: Shown, low: float, high: float, words: str) -> Seen:
    """Return what shows parts of one step of the work, which goes from `low` to `high` of all of it."""
    return partial(_show_within, shown, low, high, words)


def _show_within(shown: Shown, low: float, high: float, words: str, part: float) -> None:
    shown(low + (high - low) * part, words)


def yardstick_of(exercise: Exercise, shown: Shown = not_shown) -> Yardstick:
    """Return what an exercise is measured by, played from the beginning of its log; what its runs have in
    common is played once. Raises WrongInput where the log is too short."""
    played = Played(exercise)
    beginning = beginning_of(exercise, between(shown, 0.0, 0.5, "what comes before"))
    seen = between(shown, 0.5, 0.75, "with nothing done")
    nothing = run_exercise(exercise, (), beginning, seen, played)
    seen = between(shown, 0.75, 1.0, "by the best plan")

    def lived(orders: Sequence[Done]) -> Run:
        return run_exercise(exercise, orders, beginning, seen, played) if orders else nothing

    called, orders, ordered = _ordered(exercise, nothing, lived)
    plan = plan_of(exercise, ordered)
    plan, best = _best(exercise, plan, orders, ordered, lived)
    return Yardstick(beginning, nothing, plan, best, called)


def _ordered(exercise: Exercise, nothing: Run, lived: Lived) -> tuple[tuple[Called, ...], Orders, Run]:
    """Return what alerts call for, all that is ordered beside tendings, and what comes of it: what alerts
    call for, whatever comes of that; and what the exercise expects, without what does harm."""
    called, expected = nothing.called, orders_of(exercise)
    while True:
        orders = _together(exercise, called)
        run = lived(orders)
        more = tuple(each for each in run.called if all(each.order != other.order for other in called))
        if not more:
            break
        called += more
    own = [each for each in expected if each in orders and not isinstance(each.action, CallOut)]
    if own:
        without = tuple(each for each in orders if each not in own)
        less = lived(without)
        if less.course.cost + LEAST <= run.course.cost:
            orders, run = without, less
    return called, orders, run


def _together(exercise: Exercise, called: Sequence[Called]) -> Orders:
    """Return all orders, each once: what is asked for as well as expected when both have it in time, else
    when it is asked for."""
    until = {ACTIONS[each.order]: each.by for each in called}
    asked = {each.action: each.time for each in orders_asked_for(called)}
    for each in exercise.expected:
        action = whole_of(each)
        if action in asked:
            at = min(max(asked[action], each.since), each.by)
            asked[action] = at if exercise.start <= at <= until[action] else asked[action]
    orders = tuple(Done(at, action) for action, at in asked.items())
    return (*orders, *(each for each in orders_of(exercise) if each.action not in asked))


def _best(exercise: Exercise, plan: Plan, orders: Orders, ordered: Run, lived: Lived) -> tuple[Plan, Run]:
    """Return the rounds of a plan that do good when they are lived through, and what comes of them with all
    that is ordered beside.

    A plan is made on paths that the ship takes untended; where the wind takes her off her fenders a round may
    do harm. All together is tried first, then each for itself, after those that were kept.
    """

    def tended(rounds: tuple[Round, ...]) -> Run:
        moves = moves_of(exercise, replace(plan, rounds=rounds), ordered.lines)
        return lived((*moves, *orders))

    whole = tended(plan.rounds) if plan.rounds else ordered
    if whole.course.cost <= ordered.course.cost * ALL_GOOD:
        return plan, whole
    kept: tuple[Round, ...] = ()
    best = ordered
    for each in plan.rounds:
        tried = whole if len(kept) + 1 == len(plan.rounds) else tended((*kept, each))
        if tried.course.cost < best.course.cost:
            kept, best = (*kept, each), tried
    return replace(plan, rounds=kept), best
