"""Actions of an exercise as JSON lines: read by a run without a screen, written after one at the console.

Actions undone by going back stay in the file, marked `"undone": true`; they are not played.
"""

import json
from collections.abc import Collection, Iterable
from dataclasses import MISSING, asdict, fields
from pathlib import Path
from typing import Any, Final, get_args, get_type_hints

from alongside.actions import (
    MOST_METRES,
    Accept,
    AcceptLearnt,
    Acknowledge,
    Action,
    AddLine,
    AnswerBrake,
    CallOut,
    ChangeCargo,
    Correct,
    Done,
    ForecastWind,
    GiveOrder,
    HandOver,
    JudgeChannel,
    LetTugGo,
    LineGone,
    MakeFast,
    NameRope,
    Note,
    PutTug,
    ReadByHand,
    ReadLoad,
    RenewLine,
    SayTransfer,
    SelfTest,
    SetBrake,
    ShiftLine,
    Silence,
    TakeOver,
    TendLine,
    WithdrawOrder,
)
from alongside.errors import WrongInput
from alongside.reports.output_files import FORMAT, Outputs, json_text
from alongside.reports.replaceable import ACTIONS
from alongside.stay.causes import CAUSES, known_cause
from alongside.stay.nodes import one_of
from alongside.stay.plain_file import NotPlain, read_plain
from alongside.training.exercise.conduct import Attempt, attempt_json, attempt_of
from alongside.training.exercise.model import Exercise
from alongside.training.exercise.readings_file import READINGS, check_readings, readings_of
from alongside.units import TIME_EXPECTED, iso_time, unix_time

KINDS: Final[dict[str, type[Action]]] = {
    "acknowledge": Acknowledge,
    "accept": Accept,
    "silence": Silence,
    "tend": TendLine,
    "note": Note,
    "take_over": TakeOver,
    "hand_over": HandOver,
    "give_order": GiveOrder,
    "withdraw_order": WithdrawOrder,
    "self_test": SelfTest,
    "judge": JudgeChannel,
    "brake": AnswerBrake,
    "read": ReadByHand,
    "forecast_wind": ForecastWind,
    "gone": LineGone,
    "make_fast": MakeFast,
    "shift": ShiftLine,
    "add": AddLine,
    "renew": RenewLine,
    "name_rope": NameRope,
    "set_brake": SetBrake,
    "read_load": ReadLoad,
    "accept_learnt": AcceptLearnt,
    "tug": PutTug,
    "tug_gone": LetTugGo,
    "cargo": ChangeCargo,
    "transfer": SayTransfer,
    "call": CallOut,
    "correct": Correct,
}
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
FLAGS: Final = ("accepts", "connected", "bell", "colours", "transferred")
TIMES: Final = ("until", "at")
"""Fields that are a time, written as all times of the file."""
NUMBERS: Final = (
    "paid_out",
    "to_tension_kn",
    "metres",
    "tension_kn",
    "length_m",
    "holding_kn",
    "load_kn",
    "sigma_kn",
    "stiffness",
    "stiffness_band",
    "longer_m",
    "at_kn",
    "load_band",
    "on_kn",
    "ship_x",
    "rate",
    "waves_m",
    "mean_ms",
    "gust_ms",
    "from_deg",
)
ONE_OF: Final = {
    "tend": ("paid_out", "to_tension_kn"),
    "make_fast": ("tension_kn", "length_m"),
    "correct": ("channel", "line"),
}
"""Fields of which an action has exactly one."""
CHOICES: Final = {
    "right": JudgeChannel,
    "did": AnswerBrake,
    "how": LineGone,
    "what": ChangeCargo,
    "whom": CallOut,
}
"""Fields that take one of a few words, and the action that they belong to."""
LARGEST: Final = 20_000_000
"""Bytes. An action has some hundred."""
UNDONE: Final = "undone"
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
                each = _read(given)
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


def row_of(done: Done) -> dict[str, Any]:
    """Return an action as a row of a file has it."""
    kind = next(name for name, action in KINDS.items() if action is type(done.action))
    needed = _needed(KINDS[kind])
    parts = {
        key: iso_time(value) if key in TIMES else dict(value) if key == READINGS else value
        for key, value in asdict(done.action).items()
        if value is not None and value is not False and (value != "" or needed[key])
    }
    undone = {UNDONE: True} if done.undone else {}
    return {"time": iso_time(done.time), "action": kind, **parts, **undone}


def action_of(row: dict[str, Any]) -> Done:
    """Return the action of a row. Raise ValueError for anything else."""
    return _read(dict(row))


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


def _read(given: dict[str, Any]) -> Done:
    kind = given.pop("action", None)
    if not isinstance(kind, str) or kind not in KINDS:
        raise ValueError(f"action: {kind!r}, expected one of {', '.join(KINDS)}")
    version = given.pop("format", FORMAT)
    if version != FORMAT:
        raise ValueError(f"format: {version!r}, expected {FORMAT}")
    time = _time(given.pop("time", None))
    undone = given.pop(UNDONE, False)
    if not isinstance(undone, bool):
        raise ValueError(f"{UNDONE}: {undone!r}, expected true or false")
    return Done(time, KINDS[kind](**_parts(kind, given)), undone)


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


def _time(text: Any, key: str = "time") -> float:
    try:
        return unix_time(text)
    except (ValueError, TypeError) as error:
        raise ValueError(f"{key}: {text!r}, expected {TIME_EXPECTED}") from error


def _parts(kind: str, given: dict[str, Any]) -> dict[str, Any]:
    """The fields of an action of this kind; raises ValueError for what its class does not take."""
    needed = _needed(KINDS[kind])
    for key, value in given.items():
        if key not in needed:
            raise ValueError(f"{key}: unknown, expected {', '.join(needed)}")
        if not _is_of_kind(key, value):
            expected = "a number" if key in NUMBERS else "true or false" if key in FLAGS else "a text"
            expected = "an object of channels and values" if key == READINGS else expected
            raise ValueError(f"{key}: {value!r}, expected {expected}")
    missing = [key for key, must in needed.items() if must and key not in given]
    if missing:
        raise ValueError(f"{missing[0]}: missing")
    one_of_these = ONE_OF.get(kind, ())
    if one_of_these and len(given.keys() & set(one_of_these)) != 1:
        raise ValueError(f"expected exactly one of {' and '.join(one_of_these)}")
    _check_values(given)
    if READINGS in given:
        given[READINGS] = readings_of(given[READINGS])
    given |= {key: _time(given[key], key) for key in TIMES if key in given}
    return {**given, "cause": known_cause(given["cause"])} if "cause" in given else given


def _is_of_kind(key: str, value: Any) -> bool:
    if key in FLAGS:
        return isinstance(value, bool)
    if key == READINGS:
        return isinstance(value, dict) and all(map(_is_number, value.values()))
    return _is_number(value) if key in NUMBERS else isinstance(value, str)


def _needed(kind: type[Action]) -> dict[str, bool]:
    """The fields of an action, and whether each must be given."""
    return {item.name: item.default is MISSING for item in fields(kind)}


def _check_values(given: dict[str, Any]) -> None:
    """Raise ValueError for what no watch does: acknowledge an alert that cannot be, slack a coil at once."""
    cause = given.get("cause")
    if cause is not None and known_cause(cause) is None:
        raise ValueError(f"cause: {cause!r} is no cause of alerts, expected {one_of(CAUSES, cause)}")
    for key, kind in CHOICES.items():
        words = get_args(get_type_hints(kind)[key])
        if given.get(key, words[0]) not in words:
            raise ValueError(f"{key}: {given[key]!r}, expected {' or '.join(words)}")
    if not 0.0 <= given.get("metres", 0.0) <= MOST_METRES:
        raise ValueError(f"metres: {given['metres']:g}, expected 0 to {MOST_METRES:g}")
    metres = given.get("paid_out", 0.0)
    if abs(metres) > MOST_METRES:
        raise ValueError(f"paid_out: {metres:g} m at once, expected at most {MOST_METRES:g} m either way")
    for key in ("reason", "by") if "reason" in given else ():
        if not given.get(key):
            raise ValueError(f"{key}: missing, expected one: an alert is accepted with reason and initials")
    check_readings(given)
    for key in ("to_tension_kn", "tension_kn", "length_m", "holding_kn", "rate"):
        if given.get(key, 1.0) <= 0.0:
            raise ValueError(f"{key}: {given[key]:g}, expected more than 0")


def _is_number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and abs(value) < 1e6


def _when(done: Done) -> float:
    return done.time


def _line(done: Done) -> str:
    return json_text(row_of(done))
