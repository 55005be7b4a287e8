"""A folder of exercises listed: in order, with what is wrong, and nothing else that lies there."""

import json
from pathlib import Path

import pytest

from alongside.cli.main import main
from tests.training.exercise.lived import write_exercise

ROOT = Path(__file__).parents[3]


def shelf_at(folder: Path) -> Path:
    """A hard exercise, an easy one, one with two faults, a stay file and notes."""
    hard = write_exercise(folder, "", more='level: 3\naims: "All at once"\npass_mark: 55')
    text = hard.read_text(encoding="utf-8")
    (folder / "z_easy.yaml").write_text(text.replace("level: 3", "level: 1").replace("Small", "Easy"))
    (folder / "a_wrong.yml").write_text(text.replace("level: 3", "level: 9").replace("pass_mark: 55", "x: 1"))
    (folder / "notes.txt").write_text("stay:\nlog:\n")
    return folder


def test_a_folder_is_listed_the_easiest_first_and_what_is_wrong_at_the_end(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shelf_at(tmp_path)
    assert main(["exercise", str(tmp_path), "--json", str(tmp_path / "shelf.json")]) == 2
    rows = capsys.readouterr().out.splitlines()
    assert rows[0].split() == ["level", "length", "pass", "hands", "exercise"]
    assert rows[1].split() == ["1", "0.7", "h", "55", "—", "z_easy.yaml:", "Easy", "exercise"]
    assert rows[2].strip() == "Test quay. All at once"
    assert rows[3].split()[0] == "3"
    assert rows[5] == "wrong: a_wrong.yml"
    assert "level: '9'" in rows[6]
    assert "a_wrong.yml:" in rows[7]
    assert rows[8] == f"3 exercises, 1 of them wrong in {tmp_path}"
    listed = json.loads((tmp_path / "shelf.json").read_text())["exercises"]
    assert [(Path(each["file"]).name, each.get("level")) for each in listed] == [
        ("z_easy.yaml", 1),
        ("exercise.yaml", 3),
        ("a_wrong.yml", None),
    ]
    assert len(listed[2]["faults"]) == 2


@pytest.mark.slow
def test_without_a_folder_ours_are_listed(capsys: pytest.CaptureFixture[str]) -> None:
    """What the trainer is promised: at least eight, all levels, three berths, and no file wrong."""
    assert main(["exercise"]) == 0
    out = capsys.readouterr().out
    ours = sorted(each.name for each in (ROOT / "configs" / "exercises").glob("*.yaml"))
    assert len(ours) >= 8
    assert all(f"{name}: " in out for name in ours)
    assert max(map(len, out.splitlines()[:-2])) <= 80
    assert "--help" in out


@pytest.mark.parametrize(
    ("more", "fault"),
    [
        (["--exam"], "--exam is for one exercise"),
        (["--headless"], "--headless is for one exercise"),
        (["--actions", "x.jsonl"], "--actions is for one exercise"),
    ],
)
def test_what_is_for_one_exercise_is_refused_with_a_folder(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], more: list[str], fault: str
) -> None:
    shelf_at(tmp_path)
    assert main(["exercise", str(tmp_path), *more]) == 2
    assert fault in capsys.readouterr().err


def test_a_folder_without_exercises_and_a_list_of_one_exercise_are_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["exercise", str(tmp_path)]) == 2
    assert "no exercise in it" in capsys.readouterr().err
    path = write_exercise(tmp_path, "")
    assert main(["exercise", str(path), "--json", str(tmp_path / "x.json")]) == 2
    assert main(["exercise", str(tmp_path), "--json", str(path)]) == 2, "an exercise is not written over"
    assert path.read_text(encoding="utf-8").startswith("format: 1")
