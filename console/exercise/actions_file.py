"""What is done in an exercise, as JSON lines: given to a run without a screen, written after one with it."""

import json
from collections.abc import Callable, Iterable
from dataclasses import asdict
from pathlib import Path
from typing import Any, Final

from console.actions import Acknowledge, Action, Done, Note, Silence, TakeOver, TendLine
from console.errors import WrongInput
from console.units import iso_time, unix_time

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


def read_actions(path: str | Path) -> tuple[Done, ...]:
    """Actions of a file, by time. Raises WrongInput with every fault, each at its line."""
    try:
        rows = Path(path).read_text(encoding="utf-8").splitlines()
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) else error
        raise WrongInput(f"{path}: cannot be read ({reason}), expected actions as JSON lines") from error
    done: list[Done] = []
    faults: list[str] = []
    for number, row in enumerate(rows, start=1):
        if row.strip():
            try:
                done.append(_read(row))
            except ValueError as fault:
                faults.append(f"{path}:{number}: {fault}")
    if faults:
        raise WrongInput("\n".join(faults))
    return tuple(sorted(done, key=lambda each: each.time))


def write_actions(path: Path, done: Iterable[Done]) -> None:
    """Write what `read_actions` reads."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text("".join(f"{_line(each)}\n" for each in done), encoding="utf-8")


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
    time = _time(given.pop("time", None))
    return Done(time, KINDS[kind](**_parts(kind, given)))


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
    return given


def _is_number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and abs(value) < 1e6


def _line(done: Done) -> str:
    kind = next(name for name, make in KINDS.items() if make is type(done.action))
    parts = {key: value for key, value in asdict(done.action).items() if value not in (None, "")}
    subject = {"subject": done.action.subject} if isinstance(done.action, Acknowledge) else {}
    return json.dumps(
        {"time": iso_time(done.time), "action": kind, **subject, **parts}, ensure_ascii=False, allow_nan=False
    )
