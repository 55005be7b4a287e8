"""Actions of an exercise as JSON lines: read by a run without a screen, written after one at the console.

Actions undone by going back stay in the file, marked `"undone": true`; they are not played.
"""

import json
from collections.abc import Collection, Iterable
from pathlib import Path
from typing import Any, Final

from alongside.actions import (
    AcceptLearnt,
    AddLine,
    AnswerBrake,
    Done,
    LineGone,
    MakeFast,
    NameRope,
    ReadLoad,
    RenewLine,
    SetBrake,
    ShiftLine,
    TendLine,
)
from alongside.errors import WrongInput
from alongside.reports.output_files import Outputs, json_text
from alongside.reports.replaceable import ACTIONS
from alongside.stay.plain_file import NotPlain, read_plain
from alongside.training.exercise.action_rows import action_of, row_of
from alongside.training.exercise.conduct import Attempt, attempt_json, attempt_of
from alongside.training.exercise.model import Exercise
from alongside.units import iso_time

OF_A_LINE: Final = (
    TendLine
    | AnswerBrake
    | LineGone
    | MakeFast
    | ShiftLine
    | RenewLine
    | NameRope
    | SetBrake
    | ReadLoad
    | AcceptLearnt
)
LARGEST: Final = 20_000_000
"""Bytes. An action has some hundred."""
ATTEMPT: Final = "attempt"
"""The key of a line that says who went through the exercise, and how."""


def read_actions(path: str | Path, exercise: Exercise | None = None) -> tuple[Done, ...]:
    """Return the actions of a file, by time. With an exercise they must fit it: its lines, and tendings in
    its time. Raises WrongInput with every fault, each at its line."""
    done: list[Done] = []
    faults: list[str] = []
    put_out: set[str] = set()
    for number, row in enumerate(_rows(path), start=1):
        if row.strip():
            try:
                given = _given(row)
                if ATTEMPT in given:
                    attempt_of(given[ATTEMPT])
                    continue
                each = action_of(given)
                if exercise is not None:
                    _check_fits(each, exercise, put_out)
                put_out |= {each.action.line} if isinstance(each.action, AddLine) else set()
                done.append(each)
            except ValueError as fault:
                faults.append(f"{path}:{number}: {fault}")
    if faults:
        raise WrongInput(*faults)
    return tuple(sorted(done, key=_when))


def read_attempt(path: str | Path) -> Attempt | None:
    """Return who went through the exercise whose actions a file has, and how; None where it does not say."""
    for number, row in enumerate(_rows(path), start=1):
        try:
            given = _given(row) if row.strip() else {}
            if ATTEMPT in given:
                return attempt_of(given[ATTEMPT])
        except ValueError as fault:
            raise WrongInput(f"{path}:{number}: {fault}") from fault
    return None


def write_actions(path: Path, done: Iterable[Done], attempt: Attempt | None = None) -> None:
    """Write what `read_actions` and `read_attempt` read, by time. Raises WrongInput where there is a file
    already."""
    with Outputs() as outputs:
        outputs.folder(path.parent)
        outputs.text(path, ACTIONS).writelines(f"{row}\n" for row in rows_of(done, attempt))


def rows_of(done: Iterable[Done], attempt: Attempt | None = None) -> list[str]:
    """Return the rows of a list of actions, by time."""
    head = [] if attempt is None else [json_text({ATTEMPT: attempt_json(attempt)})]
    return [*head, *(_line(each) for each in sorted(done, key=_when))]


def _rows(path: str | Path) -> list[str]:
    try:
        return read_plain(Path(path), LARGEST, "actions as JSON lines").decode().split("\n")
    except NotPlain as error:
        raise WrongInput(f"{path}: {error}") from error
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) else error
        raise WrongInput(f"{path}: cannot be read ({reason}), expected actions as JSON lines") from error


def _given(row: str) -> dict[str, Any]:
    try:
        given = json.loads(row)
    except (ValueError, RecursionError) as error:
        raise ValueError(f"no JSON ({error})") from error
    if not isinstance(given, dict):
        raise ValueError("expected an object with time and action")
    return given


def _check_fits(done: Done, exercise: Exercise, put_out: Collection[str]) -> None:
    """Raise ValueError for what was done to no line of the stay nor one `put_out` before, or outside the time
    of the exercise."""
    if not isinstance(done.action, OF_A_LINE):
        return
    line, lines = done.action.line, [each.id for each in exercise.stay.lines]
    if line not in lines and line not in put_out:
        raise ValueError(f"line: there is no line {line!r}, expected one of {', '.join(lines)}")
    if not exercise.start <= done.time <= exercise.end:
        between = f"between {iso_time(exercise.start)} and {iso_time(exercise.end)}"
        raise ValueError(f"time: {iso_time(done.time)} is outside the exercise, expected {between}")


def _when(done: Done) -> float:
    return done.time


def _line(done: Done) -> str:
    return json_text(row_of(done))
