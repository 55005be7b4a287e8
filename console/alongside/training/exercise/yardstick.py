"""What an exercise is measured by: how things stand at its start, what comes of it with nothing done, and
with the best plan. All of it follows from the exercise alone, whatever a trainee did."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial
from typing import Final

from alongside.actions import Done
from alongside.forecast.rounds.plan import Plan, Round
from alongside.training.exercise.asked_for import orders_asked_for
from alongside.training.exercise.best_plan import moves_of, plan_of
from alongside.training.exercise.expected import orders_of
from alongside.training.exercise.model import Exercise
from alongside.training.exercise.run import Beginning, Run, Seen, beginning_of, run_exercise

ALL_GOOD: Final = 0.5
"""A plan that costs less than this part of nothing done is good as it is."""
Shown = Callable[[float, str], None]
"""Shows which part of the work, 0 to 1, is done, and at what it is."""


@dataclass(frozen=True, slots=True, eq=False)
class Yardstick:
    """`plan` is the best in hindsight on the course that the stay takes with nothing done; `best` is that
    plan lived through."""

    beginning: Beginning
    nothing: Run
    plan: Plan
    best: Run


def not_shown(part: float, words: str) -> None:
    """Show nothing."""


def between(shown: Shown, low: float, high: float, words: str) -> Seen:
    """Return what shows parts of one step of the work, which goes from `low` to `high` of all of it."""
    return partial(_show_within, shown, low, high, words)


def _show_within(shown: Shown, low: float, high: float, words: str, part: float) -> None:
    shown(low + (high - low) * part, words)


def yardstick_of(exercise: Exercise, shown: Shown = not_shown) -> Yardstick:
    """Return what an exercise is measured by, played from the beginning of its log. Raises WrongInput where
    that is too short."""
    beginning = beginning_of(exercise, between(shown, 0.0, 0.5, "what comes before"))
    nothing = run_exercise(exercise, (), beginning, between(shown, 0.5, 0.75, "with nothing done"))
    plan = plan_of(exercise, nothing)
    plan, best = _best(exercise, beginning, nothing, plan, between(shown, 0.75, 1.0, "by the best plan"))
    return Yardstick(beginning, nothing, plan, best)


def _best(exercise: Exercise, beginning: Beginning, nothing: Run, plan: Plan, seen: Seen) -> tuple[Plan, Run]:
    """Return the rounds of a plan that do good when they are lived through, and what comes of them. Calls,
    cargo that is stopped, arms or hoses that are disconnected go with them where the exercise expects these,
    or its alerts ask for them, and they do good.

    A plan is made on paths that the ship takes with nothing done; where the wind takes her off her fenders a
    round may do harm. All together is tried first, then each for itself, after those that were kept.
    """
    expected = (*orders_of(exercise), *orders_asked_for(exercise, nothing))

    def lived(rounds: tuple[Round, ...], more: tuple[Done, ...]) -> Run:
        orders = moves_of(exercise, replace(plan, rounds=rounds), nothing.lines)
        return run_exercise(exercise, [*orders, *more], beginning, seen)

    best = lived((), expected) if expected else nothing
    more = expected if best.course.cost < nothing.course.cost else ()
    best = best if more else nothing
    whole = lived(plan.rounds, more) if plan.rounds else best
    if whole.course.cost <= best.course.cost * ALL_GOOD:
        return plan, whole
    kept: tuple[Round, ...] = ()
    for each in plan.rounds:
        tried = lived((*kept, each), more)
        if tried.course.cost < best.course.cost:
            kept, best = (*kept, each), tried
    return replace(plan, rounds=kept), best
