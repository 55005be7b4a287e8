"""How a trainee kept to the time of an exercise: pauses, jumps, looks at what comes, and when it was left."""

from dataclasses import asdict, dataclass, fields, replace
from pathlib import Path
from typing import Any, Final

from alongside.actions.controls import Control, Pause, Seek, Speed, Step, ToAlert, ToTend
from alongside.training.exercise.model import Exercise
from alongside.units import TIME_EXPECTED, iso_time, unix_time

TIMES: Final = ("begun", "ended", "left_at")
EARLY_S: Final = 60.0
"""Who leaves within the last minute has stayed to the end."""
NAME_MOST: Final = 80
"""Letters of a trainee's name."""
LATER: Final = ("exercise", "digest", "vary")
"""What older files have not."""
TEXTS: Final = {"trainee": NAME_MOST, "exercise": 255, "digest": 64}
"""How many letters each has at most."""


@dataclass(frozen=True, slots=True)
class Attempt:
    """One time that somebody went through an exercise at the console. `begun` and `ended` are times of the
    clock on the wall, `left_at` one of the stay, all UNIX s; `fastest` is the highest pace, times real time.
    `refused` counts what an exam did not allow."""

    trainee: str
    exam: bool
    begun: float
    ended: float
    left_at: float
    fastest: float = 1.0
    pauses: int = 0
    paused_s: float = 0.0
    went_back: int = 0
    jumped_on: int = 0
    looked_ahead: int = 0
    refused: int = 0
    exercise: str = ""
    """Name of the file of the exercise, without its ending."""
    digest: str = ""
    """Of that file."""
    vary: int | None = None
    """Seed of the drawn variation; None: it was as its file has it."""

    def left_early_s(self, end: float) -> float:
        """Return how long before the end of the exercise it was left, s; 0 for who stayed."""
        return end - self.left_at if end - self.left_at > EARLY_S else 0.0


def of_exercise(attempt: Attempt, exercise: Exercise) -> Attempt:
    """Return the attempt with which exercise it was at, and which variation."""
    name = Path(exercise.file).stem[: TEXTS["exercise"]]
    return replace(attempt, exercise=name, digest=exercise.digest, vary=exercise.seed)


def counted(attempt: Attempt, control: Control, here: float) -> Attempt:
    """Return the attempt with one more control of the replay counted, at a time of the stay."""
    match control:
        case Speed(times):
            return replace(attempt, fastest=max(attempt.fastest, times))
        case Pause(True) | Step():
            return replace(attempt, pauses=attempt.pauses + 1)
        case Seek(time) if time < here:
            return replace(attempt, went_back=attempt.went_back + 1)
        case Seek():
            return replace(attempt, jumped_on=attempt.jumped_on + 1)
        case ToAlert(way) | ToTend(way) if way < 0:
            return replace(attempt, went_back=attempt.went_back + 1)
        case ToAlert() | ToTend():
            return replace(attempt, looked_ahead=attempt.looked_ahead + 1)
    return attempt


def attempt_json(attempt: Attempt) -> dict[str, Any]:
    """Return plain values, times as text."""
    return {key: iso_time(value) if key in TIMES else value for key, value in asdict(attempt).items()}


def attempt_of(given: Any) -> Attempt:
    """Return what `attempt_json` wrote. Raise ValueError for anything else."""
    names = [item.name for item in fields(Attempt)]
    if not isinstance(given, dict) or sorted({**dict.fromkeys(LATER), **given}) != sorted(names):
        raise ValueError(f"attempt: expected an object with {', '.join(names)}")
    values = {key: _value(key, value) for key, value in given.items()}
    return Attempt(**values)


def _value(key: str, value: Any) -> Any:
    if key in TIMES:
        try:
            return unix_time(value)
        except (ValueError, TypeError) as error:
            raise ValueError(f"{key}: {value!r}, expected {TIME_EXPECTED}") from error
    if key in TEXTS:
        if not isinstance(value, str) or len(value) > TEXTS[key]:
            raise ValueError(f"{key}: expected a name of at most {TEXTS[key]} letters")
        return value
    if key == "vary" and value is None:
        return None
    if key == "exam":
        if not isinstance(value, bool):
            raise ValueError(f"exam: {value!r}, expected true or false")
        return value
    whole = key not in ("fastest", "paused_s")
    kind = int if whole else (int, float)
    if isinstance(value, bool) or not isinstance(value, kind) or not 0 <= value < 1e9:
        raise ValueError(f"{key}: {value!r}, expected a number from 0 on")
    return value
