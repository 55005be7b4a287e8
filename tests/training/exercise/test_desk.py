"""An exercise at the desk: it goes as it does without a screen, wherever it is gone to."""

from pathlib import Path

import pytest

from alongside.actions import Done, Note, TendLine
from alongside.actions.controls import Pause, Seek
from alongside.training.exercise.actions_file import read_actions, write_actions
from alongside.training.exercise.desk import NO_ADVICE, ExerciseDesk
from alongside.training.exercise.file import read_exercise
from alongside.training.exercise.run import blocks, run_exercise
from alongside.training.exercise.staging import log_source_of
from tests.berth import START
from tests.runtime.test_replay import Shown, known
from tests.training.exercise.lived import BALANCED, END, flood, second, write_exercise

INJECTIONS = f"""\
  - {{kind: frozen, channel: tide, at: {second(950)}, seconds: 1800}}
  - {{kind: spike, channel: draught_fwd, at: {second(1000)}, seconds: 1500}}
  - {{kind: tide_surge, at: {second(1000)}, seconds: 2400, metres: 0.4}}
  - {{kind: parted_line, line: "3", at: {second(2000)}}}
  - {{kind: brake_rendering, line: "1", at: {second(3380)}, brake_kn: 15}}
"""


def test_seeking_shows_what_playing_straight_shows(tmp_path: Path) -> None:
    exercise = read_exercise(write_exercise(tmp_path, INJECTIONS, BALANCED, flood))
    shown: list[Shown] = []
    desks = []
    for seeks in ((2700,), (3400, 1000, 2950, 2700)):
        desk, screen = ExerciseDesk(exercise), Shown()
        desks.append(desk)
        shown.append(screen)
        desk.start(screen)
        desk.control(Pause(True))
        for at in seeks:
            desk.control(Seek(START + at))
            screen.wait(lambda p, at=at: p.time == START + at, 30.0)
    straight, moved = (screen.pictures[-1] for screen in shown)
    for desk in desks:
        desk.stop()
    assert known(straight) == known(moved)
    assert straight.lines[2].tension_kn != straight.lines[2].tension_kn, "it has parted"


def test_what_is_done_at_the_desk_is_what_a_run_without_it_makes_of_it(tmp_path: Path) -> None:
    exercise = read_exercise(write_exercise(tmp_path, INJECTIONS, BALANCED, flood))
    desk, screen = ExerciseDesk(exercise), Shown()
    desk.start(screen)
    try:
        desk.control(Pause(True))
        begun = screen.wait(lambda p: p.paused)
        assert begun.time == exercise.start
        desk.control(Seek(START + 1500))
        screen.wait(lambda p: p.time == START + 1500)
        desk.act(TendLine("2", paid_out=0.3, by="TK"))
        screen.wait(lambda p: any(event.event == "tended" for event in p.log))
        desk.control(Seek(START + END + 900))
        last = screen.wait(lambda p: p.time == START + END, 30.0)
    finally:
        desk.stop()
    assert desk.done == [Done(START + 1501, TendLine("2", paid_out=0.3, by="TK"))]
    player = log_source_of(exercise).rewound()
    events = [event for block in blocks(exercise, player, desk.done) for event in block.events]
    assert [event for event in last.log if event.time >= exercise.start] == events
    assert [row.unstretched_m for row in last.lines] == pytest.approx(
        player.memory.lengths.unstretched.tolist(), nan_ok=True
    )


def test_the_exercise_ends_at_its_end(tmp_path: Path) -> None:
    exercise = read_exercise(write_exercise(tmp_path, ""))
    desk, screen = ExerciseDesk(exercise, speed=3600.0), Shown()
    desk.start(screen)
    try:
        last = screen.wait(lambda p: p.paused)
        assert last.time == START + END
    finally:
        desk.stop()


@pytest.mark.parametrize("hidden", ["advice", "ahead"])
def test_what_is_hidden_is_not_shown(tmp_path: Path, hidden: str) -> None:
    exercise = read_exercise(write_exercise(tmp_path, "", more=f"shows: {{{hidden}: no}}"))
    desk, screen = ExerciseDesk(exercise), Shown()
    desk.start(screen)
    try:
        picture = screen.wait(lambda p: True)
        assert (picture.advice == NO_ADVICE) == (hidden == "advice")
        if hidden == "ahead":
            assert picture.forecast is None
    finally:
        desk.stop()


def test_what_going_back_took_back_is_kept_and_marked(tmp_path: Path) -> None:
    """Tended at 1501 and noted at 1601; back to 1550, noted again; back to 1000, and on. Before the exercise
    nothing can be done."""
    exercise = read_exercise(write_exercise(tmp_path, "", BALANCED, flood))
    desk, screen = ExerciseDesk(exercise), Shown()
    desk.start(screen)

    def go(at: float) -> None:
        desk.control(Seek(START + at))
        screen.wait(lambda p: p.time == START + at, 30.0)

    def note(text: str) -> None:
        desk.act(Note(text))
        screen.wait(lambda p: any(event.text == text for event in p.log))

    try:
        desk.control(Pause(True))
        go(1500)
        desk.act(TendLine("2", paid_out=0.3, by="TK"))
        screen.wait(lambda p: any(event.event == "tended" for event in p.log))
        go(1600)
        note("one")
        go(1550)
        note("two")
        go(1000)
        go(600)
        desk.act(Note("early"))
        screen.wait(lambda p: any(event.text.startswith("Not done: the exercise begins") for event in p.log))
        go(2000)
        note("three")
    finally:
        desk.stop()
    assert desk.acts == (
        Done(START + 1501, TendLine("2", paid_out=0.3, by="TK"), undone=True),
        Done(START + 1551, Note("two"), undone=True),
        Done(START + 1601, Note("one"), undone=True),
        Done(START + 2001, Note("three")),
    )
    written = tmp_path / "done.jsonl"
    write_actions(written, desk.acts)
    assert read_actions(written, exercise) == desk.acts
    run = run_exercise(exercise, desk.acts)
    assert (run.undone, run.done) == (3, (Done(START + 2001, Note("three")),))
