"""What an exercise is measured by: how things stand at its start, what comes of it with nothing done, and
with the best plan. All of it follows from the exercise alone, whatever a trainee did."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

from alongside.forecast.rounds.plan import Plan
from alongside.training.exercise.best_plan import moves_of, plan_of
from alongside.training.exercise.model import Exercise
from alongside.training.exercise.run import Beginning, Run, Seen, beginning_of, run_exercise

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
    moves, seen = moves_of(exercise, plan, nothing.lines), between(shown, 0.75, 1.0, "by the best plan")
    best = run_exercise(exercise, moves, beginning, seen) if moves else nothing
    return Yardstick(beginning, nothing, plan, best)
