"""How a trainee kept to the time of an exercise."""

from dataclasses import replace
from pathlib import Path

import pytest

from alongside.actions.controls import Control, KeepWatch, Pause, Seek, Speed, Step, ToAlert, ToTend
from alongside.errors import WrongInput
from alongside.training.exercise.actions_file import read_actions, read_attempt, write_actions
from alongside.training.exercise.conduct import Attempt, attempt_json, attempt_of, counted

HERE = 1_772_424_900.0
ATTEMPT = Attempt("A. Example", exam=False, begun=HERE + 1e6, ended=HERE + 1.001e6, left_at=HERE)


@pytest.mark.parametrize(
    ("control", "field", "value"),
    [
        (Speed(60.0), "fastest", 60.0),
        (Speed(0.5), "fastest", 1.0),
        (Pause(True), "pauses", 1),
        (Pause(False), "pauses", 0),
        (Step(), "pauses", 1),
        (Seek(HERE - 1.0), "went_back", 1),
        (Seek(HERE + 60.0), "jumped_on", 1),
        (ToAlert(-1), "went_back", 1),
        (ToTend(-1), "went_back", 1),
        (ToAlert(1), "looked_ahead", 1),
        (ToTend(1), "looked_ahead", 1),
    ],
)
def test_each_control_is_counted_once(control: Control, field: str, value: float) -> None:
    after = counted(ATTEMPT, control, HERE)
    assert getattr(after, field) == value
    assert replace(after, **{field: getattr(ATTEMPT, field)}) == ATTEMPT


def test_what_is_no_replay_is_not_counted() -> None:
    assert counted(ATTEMPT, KeepWatch(), HERE) == ATTEMPT


def test_it_comes_back_from_the_file_as_it_was(tmp_path: Path) -> None:
    path = tmp_path / "done.jsonl"
    write_actions(path, (), ATTEMPT)
    assert read_attempt(path) == ATTEMPT
    assert read_actions(path) == ()


def test_a_file_without_it_has_none(tmp_path: Path) -> None:
    path = tmp_path / "done.jsonl"
    path.write_text("\n")
    assert read_attempt(path) is None


@pytest.mark.parametrize(
    ("key", "value", "fault"),
    [
        ("pauses", -1, "pauses: -1"),
        ("pauses", 1.5, "pauses: 1.5"),
        ("exam", 1, "exam: 1"),
        ("trainee", "x" * 81, "at most 80 letters"),
        ("left_at", "soon", "left_at: 'soon'"),
        ("paused_s", float("inf"), "paused_s"),
    ],
)
def test_a_spoilt_one_is_refused_at_its_line(tmp_path: Path, key: str, value: object, fault: str) -> None:
    with pytest.raises(ValueError, match=fault):
        attempt_of({**attempt_json(ATTEMPT), key: value})
    path = tmp_path / "done.jsonl"
    path.write_text('{"attempt": {"trainee": "x"}}\n')
    for read in (read_attempt, read_actions):
        with pytest.raises(WrongInput, match=r"done\.jsonl:1: attempt: expected an object"):
            read(path)


def test_who_stays_to_the_last_minute_has_not_left_early() -> None:
    assert ATTEMPT.left_early_s(HERE + 59.0) == 0.0
    assert ATTEMPT.left_early_s(HERE + 600.0) == 600.0
