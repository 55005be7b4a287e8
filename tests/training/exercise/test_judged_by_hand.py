"""Ten watches on one exercise of ours, judged and put in order by hand before any points were worked out, by
what was ordered and what came of lines and ship; the score puts them in the same order.

The judgement is the authors' own, no source. It was made once, and found the score wrong in one thing: who
tightened two breasts to twice their stretch had more points than who did nothing, for the orders were those
that the trainer expects. Since then an expected deed that does harm does not count, and who did worse than
nothing done is below it. Between the last two the score is nearly even, for one of them called the master.
"""

from pathlib import Path
from typing import Final

import pytest

from alongside.actions import Acknowledge, CallOut, Done, PutTug, TendLine
from alongside.training.exercise.debrief import debrief
from alongside.training.exercise.file import read_exercise
from alongside.training.exercise.kept_yardstick import kept_yardstick
from alongside.training.exercise.points import Points
from alongside.units import unix_time

EXERCISE: Final = Path(__file__).parents[3] / "configs" / "exercises" / "off_the_quay.yaml"
"""Breasts 2 and 5 go slack on the ebb from 20:22 on; the wind goes round to blow off the quay at 20:55."""


def at(clock: str) -> float:
    return unix_time(f"2026-06-16T{clock}:00Z")


def heave(clock: str, line: str, metres: float) -> Done:
    return Done(at(clock), TendLine(line, paid_out=-metres))


def call_master(clock: str) -> Done:
    return Done(at(clock), CallOut("master"))


def acknowledge(clock: str) -> Done:
    return Done(at(clock), Acknowledge("off_fenders", ""))


WATCHES: Final[dict[str, tuple[str, list[Done]]]] = {
    "in good time": (
        "both breasts are hove an hour before the wind, no line above 58 % of its stretch; the master is "
        "called before it",
        [heave("19:40", "5", 0.25), heave("19:40", "2", 0.30), call_master("20:35")],
    ),
    "in two steps": (
        "as good for ship and lines, with twice the walks",
        [
            heave("19:40", "5", 0.15),
            heave("19:40", "2", 0.15),
            heave("20:10", "5", 0.10),
            heave("20:10", "2", 0.15),
            call_master("20:50"),
        ],
    ),
    "at the first caution": (
        "slack for some minutes, cured half an hour before the wind; the master is called",
        [heave("20:25", "5", 0.25), heave("20:25", "2", 0.30), call_master("20:40")],
    ),
    "the master is not called": (
        "she lies as well as she can, but nobody calls the master with such a wind off the quay",
        [heave("19:50", "5", 0.25), heave("19:50", "2", 0.30)],
    ),
    "one breast": (
        "the after breast holds her alongside, the forward one hangs slack through the squall",
        [heave("19:40", "5", 0.25), call_master("20:40")],
    ),
    "after the wind": (
        "off her fenders before anything is done; then all at once, and a tug that comes when it is over",
        [
            acknowledge("21:02"),
            heave("21:00", "5", 0.25),
            heave("21:00", "2", 0.30),
            call_master("21:00"),
            Done(at("21:00"), PutTug("tug", 100.0, 40.0)),
        ],
    ),
    "calls alone": (
        "nothing is done about the lines, but the master knows",
        [call_master("20:35"), acknowledge("21:02")],
    ),
    "nothing": ("off her fenders for an hour and a half, and nobody knows", []),
    "the wrong way": (
        "slack breasts are slacked by another metre: 0.67 m off her fenders, in alarm",
        [heave("20:25", "5", -1.0), heave("20:25", "2", -1.0), acknowledge("20:49")],
    ),
    "far too tight": (
        "both breasts at three times their working limit and over what the bollards stand, for two hours "
        "and a half: worse than a gap to the quay, for they part with people beside them",
        [heave("19:40", "5", 1.5), heave("19:40", "2", 1.5), call_master("20:35")],
    ),
}
"""By hand, best first, each with the reason."""


@pytest.fixture(scope="module")
def points(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Points]:
    exercise = read_exercise(EXERCISE)
    with pytest.MonkeyPatch.context() as kept:
        kept.setenv("XDG_CACHE_HOME", str(tmp_path_factory.mktemp("kept")))
        measure = kept_yardstick(exercise)
    return {name: debrief(exercise, orders, measure).points for name, (_, orders) in WATCHES.items()}


@pytest.mark.slow
def test_ten_watches_are_in_the_order_in_which_they_were_judged(points: dict[str, Points]) -> None:
    by_score = sorted(points, key=lambda name: -points[name].unrounded)
    assert by_score == list(WATCHES), {name: each.unrounded for name, each in points.items()}


@pytest.mark.slow
def test_those_pass_who_kept_her_alongside_or_brought_her_back(points: dict[str, Points]) -> None:
    """Not judged before the points were known, and agreed with since: a watch that put all right again within
    the squall has just passed; one that told the master and did nothing has not; who did harm has less than
    nothing."""
    passed = [name for name, each in points.items() if each.passed]
    assert passed == list(WATCHES)[:6]
    assert [name for name, each in points.items() if each.total < 0] == ["the wrong way", "far too tight"]
