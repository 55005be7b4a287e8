"""The table of a class: who, which exercise, what it was worth; ordered, kept, nothing left out unsaid."""

import csv
import json
import re
import shutil
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import pytest

from alongside.actions import Done, TendLine
from alongside.cli.main import main
from alongside.training.exercise.actions_file import write_actions
from alongside.training.exercise.class_table import KEPT, action_files, class_table
from alongside.training.exercise.class_text import class_rows, plain
from alongside.training.exercise.conduct import Attempt, of_exercise
from alongside.training.exercise.debrief import debrief
from alongside.training.exercise.file import read_exercise
from alongside.training.exercise.model import Exercise
from alongside.training.exercise.yardstick import not_shown, yardstick_of
from tests.training.exercise.lived import BALANCED, flood, second, write_exercise

SILENT = f"  - {{kind: silent, channel: draught_fwd, at: {second(1800)}, seconds: 600}}\n"
MORE = "pass_mark: 60\ncrew: {minutes_per_line: 1}"


def slack(exercise: Exercise, after: float, metres: float = 0.4) -> list[Done]:
    return [Done(exercise.start + after, TendLine("2", paid_out=metres))]


@pytest.fixture
def exercise(tmp_path: Path) -> Exercise:
    (tmp_path / "shelf").mkdir()
    return read_exercise(write_exercise(tmp_path / "shelf", SILENT, BALANCED, flood, more=MORE))


@pytest.fixture
def room(tmp_path: Path, exercise: Exercise) -> Path:
    """Two tries of B. Example, the later one worse; one of A. Sample in an exam with two pauses and a look,
    left an hour too early; and three files that fit nothing."""
    folder = tmp_path / "runs"
    folder.mkdir()

    def add(name: str, who: str, begun: float, done: Sequence[Done], **more: object) -> None:
        attempt = Attempt(who, False, begun, begun + 60.0, exercise.end)
        write_actions(folder / name, done, replace(of_exercise(attempt, exercise), **more))  # type: ignore[arg-type]

    add("late.jsonl", "b. example", 2e9, [])
    add("early.jsonl", "B. Example", 1e9, slack(exercise, 300.0))
    left = {"left_at": exercise.start + 600.0, "pauses": 2, "looked_ahead": 1, "exam": True}
    add("a.jsonl", "A. Sample of it", 1.5e9, slack(exercise, 300.0, -1.0), **left)
    add("other.jsonl", "C", 1e9, [], exercise="elsewhere")
    (folder / "broken.jsonl").write_text("{\n")
    add("stranger.jsonl", "D", 1e9, [Done(exercise.start + 60.0, TendLine("99", paid_out=1.0))])
    (folder / "notes.txt").write_text("no run")
    return folder


@pytest.mark.slow
def test_runs_are_ordered_by_the_best_of_each_and_what_fits_nothing_is_named(
    exercise: Exercise, room: Path
) -> None:
    table = class_table([exercise], action_files(room), not_shown)
    assert [(Path(row.file).name, row.number, row.tries, row.best, row.last) for row in table.rows] == [
        ("early.jsonl", 1, 2, True, False),
        ("late.jsonl", 2, 2, False, True),
        ("a.jsonl", 1, 1, True, True),
    ]
    why = {Path(file).name: reason for file, reason in table.left_out}
    assert sorted(why) == ["broken.jsonl", "other.jsonl", "stranger.jsonl"]
    assert "no JSON" in why["broken.jsonl"]
    assert "it was at 'elsewhere', expected one of exercise" in why["other.jsonl"]
    assert "there is no line '99'" in why["stranger.jsonl"]


@pytest.mark.slow
def test_a_row_has_what_the_debrief_of_its_run_says(exercise: Exercise, room: Path) -> None:
    own = debrief(exercise, slack(exercise, 300.0), yardstick_of(exercise)).points
    row = plain(class_table([exercise], action_files(room), not_shown).rows[0])
    assert row["points"] == own.total
    assert row["passed"] == 1
    assert [row[part.name.replace(" ", "_")] for part in own.parts] == [
        round(part.points, 2) for part in own.parts
    ]
    assert row["expected_deeds"] is None, "the exercise expects none"
    assert (row["trainee"], row["begun"], row["vary"]) == ("B. Example", "2001-09-09T01:46:40Z", None)
    left = plain(class_table([exercise], action_files(room), not_shown).rows[2])
    assert (left["pauses"], left["looked_ahead"], left["taken_off"]) == (2, 1, 4.0)
    assert left["left_early_s"] == pytest.approx(exercise.end - exercise.start - 600.0)
    assert (left["passed"], left["exam"]) == (0, 1)


@pytest.mark.slow
def test_a_table_is_kept_and_worked_out_anew_once_something_is_another(
    exercise: Exercise, room: Path
) -> None:
    """What is kept is taken: a kept row that says another figure comes back as it stands there."""
    first = class_table([exercise], action_files(room), not_shown)
    kept = {path.name: path.read_text() for path in KEPT.folder().glob("*.row")}
    assert len(kept) == 3
    for path in KEPT.folder().glob("*.row"):
        path.write_text(re.sub(r'("total":\s*)-?\d+', r"\g<1>77", path.read_text()))
    taken = class_table([exercise], action_files(room), not_shown)
    assert [row.judgement.total for row in taken.rows] == [77, 77, 77]
    early = room / "early.jsonl"
    early.write_text(early.read_text().replace("0.4", "0.5"))
    class_table([exercise], action_files(room), not_shown)
    assert len(list(KEPT.folder().glob("*.row"))) == 4
    for path in KEPT.folder().glob("*.row"):
        path.write_bytes(b"\xff nonsense")
    again = class_table([exercise], action_files(room), not_shown)
    assert [row.trainee for row in again.rows] == [row.trainee for row in first.rows]


@pytest.mark.slow
def test_the_table_is_printed_and_written(
    exercise: Exercise, room: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = [tmp_path / "table.csv", tmp_path / "table.json"]
    shelf = str(tmp_path / "shelf")
    assert main(["debrief", shelf, str(room), "--csv", str(out[0]), "--json", str(out[1])]) == 2
    rows = capsys.readouterr().out.splitlines()
    assert rows[0] == "exercise"
    assert rows[1].split()[:3] == ["trainee", "begun", "points"]
    assert rows[2].startswith("B. Example")
    assert "*" in rows[2]
    assert "1/2" in rows[2]
    assert "passed" in rows[2]
    assert "early" in rows[4]
    assert sum(row.startswith("not in the table: ") for row in rows) == 3
    assert rows[-1] == "3 runs of 2 trainees"
    with out[0].open(encoding="utf-8", newline="") as file:
        written = list(csv.DictReader(file))
    assert [each["trainee"] for each in written] == ["B. Example", "b. example", "A. Sample of it"]
    document = json.loads(out[1].read_text())
    assert [each["best"] for each in document["runs"]] == [True, False, True]
    assert len(document["left_out"]) == 3
    assert next(iter(document)) == "format"


@pytest.mark.slow
def test_where_the_terminal_is_narrow_the_parts_are_left_out(exercise: Exercise, room: Path) -> None:
    table = class_table([exercise], action_files(room), not_shown)
    wide, narrow = list(class_rows(table, 200)), list(class_rows(table, 80))
    assert "acted" in wide[1]
    assert "acted" not in narrow[1]
    assert max(map(len, narrow[:5])) <= 80
    assert "Parts of the points: --csv, or a wider terminal" in narrow


@pytest.mark.slow
def test_a_changed_exercise_is_said(exercise: Exercise, room: Path) -> None:
    file = Path(exercise.file)
    file.write_text(file.read_text().replace("pass_mark: 60", "pass_mark: 61"))
    rows = class_table([read_exercise(file)], action_files(room), not_shown).rows
    assert all(row.changed for row in rows)


@pytest.mark.slow
def test_what_an_instructor_did_is_judged_by_the_file_beside(exercise: Exercise, room: Path) -> None:
    """The exercise as it was given lies beside the actions under their name."""
    given = room / "early.yaml"
    shutil.copytree(Path(exercise.file).parent, room, dirs_exist_ok=True)
    given.write_text(Path(exercise.file).read_text().replace("channel: draught_fwd", "channel: tide"))
    rows = class_table([exercise], [room / "early.jsonl", room / "late.jsonl"], not_shown).rows
    assert [row.changed for row in rows] == [False, False]
    own = debrief(read_exercise(given), slack(exercise, 300.0)).points
    assert rows[0].judgement.points == pytest.approx(own.unrounded)


@pytest.mark.parametrize(
    ("more", "fault"),
    [
        (["--vary", "1"], "--vary is for one run"),
        (["--csv", "runs/a.jsonl"], "a.jsonl"),
    ],
)
def test_what_does_not_fit_a_table_is_refused(
    room: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], more: list[str], fault: str
) -> None:
    more = [str(tmp_path / each) if "/" in each else each for each in more]
    assert main(["debrief", str(tmp_path / "shelf"), str(room), *more]) == 2
    assert fault in capsys.readouterr().err


def test_a_folder_without_runs_and_a_table_of_one_run_are_refused(
    exercise: Exercise, room: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["debrief", exercise.file, str(tmp_path / "shelf")]) == 2
    assert "no record and no actions in it" in capsys.readouterr().err
    one = ["debrief", exercise.file, str(room / "a.jsonl"), "--csv", str(tmp_path / "x.csv")]
    assert main(one) == 2
    assert "--csv is for a table" in capsys.readouterr().err
