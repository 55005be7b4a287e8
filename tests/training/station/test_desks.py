"""Both desks on one attempt: what is put in live is what its file makes of it, and both show the same."""

import json
import os
import stat
import time
from collections.abc import Callable, Collection, Iterable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from alongside.actions import CallOut, ChangeCargo, Note, ReadByHand, TendLine
from alongside.actions.controls import Inject, InSight, Pause, Seek, Speed
from alongside.alerts.model import Event
from alongside.cli.main import main
from alongside.cycle.block import Block
from alongside.cycle.picture import Picture
from alongside.record import attempt as shared
from alongside.record.attempt import AttemptFolder, Seat
from alongside.record.faults import RecordInUse
from alongside.reports.json_lines import event_line, state_lines
from alongside.training.exercise.actions_file import read_actions, write_actions
from alongside.training.exercise.answers import as_met, met_by
from alongside.training.exercise.file import read_exercise
from alongside.training.exercise.given import write_given
from alongside.training.exercise.kept_yardstick import key_of
from alongside.training.exercise.model import Exercise
from alongside.training.exercise.run import blocks
from alongside.training.exercise.staging import log_source_of
from alongside.training.station import trainee_desk
from alongside.training.station.instructor_desk import ENDED, GONE, InstructorDesk
from alongside.training.station.places import place_of, write_what_was_kept
from alongside.training.station.trainee_desk import STANDS_WORDS, TraineeDesk
from tests.berth import START
from tests.runtime.test_replay import Shown, known
from tests.training.exercise.lived import BALANCED, END, flood, second, write_exercise

CREWED = "crew: {hands: 2, minutes_per_line: 5, cargo_min: 2, engineer_min: 3, reading_min: 2}"
OF_THE_FILE = f"  - {{kind: tide_surge, at: {second(1000)}, seconds: 2400, metres: 0.4}}\n"
WAIT_S = 60.0


class Pair:
    """A trainee's desk and an instructor's, each with what it has shown."""

    def __init__(self, folder: Path, exercise: Exercise, *, exam: bool = False, speed: float = 1.0) -> None:
        self.place = folder / "attempt"
        self.exercise = exercise
        self.trainee = TraineeDesk(
            exercise, AttemptFolder(self.place), speed, trainee="A. Example", exam=exam
        )
        self.of_trainee, self.of_instructor = Shown(), Shown()
        self.instructor = InstructorDesk(exercise, Seat(self.place))
        self.trainee.start(self.of_trainee)
        self.instructor.start(self.of_instructor)

    def go(self, at: float) -> None:
        self.trainee.control(Seek(START + at))
        self.of_trainee.wait(lambda p: p.time == START + at, WAIT_S)

    def inject(self, at: float | None = None, **keys: str | float) -> None:
        """Put something in, and wait until it is."""
        before = len(self.trainee.given.injections)
        plain = tuple((key.rstrip("_"), value) for key, value in keys.items())
        self.instructor.control(Inject(plain, None if at is None else START + at))
        self.until(lambda: len(self.trainee.given.injections) > before)

    def until(self, condition: Callable[[], bool]) -> None:
        end = time.monotonic() + WAIT_S
        while not condition():
            assert time.monotonic() < end
            time.sleep(0.05)

    def both_at(self, at: float) -> tuple[Picture, Picture]:
        """The newest Pictures of both at a time."""
        shown = self.of_instructor.wait(lambda p: p.time == START + at, WAIT_S)
        return next(p for p in reversed(self.of_trainee.pictures) if p.time == START + at), shown

    def stop(self) -> None:
        self.instructor.stop()
        self.trainee.stop()


@pytest.fixture
def pair(tmp_path: Path) -> Iterator[Pair]:
    exercise = read_exercise(write_exercise(tmp_path, OF_THE_FILE, BALANCED, flood, more=CREWED))
    both = Pair(tmp_path, exercise)
    both.trainee.control(Pause(True))
    both.of_trainee.wait(lambda p: p.paused, WAIT_S)
    yield both
    both.stop()


def lived_through(pair: Pair) -> None:
    """Each kind of injection, at once and for later, between orders of the trainee."""
    pair.go(1199)
    pair.trainee.act(TendLine("2", paid_out=0.3, by="TK"))
    pair.of_trainee.wait(lambda p: p.time >= START + 1200)
    pair.inject(kind="gust", seconds=900.0, speed_ms=17.4915, from_deg=205.0)
    pair.inject(1600, kind="frozen", channel="tide", seconds=900.0)
    pair.go(1299)
    pair.trainee.act(ChangeCargo("stopped", by="TK"))
    pair.of_trainee.wait(lambda p: p.time >= START + 1300)
    pair.inject(kind="message", from_="terminal", text="Loading arm is free at 05:00 [/]")
    pair.go(1700)
    pair.trainee.act(ReadByHand((("tide", 9.0),), START + 1700, by="TK"))
    pair.inject(kind="parted_line", line="3")
    pair.go(1800)
    pair.trainee.act(CallOut("engineer", "tide", "TK"))
    pair.of_trainee.wait(lambda p: p.time >= START + 1801)
    pair.inject(kind="brake_rendering", line="1", brake_kn=15.0)
    pair.inject(2400, kind="spike", channel="draught_fwd", seconds=300.0)


@pytest.mark.slow
def test_what_was_put_in_live_is_what_its_file_makes_of_it(pair: Pair, tmp_path: Path) -> None:
    """Each kind of injection: the same events and figures at the desk as of the written file with the written
    actions, without a screen."""
    lived_through(pair)
    pair.go(2500)
    at_2500 = pair.of_trainee.pictures[-1]
    pair.go(END)
    last = pair.of_trainee.pictures[-1]
    pair.stop()
    given, done = tmp_path / "given.yaml", tmp_path / "done.jsonl"
    write_given(pair.exercise.file, pair.trainee.given, given)
    write_actions(done, pair.trainee.acts, pair.trainee.attempt)
    exercise = read_exercise(given)
    assert len(exercise.instructed.injections) == 6
    acts = read_actions(done, exercise)
    world = as_met(exercise, met_by(exercise, acts))
    player = log_source_of(world).rewound()
    whole = list(blocks(world, player, acts))
    events = [event for block in whole for event in block.events]
    assert rows_of(event for event in last.log if event.time >= exercise.start) == rows_of(events)
    assert {"Terminal: Loading arm is free at 05:00 [/]", "Line 3 has parted"} <= {
        each.text for each in events
    }
    for picture in (at_2500, last):
        block = next(b for b in whole if b.readings.time[0] <= picture.time <= b.readings.time[-1])
        row = int(picture.time - block.readings.time[0])
        for at, line in enumerate(picture.lines):
            assert line.tension_kn == pytest.approx(  # kN
                float(block.hold.lines.tension_kn[row, at]), rel=0, abs=1e-9, nan_ok=True
            )


def rows_of(events: Iterable[Event]) -> list[str]:
    return [event_line(event) for event in events]


@pytest.mark.slow
def test_the_course_is_byte_for_byte_that_of_the_written_file(tmp_path: Path) -> None:
    """Every state and every event of the exercise as the desk played it, at its pace, beside those that a run
    without a screen writes."""
    exercise = read_exercise(write_exercise(tmp_path, OF_THE_FILE, BALANCED, flood, more=CREWED))
    pair = Pair(tmp_path, exercise, speed=60.0)
    states: list[str] = []
    events: list[str] = []
    add = pair.trainee._pictures.add

    def kept(block: Block, asked: Collection[str] = ()) -> None:
        basis = pair.trainee._player.basis
        rows = [row for row, at in enumerate(block.readings.time.tolist()) if at >= exercise.start]
        states.extend(state_lines(basis, block, rows))
        events.extend(rows_of(event for event in block.events if event.time >= exercise.start))
        add(block, asked)

    pair.trainee._pictures.add = kept  # type: ignore[method-assign]
    try:
        pair.of_trainee.wait(lambda p: p.time > exercise.start + 60.0, WAIT_S)
        pair.inject(kind="gust", seconds=900.0, speed_ms=17.4915, from_deg=205.0)
        pair.trainee.act(TendLine("2", paid_out=0.3, by="TK"))
        pair.of_trainee.wait(lambda p: p.time > exercise.start + 300.0, WAIT_S)
        pair.inject(kind="frozen", channel="tide", seconds=900.0)
        pair.instructor.control(Pause(True))
        pair.of_trainee.wait(lambda p: p.told == STANDS_WORDS, WAIT_S)
        pair.inject(kind="message", from_="master", text="I am coming")
        pair.instructor.control(Pause(False))
        pair.trainee.act(CallOut("engineer", "tide", "TK"))
        pair.of_trainee.wait(lambda p: p.time > exercise.start + 900.0, WAIT_S)
        pair.inject(kind="parted_line", line="3")
        pair.of_trainee.wait(lambda p: p.time >= exercise.end, WAIT_S)
    finally:
        pair.stop()
    given, done = tmp_path / "given.yaml", tmp_path / "done.jsonl"
    write_given(exercise.file, pair.trainee.given, given)
    write_actions(done, pair.trainee.acts, pair.trainee.attempt)
    run = ["exercise", str(given), "--headless", "--actions", str(done)]
    outputs = tmp_path / "states.jsonl", tmp_path / "events.jsonl"
    assert main([*run, "--states", str(outputs[0]), "--events", str(outputs[1])]) == 0
    assert len(states) == exercise.end - exercise.start + 1
    assert outputs[0].read_text().splitlines() == [row.rstrip("\n") for row in states]
    assert outputs[1].read_text().splitlines() == events


@pytest.mark.slow
def test_what_was_done_until_then_does_not_change(pair: Pair) -> None:
    """One that is put in changes no event and no figure before its time."""
    pair.go(1500)
    before = pair.of_trainee.pictures[-1]
    pair.inject(2000, kind="gust", seconds=900.0, speed_ms=25.0, from_deg=205.0)
    pair.go(1200)
    pair.go(1500)
    after = pair.of_trainee.pictures[-1]
    assert known(after) == known(before)
    assert after.log == before.log


def alike(picture: Picture) -> tuple[object, ...]:
    """What both consoles must have the same of a Picture, to a micron and a microkilonewton."""
    lines = [(row.id, row.stage, f"{row.tension_kn:.6f} {row.unstretched_m:.6f}") for row in picture.lines]
    alerts = [(alert.key, alert.stage, alert.standing, alert.raised_at) for alert in picture.alerts]
    whole = (picture.tide, picture.draught_fwd, picture.wind_ms, picture.wind_from_deg, picture.sway)
    figures = [f"{each:.6f}" for each in whole]
    return picture.time, lines, alerts, figures, picture.advice, picture.at_work == ()


@pytest.mark.slow
def test_the_instructor_has_the_same_picture(pair: Pair) -> None:
    lived_through(pair)
    pair.go(2100)
    trainee, instructor = pair.both_at(2100)
    assert alike(instructor) == alike(trainee)
    events = [each for each in trainee.log if each.time >= pair.exercise.start]
    assert rows_of(each for each in instructor.log if each.time >= pair.exercise.start) == rows_of(events)
    assert instructor.instructing is not None
    rows = dict(instructor.instructing.sections)
    assert any(row.startswith("tide: ") and "really" in row for row in rows["Not what the gauges show"])
    assert any("line 2 slacked 0.30 m: done" in row for row in rows["What was ordered, newest first"])
    assert len(rows["What you did, newest first"]) == 6
    pair.go(1250)  # back before most of it: the instructor's console goes back as well
    trainee, instructor = pair.both_at(1250)
    assert alike(instructor) == alike(trainee)


@pytest.mark.slow
def test_time_stands_and_goes_on(pair: Pair) -> None:
    """Nothing can be done meanwhile, it is no pause of the trainee's, and it is on record."""
    pair.trainee.control(Pause(False))
    pair.of_trainee.wait(lambda p: not p.paused)
    pauses = pair.trainee.attempt.pauses
    pair.instructor.control(Pause(True))
    stands = pair.of_trainee.wait(lambda p: p.told == STANDS_WORDS, WAIT_S)
    pair.of_instructor.wait(lambda p: "TIME STANDS" in p.told, WAIT_S)
    pair.trainee.act(Note("too late", "TK"))
    pair.trainee.control(Speed(60.0))
    pair.of_trainee.wait(lambda p: any("Not done: the instructor" in each.text for each in p.log))
    paused = pair.trainee.attempt.paused_s
    time.sleep(1.0)
    assert pair.of_trainee.pictures[-1].time == stands.time
    pair.instructor.control(Pause(False))
    pair.of_trainee.wait(lambda p: p.time > stands.time, WAIT_S)
    attempt = pair.trainee.attempt
    assert (attempt.pauses, attempt.paused_s) == (pauses, paused)
    assert attempt.fastest == 1.0
    (freeze,) = pair.trainee.given.freezes
    assert freeze["seconds"] >= 1.0
    assert not pair.trainee.acts


@pytest.mark.slow
def test_a_moment_is_marked(pair: Pair) -> None:
    pair.go(1300)
    pair.of_instructor.wait(lambda p: p.time == START + 1300, WAIT_S)
    pair.instructor.act(Note("looked at the wrong line [/]", "IN"))
    pair.until(lambda: bool(pair.trainee.given.marks))
    assert pair.trainee.given.marks == ({"at": second(1300), "text": "looked at the wrong line [/]"},)
    kept = pair.of_instructor.wait(lambda p: p.acts.taken == 1, WAIT_S)
    assert not kept.acts.refused


@pytest.mark.slow
def test_what_cannot_be_is_refused_and_said(pair: Pair) -> None:
    """By the instructor's console at once, and by the trainee's where only that one can know."""
    pair.go(1500)
    pair.of_instructor.wait(lambda p: p.time == START + 1500, WAIT_S)
    plain = (("kind", "parted_line"), ("line", "99"))
    pair.instructor.control(Inject(plain))
    pair.of_instructor.wait(lambda p: p.told.startswith("Not done: line"), WAIT_S)
    plain = (("kind", "parted_line"), ("line", "3"))
    pair.instructor.control(Inject(plain, START + 1100))
    pair.of_instructor.wait(lambda p: "is over" in p.told, WAIT_S)
    pair.instructor.act(TendLine("2", paid_out=0.3, by="IN"))
    pair.of_instructor.wait(lambda p: "orders are the trainee's" in p.told, WAIT_S)
    assert not pair.trainee.given
    assert not pair.trainee.acts


@pytest.mark.slow
def test_what_is_in_sight_is_told(pair: Pair) -> None:
    seen = InSight("ahead", line="2", hours=12, form="tend", size=(80, 24))
    pair.trainee.control(seen)
    shown = pair.of_instructor.wait(
        lambda p: p.instructing is not None and p.instructing.in_sight == seen, WAIT_S
    )
    assert shown.stationed is False, "nobody follows the one who follows"


@pytest.mark.slow
def test_in_an_exam_it_works_and_is_not_counted_against_the_trainee(tmp_path: Path) -> None:
    exercise = read_exercise(write_exercise(tmp_path, "", BALANCED, flood, more=CREWED))
    pair = Pair(tmp_path, exercise, exam=True)
    try:
        pair.of_trainee.wait(lambda p: p.time > exercise.start, WAIT_S)
        pair.instructor.control(Pause(True))
        pair.of_trainee.wait(lambda p: p.told == STANDS_WORDS, WAIT_S)
        pair.inject(kind="gust", seconds=900.0, speed_ms=17.0)
        pair.instructor.control(Pause(False))
        pair.of_trainee.wait(lambda p: not p.told and not p.paused, WAIT_S)
        pair.trainee.control(Pause(True))
        pair.until(lambda: pair.trainee.attempt.refused == 1)
    finally:
        pair.stop()
    attempt = pair.trainee.attempt
    assert (attempt.pauses, attempt.paused_s, attempt.refused) == (0, 0.0, 1)


@pytest.mark.slow
def test_an_instructor_who_is_gone_lets_time_go_on(pair: Pair, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(trainee_desk, "MISSED_S", 0.5)
    pair.trainee.control(Pause(False))
    pair.of_trainee.wait(lambda p: not p.paused)
    pair.instructor.control(Pause(True))
    stands = pair.of_trainee.wait(lambda p: p.told == STANDS_WORDS, WAIT_S)
    pair.instructor._worker.stop()
    pair.instructor._seat.leave()  # as a kill does
    gone = pair.of_trainee.wait(lambda p: p.time > stands.time, WAIT_S)
    assert any("console is gone" in each.text for each in gone.log)
    assert len(pair.trainee.given.freezes) == 1


@pytest.mark.slow
def test_a_trainee_who_is_gone_is_said_and_what_was_kept_is_written(pair: Pair) -> None:
    """As after a kill: no last row, the lock free."""
    lived_through(pair)
    pair.instructor.control(Pause(True))
    pair.of_trainee.wait(lambda p: p.told == STANDS_WORDS, WAIT_S)
    pair.trainee._worker.stop()
    pair.trainee._folder._lock.release()
    pair.of_instructor.wait(lambda p: GONE in p.told, WAIT_S)
    with (pair.place / shared.ROWS).open("ab") as rows:
        rows.write(b'{"row": "ord')  # cut off
    folder = pair.place.parent / "stations" / "small-1"
    folder.parent.mkdir()
    pair.place.rename(folder)
    given, actions = write_what_was_kept(place_of(folder))
    exercise = read_exercise(given)
    assert len(exercise.instructed.injections) == 6
    assert [each.action for each in read_actions(actions, exercise)] == [
        each.action for each in pair.trainee.acts
    ]
    assert len(exercise.instructed.freezes) == 1
    head = json.loads(actions.read_text().splitlines()[0])["attempt"]
    assert head["trainee"] == "A. Example"
    assert head["left_at"] >= second(1801)
    folder.rename(pair.place)


def test_an_end_in_order_is_said(tmp_path: Path) -> None:
    exercise = read_exercise(write_exercise(tmp_path, "", more=CREWED))
    pair = Pair(tmp_path, exercise)
    pair.of_instructor.wait(lambda p: p.time >= exercise.start, WAIT_S)
    pair.trainee.stop()
    pair.of_instructor.wait(lambda p: p.told == ENDED, WAIT_S)
    pair.instructor.stop()


def test_the_folder_is_for_its_owner_alone_and_has_one_instructor(tmp_path: Path) -> None:
    folder = AttemptFolder(tmp_path / "kept" / "attempt")
    folder.say({"time": 1.0})
    folder.append({"row": "begun"})
    seat = Seat(folder.folder)
    seat.ask({"do": "freeze"})
    for path in [folder.folder, *folder.folder.rglob("*")]:
        assert stat.S_IMODE(os.stat(path).st_mode) & 0o077 == 0, path
    with pytest.raises(RecordInUse):
        Seat(folder.folder)
    seat.leave()
    Seat(folder.folder).leave()
    folder.close()


@pytest.mark.slow
def test_notes_that_are_none_of_ours_do_no_harm(pair: Pair) -> None:
    notes = pair.place / shared.NOTES
    (notes / "a.json").write_bytes(b"x" * 20_000)
    (notes / "b.json").write_bytes(b"[1, 2")
    (notes / "c.json").write_text('{"do": "inject", "injection": {"kind": ["gust"]}}')
    (notes / "d.json").write_text('{"do": "mark"}')
    (notes / "e.json").write_text('{"do": "inject", "injection": {"kind": "gust", "seconds": 1e999}}')
    pair.until(lambda: not any(notes.glob("*.json")))
    pair.go(1300)
    assert not pair.trainee.given


@pytest.mark.slow
def test_what_it_is_measured_by_is_that_of_the_exercise_as_given(pair: Pair, tmp_path: Path) -> None:
    """The key by which the instructor's console keeps it is that by which the debrief looks for it."""
    pair.go(1300)
    pair.inject(kind="gust", seconds=900.0, speed_ms=17.0)
    pair.until(lambda: len(pair.instructor._as_given.injections) == 2)
    given = tmp_path / "elsewhere" / "given.yaml"
    write_given(pair.exercise.file, pair.trainee.given, given)
    assert key_of(read_exercise(given)) == key_of(pair.instructor._as_given)
    assert key_of(replace(pair.exercise)) != key_of(pair.instructor._as_given)
