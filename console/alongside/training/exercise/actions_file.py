"""What is done in an exercise, as JSON lines: given to a run without a screen, written after one with it.

Acts that were undone by going back stay in the file, marked `"undone": true`; they are not played.
"""

import json
from collections.abc import Callable, Iterable
from dataclasses import asdict
from pathlib import Path
from typing import Any, Final

from alongside.actions import MOST_METRES, Acknowledge, Action, Done, Note, Silence, TakeOver, TendLine
from alongside.errors import WrongInput
from alongside.reports.output_files import FORMAT, json_text, open_output
from alongside.stay.causes import CAUSES, known_cause
from alongside.stay.nodes import one_of
from alongside.training.exercise.model import Exercise
from alongside.units import iso_time, unix_time

KINDS: Final[dict[str, Callable[..., Action]]] = {
    "acknowledge": Acknowledge,
    "silence": Silence,
    "tend": TendLine,
    "note": Note,
    "take_over": TakeOver,
}
KEYS: Final[dict[str, dict[str, bool]]] = {
    "acknowledge": {"cause": True, "subject": True},
    "silence": {},
    "tend": {"line": True, "paid_out": False, "to_tension_kn": False},
    "note": {"text": True},
    "take_over": {},
}
"""Keys besides `time`, `action` and `by`, and whether they must be there."""
NUMBERS: Final = ("paid_out", "to_tension_kn")
UNDONE: Final = "undone"


def read_actions(path: str | Path, exercise: Exercise | None = None) -> tuple[Done, ...]:
    """Actions of a file, by time. With an exercise they must fit it: its lines, and tendings in its time.
    Raises WrongInput with every fault, each at its line."""
    try:
        rows = Path(path).read_text(encoding="utf-8").split("\n")
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) else error
        raise WrongInput(f"{path}: cannot be read ({reason}), expected actions as JSON lines") from error
    done: list[Done] = []
    faults: list[str] = []
    for number, row in enumerate(rows, start=1):
        if row.strip():
            try:
                read = _read(row)
                if exercise is not None:
                    _check_fits(read, exercise)
                done.append(read)
            except ValueError as fault:
                faults.append(f"{path}:{number}: {fault}")
    if faults:
        raise WrongInput("\n".join(faults))
    return tuple(sorted(done, key=_when))


def write_actions(path: Path, done: Iterable[Done]) -> None:
    """Write what `read_actions` reads, by time."""
    path.parent.mkdir(parents=True, exist_ok=True)
    with open_output(path) as file:
        file.writelines(f"{_line(each)}\n" for each in sorted(done, key=_when))


def _read(row: str) -> Done:
    try:
        given = json.loads(row)
    except ValueError as error:
        raise ValueError(f"no JSON ({error})") from error
    if not isinstance(given, dict):
        raise ValueError("expected an object with time and action")
    kind = given.pop("action", None)
    if kind not in KINDS:
        raise ValueError(f"action: {kind!r}, expected one of {', '.join(KINDS)}")
    version = given.pop("format", FORMAT)
    if version != FORMAT:
        raise ValueError(f"format: {version!r}, expected {FORMAT}")
    time = _time(given.pop("time", None))
    undone = given.pop(UNDONE, False)
    if not isinstance(undone, bool):
        raise ValueError(f"{UNDONE}: {undone!r}, expected true or false")
    return Done(time, KINDS[kind](**_parts(kind, given)), undone)


def _check_fits(done: Done, exercise: Exercise) -> None:
    """A tending must be of a line of the stay, and in the time of the exercise."""
    if not isinstance(done.action, TendLine):
        return
    line, lines = done.action.line, [each.id for each in exercise.stay.lines]
    if line not in lines:
        raise ValueError(f"line: there is no line {line!r}, expected one of {', '.join(lines)}")
    if not exercise.start <= done.time <= exercise.end:
        between = f"between {iso_time(exercise.start)} and {iso_time(exercise.end)}"
        raise ValueError(f"time: {iso_time(done.time)} is outside the exercise, expected {between}")


def _time(text: Any) -> float:
    expected = "expected a time such as 2026-03-02T04:10:00Z"
    try:
        return unix_time(text)
    except (ValueError, TypeError) as error:
        raise ValueError(f"time: {text!r}, {expected}") from error


def _parts(kind: str, given: dict[str, Any]) -> dict[str, Any]:
    known = {**KEYS[kind], "by": False}
    for key, value in given.items():
        if key not in known:
            raise ValueError(f"{key}: unknown, expected {', '.join(known)}")
        right = _is_number(value) if key in NUMBERS else isinstance(value, str)
        if not right:
            raise ValueError(f"{key}: {value!r}, expected a {'number' if key in NUMBERS else 'text'}")
    lacking = [key for key, needed in known.items() if needed and key not in given]
    if lacking:
        raise ValueError(f"{lacking[0]}: missing")
    if kind == "tend" and len(given.keys() & set(NUMBERS)) != 1:
        raise ValueError("expected exactly one of paid_out and to_tension_kn")
    _check_values(given)
    return given


def _check_values(given: dict[str, Any]) -> None:
    """What no watch does: acknowledge what there is not, or let out a coil of rope at once."""
    cause = given.get("cause")
    if cause is not None and known_cause(cause) is None:
        raise ValueError(f"cause: {cause!r} is no cause of alerts, expected {one_of(CAUSES, cause)}")
    metres = given.get("paid_out", 0.0)
    if abs(metres) > MOST_METRES:
        raise ValueError(f"paid_out: {metres:g} m at once, expected at most {MOST_METRES:g} m either way")
    tension = given.get("to_tension_kn", 1.0)
    if tension <= 0.0:
        raise ValueError(f"to_tension_kn: {tension:g}, expected more than 0")


def _is_number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and abs(value) < 1e6


def _when(done: Done) -> float:
    return done.time


def _line(done: Done) -> str:
    kind = next(name for name, make in KINDS.items() if make is type(done.action))
    needed = KEYS[kind]
    parts = {
        key: value
        for key, value in asdict(done.action).items()
        if value is not None and (value != "" or needed.get(key))
    }
    undone = {UNDONE: True} if done.undone else {}
    row = {"time": iso_time(done.time), "action": kind, **parts, **undone}
    return json_text(row)
