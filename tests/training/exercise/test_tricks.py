"""Tricks by which an exercise could once be won: each is worth less than keeping the watch. The small one has
an hour of flood, a lost gauge, three lines, two hands, and nothing in its log that a trainee may know before.
Who keeps the watch follows the best plan, answers alerts and calls."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest

from alongside.actions import Acknowledge, Action, CallOut, Done, Note, Silence, TendLine
from alongside.training.exercise.best_plan import moves_of
from alongside.training.exercise.conduct import Attempt
from alongside.training.exercise.debrief import Debrief, debrief
from alongside.training.exercise.file import read_exercise
from alongside.training.exercise.model import Exercise
from alongside.training.exercise.yardstick import Yardstick, yardstick_of
from tests.berth import START
from tests.training.exercise.lived import BALANCED, flood, second, write_exercise

INJECTIONS = f"  - {{kind: silent, channel: draught_fwd, at: {second(1800)}, seconds: 600}}\n"
MORE = f"""\
crew: {{hands: 2, hands_per_line: 2, minutes_per_line: 4, walk_ms: 2}}
pass_mark: 60
expected:
  - {{deed: call, whom: engineer, channel: draught_fwd, since: {second(1800)}, by: {second(2200)}, why: lost}}
"""
LINES = ("1", "2", "3")
Debriefs = Callable[[Sequence[Done]], Debrief]


@pytest.fixture(scope="module")
def exercise(tmp_path_factory: pytest.TempPathFactory) -> Exercise:
    folder = tmp_path_factory.mktemp("tricks")
    return read_exercise(write_exercise(folder, INJECTIONS, BALANCED, flood, more=MORE))


@pytest.fixture(scope="module")
def measure(exercise: Exercise) -> Yardstick:
    return yardstick_of(exercise)


@pytest.fixture(scope="module")
def answers(exercise: Exercise, measure: Yardstick) -> list[Done]:
    """An acknowledgement a minute after each alert that asks for one, as it goes with the good watch."""
    kept = moves_of(exercise, measure.plan, LINES)
    alerts = debrief(exercise, kept, measure).as_done.alerts
    calls = [(alert, call) for alert in alerts for call in alert.calls]
    return [Done(call.since + 60.0, Acknowledge(*alert.key)) for alert, call in calls]


@pytest.fixture(scope="module")
def good(exercise: Exercise, measure: Yardstick, answers: list[Done]) -> Debrief:
    kept = moves_of(exercise, measure.plan, LINES)
    call = Done(START + 1860, CallOut("engineer", "draught_fwd"))
    return debrief(exercise, [*kept, *answers, call], measure)


def at(seconds: float, action: Action) -> Done:
    return Done(START + seconds, action)


def all_lines(seconds: float, metres: float) -> list[Done]:
    return [at(seconds, TendLine(line, paid_out=metres)) for line in LINES]


TRICKS = {
    "nothing": [],
    "acknowledge all at once": [],
    "slack all by 40 m": all_lines(901, 40.0),
    "slack all by 3 m": all_lines(901, 3.0),
    "heave what is too tight": [
        at(1300, TendLine("2", paid_out=-0.3)),
        at(1301, TendLine("1", paid_out=-0.3)),
    ],
    "a millimetre every ten minutes": [each for k in range(4) for each in all_lines(1000 + 600 * k, 0.001)],
    "silence every minute": [at(901 + 60 * k, Silence()) for k in range(43)],
    "a note of all lines every minute": [at(901 + 60 * k, Note("line 1, line 2, line 3")) for k in range(43)],
    "act ten seconds before the end": all_lines(3490, 0.4),
}


@pytest.mark.slow
def test_who_keeps_the_watch_has_nearly_all(good: Debrief) -> None:
    assert good.points.total >= 90
    assert good.points.passed


@pytest.mark.slow
@pytest.mark.parametrize("trick", TRICKS)
def test_a_trick_is_worth_less(
    trick: str, exercise: Exercise, measure: Yardstick, answers: list[Done], good: Debrief
) -> None:
    orders = [*TRICKS[trick], *(answers if trick.startswith("acknowledge") else [])]
    tricked = debrief(exercise, orders, measure)
    assert tricked.points.total <= 30, [
        (part.name, part.points, part.counted) for part in tricked.points.parts
    ]
    assert not tricked.points.passed


@pytest.mark.slow
def test_twelve_orders_in_twelve_seconds_take_two_hands_three_quarters_of_an_hour(
    exercise: Exercise, measure: Yardstick
) -> None:
    orders = [at(901 + k, TendLine(LINES[k % 3], paid_out=0.05)) for k in range(12)]
    done = debrief(exercise, orders, measure).as_done.run
    times = [each.time for each in done.done]
    assert len(times) < 12, "the rest was not done before the end"
    assert all(b - a >= 240.0 for a, b in pairwise(times))


@pytest.mark.slow
def test_the_best_plan_does_not_move_with_what_is_done(
    exercise: Exercise, measure: Yardstick, good: Debrief
) -> None:
    other = debrief(exercise, all_lines(901, 3.0), measure)
    again = yardstick_of(exercise)
    assert other.plan.rounds == good.plan.rounds == again.plan.rounds
    assert other.best.run.course.cost == good.best.run.course.cost == again.best.course.cost


@pytest.mark.slow
@pytest.mark.parametrize("early", [False, True], ids=["at its latest", "as soon as its lengths serve"])
def test_the_best_plan_does_no_harm_anywhere_in_its_window(
    exercise: Exercise, measure: Yardstick, early: bool
) -> None:
    moves = [
        Done(
            max(each.not_before, each.lengths_from, exercise.start) if early else each.latest - 120.0,
            TendLine(LINES[move.line], paid_out=move.pay_out_m),
        )
        for each in measure.plan.rounds
        for move in each.moves
    ]
    followed = debrief(exercise, moves, measure)
    assert followed.as_done.run.course.cost < 0.5 * measure.nothing.course.cost
    assert all(each.verdict != "harmed" for each in followed.judged)


@pytest.mark.slow
@pytest.mark.parametrize("field", ["went_back", "jumped_on", "looked_ahead", "pauses"])
def test_what_is_done_with_time_costs_points(
    field: str, exercise: Exercise, measure: Yardstick, good: Debrief
) -> None:
    kept = Attempt("A", exam=False, begun=0.0, ended=1.0, left_at=exercise.end)
    orders = [work.order for work in good.as_done.run.works]
    looked = debrief(exercise, orders, measure, attempt=replace(kept, **{field: 5}))  # type: ignore[arg-type]
    assert looked.points.total <= good.points.total - 5


@pytest.mark.slow
def test_where_tending_does_harm_nothing_done_is_the_best(tmp_path: Path) -> None:
    gust = f"  - {{kind: gust, at: {second(2400)}, seconds: 900, speed_kn: 30, from_deg: 180}}"
    measure = yardstick_of(read_exercise(write_exercise(tmp_path, gust, BALANCED, flood, more=MORE)))
    assert measure.best.course.cost <= measure.nothing.course.cost


@pytest.mark.slow
def test_the_same_deeds_give_the_same_debrief(exercise: Exercise, measure: Yardstick, tmp_path: Path) -> None:
    from alongside.training.exercise.debrief_text import debrief_text

    orders = all_lines(1300, 0.3)
    assert debrief_text(debrief(exercise, orders, measure)) == debrief_text(debrief(exercise, orders))
