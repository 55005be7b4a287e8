"""Limits of wind agreed with the terminal that are reached while cargo goes on or arms are connected: what
that costs, what disconnecting takes, and that the points go with it. Figures are counted by hand from the
weights that the manual has: 10 a minute of alarm, twice that for the ship."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from alongside.actions import Action, CallOut, ChangeCargo, Correct, Done, SayTransfer
from alongside.errors import StayFaults
from alongside.training.exercise.answers import as_met, met_by
from alongside.training.exercise.asked_for import orders_asked_for
from alongside.training.exercise.briefing import briefing
from alongside.training.exercise.crew import Work
from alongside.training.exercise.debrief import debrief
from alongside.training.exercise.debrief_text import debrief_text
from alongside.training.exercise.file import read_exercise
from alongside.training.exercise.model import Exercise
from alongside.training.exercise.run import run_exercise
from alongside.training.exercise.yardstick import yardstick_of
from tests.berth import START
from tests.training.exercise.lived import BEGIN, END, STAY, second, write_exercise

AGREED = """\
decide:
  lead_min: {stop_cargo: 5, gang: 20, disconnect: 10}
  with_transfer: [{do: stop_cargo, mean_kn: 8}, {do: disconnect, mean_kn: 9}]
"""
"""It blows 5.0 to 5.2 m/s, 9.7 kn at least, all the time; hold 1 goes on from before it begins to after its
end."""
SHOWN = "shows: {decide: yes}"
MINUTES = (END - BEGIN + 1) / 60.0
"""Cycles a second apart, the first and the last among them."""
A_MINUTE = 20.0


def written(folder: Path, more: str = SHOWN, agreed: str = AGREED) -> Exercise:
    return read_exercise(write_exercise(folder, "", STAY + agreed, more=more))


def at(seconds: float, action: Action) -> Done:
    return Done(START + BEGIN + seconds, action)


STOPPED = at(0.0, ChangeCargo("stopped"))
ALL = (STOPPED, at(5.0, CallOut("linesmen")), at(10.0, SayTransfer(False)))


def cost(exercise: Exercise, *done: Done) -> float:
    return float(run_exercise(exercise, done).course.agreed_cost.sum())


def ends(exercise: Exercise, *done: Done) -> list[tuple[float, str]]:
    works = met_by(exercise, done)
    return [(work.end - START - BEGIN, work.why_not) for work in works]


def disconnected(exercise: Exercise, *done: Done) -> Work:
    (work,) = (each for each in met_by(exercise, done) if isinstance(each.order.action, SayTransfer))
    return work


def test_a_limit_that_is_reached_costs_by_the_minute_until_what_it_calls_for_is_done(tmp_path: Path) -> None:
    exercise = written(tmp_path)
    assert cost(exercise) == pytest.approx(2 * A_MINUTE * MINUTES)
    # Cargo stands still after 5 min; connected to the end.
    assert cost(exercise, STOPPED) == pytest.approx(A_MINUTE * (5 + MINUTES))
    # The gang is called 5 s after the beginning, there 20 min later, and takes 10: in the 31st minute.
    assert cost(exercise, *ALL) == pytest.approx(A_MINUTE * (5 + 31))


def test_a_limit_that_is_not_reached_and_one_that_is_not_shown_cost_nothing(tmp_path: Path) -> None:
    assert cost(written(tmp_path, agreed=AGREED.replace("kn: 8", "kn: 28").replace("kn: 9", "kn: 33"))) == 0.0
    hidden = written(tmp_path, more="")
    assert run_exercise(hidden, ()).course.agreed_cost.size == 0
    shown = run_exercise(written(tmp_path), ()).course
    assert np.array_equal(shown.line_cost, run_exercise(hidden, ()).course.line_cost)


def test_gusts_and_sectors_count_as_they_are_agreed(tmp_path: Path) -> None:
    """The wind is in one half of the compass alone, and in the other reaches nothing."""
    only = AGREED.replace("[{do: stop_cargo, mean_kn: 8}, {do: disconnect, mean_kn: 9}]", "[{}]")
    gusts = only.replace("{}", "{do: stop_cargo, gust_kn: 8}")
    assert cost(written(tmp_path, agreed=gusts)) == pytest.approx(A_MINUTE * MINUTES)
    sectors = [
        cost(written(tmp_path, agreed=only.replace("{}", f"{{do: stop_cargo, mean_kn: 8, sector: {each}}}")))
        for each in ("[0, 180]", "[180, 360]")
    ]
    assert sorted(sectors) == pytest.approx([0.0, A_MINUTE * MINUTES])


def test_who_does_what_was_agreed_has_more_points_than_who_does_nothing(tmp_path: Path) -> None:
    exercise = written(tmp_path)
    measure = yardstick_of(exercise)
    asked = orders_asked_for(measure.called)
    assert [type(each.action) for each in asked] == [ChangeCargo, CallOut, SayTransfer]
    assert measure.best.course.cost < measure.nothing.course.cost
    ignored, all_at_once = (debrief(exercise, done, measure) for done in ((), ALL))
    late = debrief(exercise, [replace(each, time=each.time + 900.0) for each in ALL], measure)
    points = [each.points.total for each in (ignored, late, all_at_once)]
    assert points == sorted(set(points)), points
    assert {each.verdict for each in all_at_once.judged} <= {"helped"}
    kept = all_at_once.points.parts[0]
    assert kept.points == pytest.approx(kept.most, rel=0.05)


def test_to_disconnect_waits_for_cargo_and_gang_and_takes_its_time(tmp_path: Path) -> None:
    exercise = written(tmp_path)
    assert "cargo goes on" in disconnected(exercise, ALL[2]).why_not
    begun = at(1.0, ChangeCargo("begun"))
    assert "cargo goes on" in disconnected(exercise, STOPPED, begun, ALL[2]).why_not
    # Called by the order itself: 10 s, 20 min for the gang and 10 min.
    assert disconnected(exercise, STOPPED, ALL[2]).end == START + BEGIN + 10 + 1800
    assert disconnected(exercise, *ALL).end == START + BEGIN + 5 + 1800
    early = written(tmp_path, agreed=AGREED.replace("gang: 20, ", ""))
    assert disconnected(early, *ALL).end == START + BEGIN + 300 + 600, "no gang: once cargo stands still"
    bare = written(tmp_path, agreed=AGREED.replace("{stop_cargo: 5, gang: 20, disconnect: 10}", "{tugs: 60}"))
    assert disconnected(bare, *ALL).end == START + BEGIN + 300
    assert disconnected(written(tmp_path, more=""), ALL[2]).end == START + BEGIN + 10


def test_it_is_taken_back_as_long_as_it_is_not_done(tmp_path: Path) -> None:
    exercise = written(tmp_path)
    back = ends(exercise, *ALL, at(600.0, Correct(line="transfer")))
    assert [why for _, why in back[2:]] == [
        "taken back before it was done",
        "the order before it was taken back",
    ]
    late = ends(exercise, *ALL, at(1900.0, Correct(line="transfer")))
    assert late[2] == (1805.0, "")
    assert "what was done stays done" in late[3][1]


def test_the_crew_takes_the_times_of_the_stay_and_another_is_a_fault(tmp_path: Path) -> None:
    other = written(tmp_path, agreed=AGREED.replace("gang: 20", "gang: 30, tugs: 75"))
    assert (other.crew.linesmen_min, other.crew.tug_min, other.crew.cargo_min) == (30, 75, 5)
    read = "\n".join(briefing(other, False, 1.0))
    assert "linesmen 30 min" in read
    assert "cargo stops 5 min after the order; 1 tug 75 min after the order" in read
    assert "arms or hoses are off 10 min after cargo stands still and linesmen are there" in read
    same = written(tmp_path, more=f"{SHOWN}\ncrew: {{minutes_per_line: 0, linesmen_min: 20}}")
    assert same.crew.linesmen_min == 20
    with pytest.raises(StayFaults) as wrong:
        written(tmp_path, more=f"{SHOWN}\ncrew: {{linesmen_min: 25}}")
    assert "crew.linesmen_min: decide.lead_min of the stay file has gang: 20, expected 20, or none" in str(
        wrong.value
    )
    assert written(tmp_path, more="crew: {linesmen_min: 25}").crew.linesmen_min == 25, (
        "nothing is shown of it"
    )


def test_what_was_due_before_the_exercise_began_is_said_and_not_counted(tmp_path: Path) -> None:
    """The limits are reached from the beginning of the log on; all of it was due before that."""
    told = debrief(written(tmp_path), ())
    alerts = [each for each in told.as_done.alerts if each.cause == "decide"]
    assert alerts
    assert all(each.overdue and each.calls for each in alerts)
    others = [call for each in told.as_done.alerts if each.cause != "decide" for call in each.calls]
    answered = next(each for each in told.points.parts if each.name == "alerts answered")
    assert answered.counted == (
        f"0 of {len(others)} warnings and alarms acknowledged" if others else "none to answer"
    )
    text = " ".join("\n".join(debrief_text(told)).split())
    assert text.count("it was due before the exercise began: that is not counted") == len(alerts)


@pytest.mark.parametrize("stopped", [True, False])
def test_a_rate_of_the_file_does_not_set_going_what_was_stopped(tmp_path: Path, stopped: bool) -> None:
    """Put in 20 min after the beginning, when cargo has stood still for 15."""
    put_in = f'  - {{kind: cargo_rate, operation: "hold 1", at: {second(BEGIN + 1200)}, times: 1.5}}'
    exercise = read_exercise(write_exercise(tmp_path, put_in, STAY + AGREED, more=SHOWN))
    done = ALL if stopped else ()
    assert cost(exercise, *done) == pytest.approx(A_MINUTE * (5 + 31 if stopped else 2 * MINUTES))
    world = as_met(exercise, met_by(exercise, done))
    assert (exercise.injections[0] in world.injections) is not stopped
