"""What an instructor did, in a file: read, refused, played, written, debriefed."""

from dataclasses import replace
from pathlib import Path

import pytest

from alongside.errors import StayFaults, WrongInput
from alongside.training.exercise.debrief import debrief
from alongside.training.exercise.debrief_json import debrief_json
from alongside.training.exercise.debrief_text import debrief_text
from alongside.training.exercise.file import describe, read_exercise
from alongside.training.exercise.given import Given, node_of, write_given
from alongside.training.exercise.injections import injections_of
from alongside.training.exercise.instructed_text import injection_words
from alongside.training.exercise.kept_yardstick import key_of
from alongside.training.exercise.model import Freeze, Gust, Mark, Message, PartedLine
from tests.berth import START
from tests.training.exercise.lived import END, lived, second, write_exercise

SECTION = f"""\
instructor:
  injections:
    - {{kind: gust, at: {second(1200)}, seconds: 600, speed_ms: 18.0, from_deg: 200}}
    - {{kind: message, at: {second(1300)}, from: engine, text: "no: power on deck [/]"}}
  marks: [{{at: {second(1250)}, text: "did not look at the wind"}}]
  freezes: [{{at: {second(1260)}, seconds: 42.5}}]
"""


def test_what_an_instructor_did_is_read(tmp_path: Path) -> None:
    parted = f'  - {{kind: parted_line, line: "3", at: {second(2000)}}}\n'
    exercise = read_exercise(write_exercise(tmp_path, parted, more=SECTION))
    gust = Gust(START + 1200, 600.0, 18.0, 200.0)
    message = Message(START + 1300, "engine", "no: power on deck [/]")
    assert exercise.injections == (PartedLine("3", START + 2000), gust, message)
    assert exercise.instructed.injections == (gust, message)
    assert exercise.instructed.marks == (Mark(START + 1250, "did not look at the wind"),)
    assert exercise.instructed.freezes == (Freeze(START + 1260, 42.5),)
    assert "3 injections, 2 of them by the instructor" in describe(exercise)


@pytest.mark.parametrize(
    ("rows", "place", "wrong"),
    [
        (f"  marks: [{{at: {second(END + 60)}, text: late}}]", "marks[0].at", "outside the exercise"),
        (f"  freezes: [{{at: {second(10)}, seconds: 1}}]", "freezes[0].at", "outside the exercise"),
        (
            f'  injections: [{{kind: parted_line, line: "3", at: {second(2100)}}}]',
            "injections[0].line",
            "parted already",
        ),
        (
            f"  injections: [{{kind: message, at: {second(1500)}, from: owner, text: hello}}]",
            "injections[0].from",
            "'owner'",
        ),
        (
            f"  injections: [{{kind: message, at: {second(1500)}, from: tug, text: {'x' * 201}}}]",
            "injections[0].text",
            "201 characters",
        ),
    ],
)
def test_each_fault_is_at_its_place(tmp_path: Path, rows: str, place: str, wrong: str) -> None:
    parted = f'  - {{kind: parted_line, line: "3", at: {second(2000)}}}\n'
    with pytest.raises(StayFaults) as refused:
        read_exercise(write_exercise(tmp_path, parted, more=f"instructor:\n{rows}"))
    (fault,) = refused.value.faults
    assert fault.path == f"instructor.{place}"
    assert wrong in fault.problem


def test_a_message_comes_in_its_time_and_changes_nothing(tmp_path: Path) -> None:
    item = f'  - {{kind: message, at: {second(1300)}, from: terminal, text: "Cargo stops at 15:00"}}\n'
    with_it, without = lived(tmp_path, item), lived(tmp_path, "")
    told = [event for event in with_it.events if event not in without.events]
    assert told == [(1300.0, "note", "Terminal: Cargo stops at 15:00")]
    assert with_it.line("2", "tension_kn") == without.line("2", "tension_kn")


def test_marks_and_freezes_are_no_part_of_what_it_is_measured_by(tmp_path: Path) -> None:
    exercise = read_exercise(write_exercise(tmp_path, "", more=SECTION))
    bare = replace(exercise, instructed=replace(exercise.instructed, marks=(), freezes=()))
    assert key_of(exercise) == key_of(bare)
    assert key_of(exercise) == key_of(replace(exercise, injections=exercise.injections[:1])), "a message"
    assert key_of(exercise) != key_of(replace(exercise, injections=exercise.injections[1:])), "a gust"


def test_what_was_given_is_written_and_read_again(tmp_path: Path) -> None:
    """Full digits, texts that YAML would take for something else, a section that is there already."""
    path = write_exercise(tmp_path, "", more=SECTION)
    at = second(1500)
    injections = (
        {"kind": "gust", "at": at, "seconds": 600.0, "speed_ms": 18.006333333333334},
        {"kind": "parted_line", "line": "3", "at": at},
        {"kind": "message", "at": at, "from": "tug", "text": "12:30"},
        {"kind": "silent", "channel": "tide", "at": at, "seconds": 60.0},
    )
    given = Given(injections, ({"at": at, "text": 'no "tug" # yet'},), ({"at": at, "seconds": 1.25},))
    to = tmp_path / "elsewhere" / "given.yaml"
    before = path.read_bytes()
    write_given(str(path), given, to)
    exercise, plain = read_exercise(to), read_exercise(path)
    assert path.read_bytes() == before
    faults: list[object] = []
    node = node_of({"injections": list(injections)}, faults)  # type: ignore[arg-type]
    asked = injections_of(plain.stay).read(node["injections"])
    assert not faults
    assert exercise.injections == (*plain.injections, *asked)
    assert exercise.injections[2] == Gust(START + 1500, 600.0, 18.006333333333334)
    assert exercise.instructed.marks[1:] == (Mark(START + 1500, 'no "tug" # yet'),)
    assert exercise.instructed.freezes[1:] == (Freeze(START + 1500, 1.25),)
    stay = replace(exercise.stay, file=plain.stay.file)
    same = replace(
        exercise,
        file=plain.file,
        log=plain.log,
        stay=stay,
        injections=plain.injections,
        instructed=plain.instructed,
    )
    assert same == plain
    with pytest.raises(WrongInput):
        write_given(str(path), given, to)


def test_the_debrief_has_what_the_instructor_did(tmp_path: Path) -> None:
    exercise = read_exercise(write_exercise(tmp_path, "", more=SECTION))
    outcome = debrief(exercise, ())
    rows = debrief_text(outcome)
    at = rows.index("Instructor")
    assert [row.strip().partition("  ")[2] for row in rows[at + 1 : at + 5]] == [
        injection_words(exercise.injections[0], exercise.stay.display),
        "marked: did not look at the wind",
        "time stood for 42 s",
        "message, Engine room: no: power on deck [/]",
    ]
    did = debrief_json(outcome)["instructor"]
    assert did["frozen_s"] == 42.5
    assert did["marks"] == [{"at": second(1250), "text": "did not look at the wind"}]
    assert [each["at"] for each in did["injections"]] == [second(1200), second(1300)]


def test_nothing_is_said_of_an_instructor_where_there_was_none(tmp_path: Path) -> None:
    outcome = debrief(read_exercise(write_exercise(tmp_path, "")), ())
    assert "Instructor" not in debrief_text(outcome)
    assert debrief_json(outcome)["instructor"]["marks"] == []
