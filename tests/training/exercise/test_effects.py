"""Actions count where they took effect, and only within the exercise."""

from pathlib import Path

import pytest

from alongside.actions import Acknowledge, Action, Done, Note, Silence, TendLine
from alongside.stay.stage import Stage
from alongside.training.exercise.debrief import Debrief, debrief
from alongside.training.exercise.debrief_json import debrief_json
from alongside.training.exercise.debrief_text import debrief_text
from alongside.training.exercise.file import read_exercise
from alongside.training.exercise.model import Exercise
from alongside.training.exercise.run import run_exercise
from tests.berth import START
from tests.training.exercise.lived import STAY, flood, second, write_exercise

PARTED_AT = 1000


@pytest.fixture(scope="module")
def exercise(tmp_path_factory: pytest.TempPathFactory) -> Exercise:
    parted = f'  - {{kind: parted_line, line: "3", at: {second(PARTED_AT)}}}\n'
    return read_exercise(write_exercise(tmp_path_factory.mktemp("exercise"), parted, STAY, flood))


@pytest.fixture(scope="module")
def debriefed(exercise: Exercise) -> Debrief:
    done = [
        act(600, TendLine("2", paid_out=0.2)),
        act(1200, TendLine("3", paid_out=0.3, by="TK")),
        act(1230.5, Note("line 3 hangs from the fairlead")),
        act(1260, TendLine("1", to_tension_kn=30.0)),
        act(1400, TendLine("2", paid_out=0.4)),
        act(1500, Note("line 2 eased"), undone=True),
        act(3550, Silence()),
    ]
    return debrief(exercise, done)


def act(at: float, action: Action, undone: bool = False) -> Done:
    return Done(START + at, action, undone)


def test_what_was_refused_or_outside_is_named_and_not_counted(debriefed: Debrief) -> None:
    run = debriefed.as_done.run
    assert [each.done.time - START for each in run.uncounted] == [600.0, 3550.0, 1200.0]
    early, late, refused = (each.why for each in run.uncounted)
    assert (early, late) == ("before the exercise began", "after the exercise had ended")
    assert "line 3 not tended" in refused
    assert [each.time - START for each in run.done] == [1231.0, 1260.0, 1400.0]
    text = "\n".join(debrief_text(debriefed))
    assert "Not counted: Mon 04:20:00 tended line 3, slacked 0.30 m (TK): no effect: line 3" in text
    assert "Not counted: Mon 04:10:00 tended line 2, slacked 0.20 m: before the exercise began" in text
    assert len(debrief_json(debriefed)["not_counted"]) == 3


def test_many_actions_before_the_exercise_are_one_row(exercise: Exercise) -> None:
    """A record may hold days of them."""
    rows = debrief_text(debrief(exercise, [act(at, Note("quiet")) for at in range(60, 660, 60)]))
    rows = [row for row in rows if row.startswith("Not counted")]
    assert rows == ["Not counted: 10 actions, Mon 04:01:00 to Mon 04:10:00: before the exercise began"]


def test_what_was_undone_is_counted_and_not_played(exercise: Exercise, debriefed: Debrief) -> None:
    assert debriefed.as_done.run.undone == 1
    assert not any("eased" in event.text for event in debriefed.as_done.run.events)
    assert "1 action was undone by going back" in debrief_text(debriefed)
    assert debrief_json(debriefed)["undone"] == 1
    two = run_exercise(exercise, [act(1400, TendLine("2", paid_out=0.4), undone=True)] * 2)
    assert (two.undone, two.done) == (2, ())
    assert not any(event.event == "tended" for event in two.events)


def test_the_line_that_parted_has_a_row(debriefed: Debrief) -> None:
    """Parted at 1000, an alarm 5 s later; seen by the note at 1230.5, which takes effect at the next second;
    line 1 tended at 1260. The tending of what has gone does not count."""
    row = next(each for each in debriefed.as_done.alerts if each.cause == "parted")
    assert (row.raised_at - START, row.seen_s, row.acted_s) == (PARTED_AT + 5, 226.0, 255.0)
    ends = "Line 3 parted 04:16"
    (line,) = [each for each in debrief_text(debriefed) if each.startswith("Mon") and each.endswith(ends)]
    assert line.split()[:4] == ["Mon", "04:16:45", "▲", "alarm"]
    (parted,) = [each for each in debrief_json(debriefed)["alerts"] if each["alert"] == "parted"]
    assert (parted["worst"], parted["line"], parted["over_s"]) == ("alarm", "3", None)


def test_two_tendings_of_one_second_each_count_for_themselves(exercise: Exercise) -> None:
    """Heaving in more than a line has is refused; what is paid out in the same second is not."""
    run = run_exercise(
        exercise, [act(1400, TendLine("2", paid_out=-900.0)), act(1400, TendLine("2", paid_out=0.4))]
    )
    assert [each.action for each in run.done] == [TendLine("2", paid_out=0.4)]
    assert [each.done.action for each in run.uncounted] == [TendLine("2", paid_out=-900.0)]


def test_an_alert_that_stood_at_the_start_has_a_row_and_is_counted(tmp_path: Path) -> None:
    """A flood that has stretched line 2 to an alarm within the quarter of an hour before the exercise."""

    def early(at: float) -> float:
        return flood(min(4.0 * at, 3600.0))

    exercise = read_exercise(write_exercise(tmp_path, "", STAY, early))
    outcome = debrief(exercise, [act(920, Acknowledge("stretch", "2", by="TK"))])
    row = next(each for each in outcome.as_done.alerts if each.key == ("stretch", "2"))
    assert row.episode.stood
    assert row.acknowledged_s == 20.0
    assert row.raised_at == exercise.start
    assert outcome.as_done.count(row.stage) >= 1
    text = debrief_text(outcome)
    assert any(line.startswith("Mon 04:15:00+") for line in text)
    assert "  + stood when the exercise began; times count from then." in text
    assert debrief_json(outcome)["alerts"][0]["stood_at_start"]


def test_an_alarm_after_an_acknowledged_warning_is_not_acknowledged(tmp_path: Path) -> None:
    exercise = read_exercise(write_exercise(tmp_path, "", STAY, flood))
    warned = next(
        event.time
        for event in run_exercise(exercise, ()).events
        if (event.alert, event.subject, event.stage) == ("stretch", "2", Stage.WARNING)
    )
    outcome = debrief(exercise, [Done(warned + 30.0, Acknowledge("stretch", "2"))])
    row = next(each for each in outcome.as_done.alerts if each.key == ("stretch", "2"))
    assert row.stage is Stage.ALARM
    assert (row.calls[0].waited_s, row.acknowledged_s) == (30.0, None)
    (line,) = [each for each in debrief_text(outcome) if "30 s, alarm never" in each]
    assert "▲ alarm" in line
    assert row.episode.worst_text != row.episode.text
    assert line.endswith(row.episode.worst_text), "the figure of its worst, not of its first"
