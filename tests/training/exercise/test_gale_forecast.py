"""Watches on the exercise with a gale that is forecast, put in order by hand by what a terminal and a master
would say of them; the score puts them in the same order. The judgement is the authors' own, no source."""

from pathlib import Path
from typing import Final

import pytest

from alongside.actions import Acknowledge, Action, CallOut, ChangeCargo, Done, SayTransfer, TendLine
from alongside.training.exercise.debrief import Debrief, debrief
from alongside.training.exercise.file import read_exercise
from alongside.training.exercise.kept_yardstick import kept_yardstick
from alongside.training.exercise.model import Exercise
from alongside.training.exercise.yardstick import Yardstick
from alongside.units import unix_time

EXERCISE: Final = Path(__file__).parents[3] / "configs" / "exercises" / "gale_forecast.yaml"
MASTER, TUGS, GANG, PILOT = (CallOut(each) for each in ("master", "tugs", "linesmen", "pilot"))
STOP, OFF, SLACK = ChangeCargo("stopped"), SayTransfer(False), TendLine("3", paid_out=0.7)


def at(clock: str, *actions: Action) -> list[Done]:
    return [Done(unix_time(f"2026-09-12T{clock}:00Z") + second, each) for second, each in enumerate(actions)]


IN_TIME: Final = [
    *at("09:20", MASTER),
    *at("09:40", SLACK),
    *at("10:05", TUGS, GANG),
    *at("10:20", STOP),
    *at("10:40", OFF),
    *at("10:50", PILOT),
]
WATCHES: Final[dict[str, tuple[str, list[Done]]]] = {
    "in time": ("all is ordered by its time, the line is slacked before the wind", IN_TIME),
    "no pilot": ("the same, but nobody orders a pilot for a limit that hardly may be reached", IN_TIME[:-1]),
    "all at once": (
        "nothing is missed, but the terminal has no cargo for an hour and a quarter before anybody asked for "
        "that, and tugs wait for as long; the line is forgotten",
        at("09:00", TUGS, GANG, STOP, OFF, PILOT),
    ),
    "an hour late": (
        "tugs come after the wind; arms are off 20 min after their limit was reached",
        [
            *at("09:40", SLACK),
            *at("10:55", TUGS, GANG, STOP),
            *at("11:20", OFF),
        ],
    ),
    "disconnects at the start": (
        "the same, without anybody there when it blows",
        at("09:00", STOP, OFF),
    ),
    "the line alone": ("cargo goes on and arms are connected in 38 kn", at("09:40", SLACK)),
    "nothing": ("cargo goes on, arms are connected, and a line comes to its limit", []),
}
"""By hand, best first, each with the reason."""


@pytest.fixture(scope="module")
def exercise() -> Exercise:
    return read_exercise(EXERCISE)


@pytest.fixture(scope="module")
def measure(exercise: Exercise, tmp_path_factory: pytest.TempPathFactory) -> Yardstick:
    with pytest.MonkeyPatch.context() as kept:
        kept.setenv("XDG_CACHE_HOME", str(tmp_path_factory.mktemp("kept")))
        return kept_yardstick(exercise)


def acknowledged(exercise: Exercise, orders: list[Done], measure: Yardstick) -> Debrief:
    """With each alert acknowledged a minute after it came."""
    said: list[Done] = []
    for _ in range(2):
        found = debrief(exercise, [*orders, *said], measure)
        calls = [(alert, call) for alert in found.as_done.alerts for call in alert.calls]
        said = [Done(call.since + 60.0, Acknowledge(*alert.key)) for alert, call in calls]
    return debrief(exercise, [*orders, *said], measure)


@pytest.mark.slow
def test_who_does_as_the_best_plan_does_has_all_points(exercise: Exercise, measure: Yardstick) -> None:
    good = acknowledged(exercise, [each.order for each in measure.best.works], measure)
    assert good.points.unrounded == pytest.approx(100.0, abs=1.0), good.points.parts


@pytest.mark.slow
def test_watches_are_in_the_order_in_which_they_were_judged(exercise: Exercise, measure: Yardstick) -> None:
    points = {
        name: debrief(exercise, orders, measure).points.unrounded for name, (_, orders) in WATCHES.items()
    }
    assert sorted(points, key=lambda name: -points[name]) == list(WATCHES), points
    passed = [name for name, each in points.items() if each >= (exercise.pass_mark or 0)]
    assert passed == list(WATCHES)[:2], points
