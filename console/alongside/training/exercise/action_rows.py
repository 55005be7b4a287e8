"""An action of an exercise as a row of JSON: its kind, when, and the fields of its class."""

from dataclasses import MISSING, asdict, fields
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
from alongside.reports.output_files import FORMAT
from alongside.stay.causes import CAUSES, known_cause
from alongside.stay.nodes import one_of
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
UNDONE: Final = "undone"


def row_of(done: Done) -> dict[str, Any]:
    """Return an action as a row of a file has it."""
    kind = next(name for name, action in KINDS.items() if action is type(done.action))
    needed = _needed(KINDS[kind])
    parts = {
        key: iso_time(value) if key in TIMES else dict(value) if key == READINGS else value
        for key, value in asdict(done.action).items()
        if value is not None and (needed[key] or (value is not False and value != ""))
    }
    undone = {UNDONE: True} if done.undone else {}
    return {"time": iso_time(done.time), "action": kind, **parts, **undone}


def action_of(given: dict[str, Any]) -> Done:
    """Return the action of a row; raise ValueError for anything else."""
    given = dict(given)
    kind = given.pop("action", None)
    if not isinstance(kind, str) or kind not in KINDS:
        raise ValueError(f"action: {kind!r}, expected one of {', '.join(KINDS)}")
    if kind == "transfer":
        given.setdefault("connected", False)  # lists of older programs left it out where it was not so
    version = given.pop("format", FORMAT)
    if version != FORMAT:
        raise ValueError(f"format: {version!r}, expected {FORMAT}")
    time = _time(given.pop("time", None))
    undone = given.pop(UNDONE, False)
    if not isinstance(undone, bool):
        raise ValueError(f"{UNDONE}: {undone!r}, expected true or false")
    return Done(time, KINDS[kind](**_parts(kind, given)), undone)


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
