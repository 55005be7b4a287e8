"""An exercise at the desk: it goes as it does without a screen, wherever it is gone to."""

import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from alongside.actions import CallOut, ChangeCargo, Done, Note, ReadByHand, TendLine
from alongside.actions.controls import Pause, Seek
from alongside.training.exercise.actions_file import read_actions, write_actions
from alongside.training.exercise.answers import as_met, met_by
from alongside.training.exercise.debrief import debrief
from alongside.training.exercise.debrief_json import debrief_json
from alongside.training.exercise.desk import NO_ADVICE, ExerciseDesk
from alongside.training.exercise.file import read_exercise
from alongside.training.exercise.page.page import page
from alongside.training.exercise.run import Playing, blocks, run_exercise
from alongside.training.exercise.staging import log_source_of
from alongside.training.exercise.yardstick import yardstick_of
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


def wait_for(there: Callable[[], bool]) -> None:
    until = time.monotonic() + 30.0
    while not there():
        assert time.monotonic() < until
        time.sleep(0.02)


@pytest.mark.slow
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


@pytest.mark.slow
def test_what_is_done_at_the_desk_is_what_a_run_without_it_makes_of_it(tmp_path: Path) -> None:
    exercise = read_exercise(write_exercise(tmp_path, INJECTIONS, BALANCED, flood))
    desk, screen = ExerciseDesk(exercise), Shown()
    desk.start(screen)
    try:
        desk.control(Pause(True))
        begun = screen.wait(lambda p: p.paused)
        assert begun.time - exercise.start < 10.0
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


CREWED = "crew: {hands: 2, minutes_per_line: 5, cargo_min: 2, engineer_min: 3, reading_min: 2}"
ORDERS = (
    (1200, CallOut("engineer", "tide", "TK")),
    (1300, TendLine("2", paid_out=0.3, by="TK")),
    (1310, TendLine("1", paid_out=0.2, by="TK")),
    (1320, ReadByHand((("tide", 9.0),), 0.0, by="TK")),
    (1500, ChangeCargo("stopped", by="TK")),
)


@pytest.mark.slow
@pytest.mark.parametrize("back", [(), (2600, 1400)], ids=["straight on", "gone back and on again"])
def test_orders_are_carried_out_at_the_desk_as_without_it(tmp_path: Path, back: tuple[int, ...]) -> None:
    exercise = read_exercise(write_exercise(tmp_path, INJECTIONS, BALANCED, flood, more=CREWED))
    desk, screen = ExerciseDesk(exercise), Shown()
    desk.start(screen)
    try:
        desk.control(Pause(True))
        for at, action in ORDERS:
            desk.control(Seek(START + at - 1))
            screen.wait(lambda p, at=at: p.time == START + at - 1, 30.0)
            desk.act(action)
            screen.wait(lambda p, at=at: p.time >= START + at, 30.0)
        waiting = screen.pictures[-1].at_work
        for at in back:
            desk.control(Seek(START + at))
            screen.wait(lambda p, at=at: p.time == START + at, 30.0)
        if back:
            desk.control(Seek(START + 1499))
            screen.wait(lambda p: p.time == START + 1499, 30.0)
            desk.act(ORDERS[-1][1])
            screen.wait(lambda p: p.time >= START + 1500, 30.0)
        desk.control(Seek(START + END + 900))
        last = screen.wait(lambda p: p.time == START + END, 30.0)
    finally:
        desk.stop()
    stands = [each for each in desk.acts if not each.undone]
    assert stands == [Done(START + at, action) for at, action in ORDERS]
    assert "line 1 slacked 0.20 m" in [each.words for each in waiting]
    assert not last.at_work
    world = as_met(exercise, met_by(exercise, stands))
    player = log_source_of(world).rewound()
    events = [event for block in blocks(world, player, stands) for event in block.events]
    assert [event for event in last.log if event.time >= exercise.start] == events
    tended = {event.line: event.time - START for event in events if event.event == "tended"}
    assert tended["2"] > 1300 + 300, "five minutes of work and the way there"
    assert tended["1"] > tended["2"] + 300
    assert [row.unstretched_m for row in last.lines] == pytest.approx(
        player.memory.lengths.unstretched.tolist(), nan_ok=True
    )


@pytest.mark.slow
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


@pytest.mark.slow
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


@pytest.mark.slow
def test_what_is_judged_while_it_is_played_is_what_is_judged_at_the_end(tmp_path: Path) -> None:
    """A part of half an hour was played beside the desk; a gauge is mended by a call in it, which makes the
    rest another exercise. The debrief of all of it is the same."""
    silent = f"  - {{kind: silent, channel: draught_fwd, at: {second(1000)}, seconds: 2300}}\n"
    crew = "crew: {minutes_per_line: 2, engineer_min: 10}"
    exercise = read_exercise(write_exercise(tmp_path, silent, BALANCED, flood, more=crew))
    measure = yardstick_of(exercise)
    playing = Playing(exercise, measure.beginning)
    desk, screen = ExerciseDesk(exercise, judging=playing), Shown()
    desk.start(screen)
    try:
        desk.control(Pause(True))
        screen.wait(lambda p: p.paused)
        deeds = (1200, TendLine("2", paid_out=0.3, by="TK")), (1300, CallOut("engineer", "draught_fwd"))
        for taken, (at, deed) in enumerate(deeds, start=1):
            desk.control(Seek(START + at))
            screen.wait(lambda p, at=at: p.time == START + at)
            desk.act(deed)
            screen.wait(lambda p, taken=taken: p.acts.taken == taken)
        desk.control(Seek(START + END))
        screen.wait(lambda p: p.time == START + END, 30.0)
        wait_for(lambda: playing.reached >= START + 1799)
    finally:
        desk.stop()
    assert len(desk.acts) == 2
    after = debrief(exercise, desk.acts, measure, played=playing.run(desk.acts))
    alone = debrief(exercise, desk.acts, measure)
    assert after.as_done.run.works == alone.as_done.run.works
    assert debrief_json(after) == debrief_json(alone)
    assert page(after) == page(alone)


@pytest.mark.slow
def test_judging_begins_anew_where_an_order_was_undone(tmp_path: Path) -> None:
    exercise = read_exercise(write_exercise(tmp_path, "", BALANCED, flood))
    deed = Done(START + 1000.0, TendLine("2", paid_out=0.3))
    playing = Playing(exercise)
    playing.play([deed], START + 2000.0)
    assert playing.reached == START + 1799.0, "whole parts alone"
    found = playing.run([replace(deed, undone=True)])
    alone = run_exercise(exercise, [replace(deed, undone=True)])
    assert (found.undone, found.done) == (1, ())
    assert found.events == alone.events
    np.testing.assert_array_equal(found.course.line_bar, alone.course.line_bar)
