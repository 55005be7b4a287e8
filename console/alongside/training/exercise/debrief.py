"""The debrief: what the watch did, beside the same stay with nothing done and with the best plan."""

from collections.abc import Sequence
from dataclasses import dataclass

from alongside.actions import Done
from alongside.forecast.rounds.plan import Plan
from alongside.stay.stage import Stage
from alongside.training.exercise.best_plan import moves_of, plan_of
from alongside.training.exercise.model import Exercise
from alongside.training.exercise.run import Run, run_exercise
from alongside.training.exercise.score import AlertScore, rounds_made, score_alerts


@dataclass(frozen=True, slots=True)
class Outcome:
    """One way that the stay went. Seconds at each stage are those of all lines added up."""

    name: str
    run: Run
    alerts: tuple[AlertScore, ...]
    rounds: int
    moves: int

    def seconds_at(self, stage: Stage) -> float:
        return float(self.run.seconds[:, stage].sum())

    def count(self, stage: Stage) -> int:
        """Alerts that came to this stage and no worse."""
        return sum(alert.stage == stage for alert in self.alerts)


@dataclass(frozen=True, slots=True)
class Debrief:
    """`plan` is the best in hindsight on the course of `as_done`; `best` is that plan lived through."""

    exercise: Exercise
    as_done: Outcome
    nothing_done: Outcome
    best: Outcome
    plan: Plan

    @property
    def outcomes(self) -> tuple[Outcome, Outcome, Outcome]:
        return self.as_done, self.nothing_done, self.best


def debrief(exercise: Exercise, done: Sequence[Done]) -> Debrief:
    """Play the exercise as it was done, with nothing done, and by the best plan. Return all three."""
    as_done = run_exercise(exercise, done)
    nothing = run_exercise(exercise, ()) if as_done.done else as_done
    plan = plan_of(exercise, as_done)
    best = run_exercise(exercise, moves_of(plan, as_done.lines)) if plan.rounds else nothing
    return Debrief(
        exercise,
        outcome_of("as done", as_done),
        outcome_of("nothing done", nothing),
        outcome_of("best plan", best),
        plan,
    )


def outcome_of(name: str, run: Run) -> Outcome:
    """Return what came of one way that the stay went."""
    rounds = rounds_made(run.events)
    alerts = score_alerts(run.basis.stay, run.events, run.done, run.standing, run.start)
    return Outcome(name, run, alerts, len(rounds), sum(len(each) for each in rounds))
