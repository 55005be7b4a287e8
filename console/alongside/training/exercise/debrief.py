"""The debrief: what the watch did, beside the same stay with nothing done and with the best plan."""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from math import inf, isnan

from alongside.actions import CallOut, ChangeCargo, Done
from alongside.forecast.rounds.plan import Plan
from alongside.stay.model import GaugeFault
from alongside.stay.stage import Stage
from alongside.training.exercise.answered import gives_order
from alongside.training.exercise.asked_for import ACTIONS, Called, in_time, too_early
from alongside.training.exercise.conduct import Attempt
from alongside.training.exercise.course import MINUTE_S, Course
from alongside.training.exercise.crew import Work
from alongside.training.exercise.effects import outside, undone
from alongside.training.exercise.expected import came_of, met_of, orders_of, whole_of
from alongside.training.exercise.judged import Judged, Trouble, judge
from alongside.training.exercise.lessons import Lesson, Lived, lessons_of
from alongside.training.exercise.let_go import with_lines_let_go
from alongside.training.exercise.limits_passed import early_cost
from alongside.training.exercise.model import Exercise, Expected
from alongside.training.exercise.points import Costs, Points, points_of
from alongside.training.exercise.run import Run, Seen, run_exercise
from alongside.training.exercise.score import AlertScore, rounds_made, score_alerts
from alongside.training.exercise.staging import stay_of
from alongside.training.exercise.yardstick import Shown, Yardstick, between, not_shown, yardstick_of


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
    """`plan` is the best in hindsight on the course of `nothing_done`; `best` is that plan lived through."""

    exercise: Exercise
    as_done: Outcome
    nothing_done: Outcome
    best: Outcome
    plan: Plan
    judged: tuple[Judged, ...]
    """What each deed changed, in order of time."""
    lessons: tuple[Lesson, ...]
    expected: tuple[tuple[Expected, Work | None], ...]
    """Deeds that the trainer expects, each with the order that met it."""
    points: Points
    attempt: Attempt | None
    called: tuple[Called, ...] = ()
    """What alerts `decide` called for."""

    @property
    def outcomes(self) -> tuple[Outcome, Outcome, Outcome]:
        return self.as_done, self.nothing_done, self.best


def debrief(
    exercise: Exercise,
    done: Sequence[Done],
    yardstick: Yardstick | None = None,
    shown: Shown = not_shown,
    attempt: Attempt | None = None,
    played: Run | None = None,
) -> Debrief:
    """Return how an exercise was met: as it was done, beside what it is measured by, which is worked out
    first where it is not known yet. `attempt` is how the trainee kept to its time, where that is known;
    `played` is what came of it, where that was played already."""
    measure = yardstick or yardstick_of(exercise, shown)
    seen = between(shown, 0.0, 1.0, "as it was done")
    as_done = played or _as_done(exercise, done, measure, seen)
    as_done = replace(as_done, course=_with_conduct(exercise, as_done, measure))
    went = _outcome(exercise, "as done", as_done)
    nothing = _outcome(exercise, "nothing done", measure.nothing)
    best = _outcome(exercise, "best plan", measure.best)
    asked_for = [order.action for order in orders_of(exercise) if isinstance(order.action, CallOut)]
    troubles = list(_troubles(exercise, (*went.alerts, *nothing.alerts)))
    courses = nothing.run.course, as_done.course
    decides = {each.subject for each in (*went.alerts, *nothing.alerts) if each.cause == "decide"}
    judged = judge(as_done.works, *courses, exercise.end, asked_for=asked_for, troubles=troubles)
    judged = tuple(each for each in judged if each.verdict == "helped" or not _due(each.work, decides))
    judged = _with_early(judged, as_done.works, measure, exercise)
    expected = tuple((each, met_of(each, as_done.works)) for each in exercise.expected)
    came = [
        "helped" if _due(order, decides) else came_of(each, as_done.works, judged, *courses)
        for each, order in expected
        if order is not None
    ]
    helpful, harmful, idle = (came.count(verdict) for verdict in ("helped", "harmed", "no difference"))
    costs = Costs(*(each.run.course.cost for each in (nothing, went, best)))
    points = points_of(
        costs,
        went.alerts,
        judged,
        (helpful, len(expected)),
        harmful=harmful,
        idle=idle,
        called=_given_in_time(measure, as_done.works, exercise.end),
        attempt=attempt,
        mark=exercise.pass_mark,
        end=exercise.end,
    )
    lived = [Lived(each.alerts, each.run.events, each.run.course) for each in (went, nothing, best)]
    lessons = lessons_of(exercise.stay, lived[0], lived[1], lived[2], measure.plan, judged, as_done.works)
    return Debrief(
        exercise,
        went,
        nothing,
        best,
        measure.plan,
        judged,
        lessons,
        expected,
        points,
        attempt,
        measure.called,
    )


def _with_conduct(exercise: Exercise, run: Run, measure: Yardstick) -> Course:
    """Return the course of what was done, with what lines cost that were let go, and cargo that was stopped
    before a good watch, or the exercise, had it stopped."""
    course = with_lines_let_go(run.course, run.works, exercise.end)
    times = [each.since for each in measure.called if each.order == "stop_cargo"]
    if not times or not course.agreed_cost.size:
        return course
    times += [each.since for each in exercise.expected if whole_of(each) == ACTIONS["stop_cargo"]]
    until = min(times) + MINUTE_S * exercise.crew.cargo_min
    early = early_cost(exercise, run.works, until, course.agreed_cost.size)
    return replace(course, agreed_cost=course.agreed_cost + early)


def _given_in_time(measure: Yardstick, works: Sequence[Work], end: float) -> tuple[int, int]:
    """Return how many of the orders that were due in the exercise were given in time, of how many."""
    asked = [each for each in measure.called if not each.overdue and each.by <= end]
    return sum(in_time(each, works) for each in asked), len(asked)


def _with_early(
    judged: tuple[Judged, ...], works: Sequence[Work], measure: Yardstick, exercise: Exercise
) -> tuple[Judged, ...]:
    """Return the deeds with orders that were given long before they were due, which made no difference;
    without those that the exercise expects, and cargo, which costs for itself."""
    known = [each.work for each in judged]
    early = [
        Judged(each, exercise.end, 0.0, 0.0)
        for each in works
        if each not in known
        and not each.why_not
        and not isinstance(each.order.action, ChangeCargo)
        and too_early(measure.called, each)
        and not any(met_of(wanted, [each]) for wanted in exercise.expected)
    ]
    return tuple(sorted([*judged, *early], key=lambda each: each.work.end))


def _due(work: Work, decides: Collection[str]) -> bool:
    """Return whether an alert `decide` of one of these deeds asks for an order: it serves by being given,
    whether the wind comes or not."""
    return any(gives_order(work.order.action, "decide", each) for each in decides)


def _troubles(exercise: Exercise, alerts: Sequence[AlertScore]) -> Iterator[Trouble]:
    """Yield when a channel was failing, by what was put in or by an alert of its feed."""
    for each in exercise.injections:
        if isinstance(each, GaugeFault):
            yield Trouble(each.channel, each.at, each.end)
    channels = {feed.name: [each.channel for each in feed.channels] for feed in exercise.stay.feeds}
    for alert in alerts:
        if alert.cause == "feed":
            over = inf if isnan(alert.episode.over) else alert.episode.over
            for channel in channels.get(alert.subject, ()):
                yield Trouble(channel, alert.raised_at, over)


def is_played(exercise: Exercise, done: Sequence[Done]) -> bool:
    """Return whether anything was done that counts; else it went as with nothing done."""
    return any(not each.undone and exercise.start <= each.time <= exercise.end for each in done)


def _as_done(exercise: Exercise, done: Sequence[Done], measure: Yardstick, seen: Seen) -> Run:
    """Return what came of what was done; that is not played again where nothing was."""
    if is_played(exercise, done):
        return run_exercise(exercise, done, measure.beginning, seen)
    uncounted = tuple(outside(exercise, done))
    return replace(measure.nothing, uncounted=uncounted, undone=len(undone(done)))


def _outcome(exercise: Exercise, name: str, run: Run) -> Outcome:
    """Return what came of one way that the stay went."""
    rounds = rounds_made(run.events)
    alerts = score_alerts(stay_of(exercise), run.events, run.done, run.standing, run.start)
    return Outcome(name, run, alerts, len(rounds), sum(len(each) for each in rounds))
