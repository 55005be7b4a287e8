"""What the rows of an attempt add up to: what was ordered, and what the instructor did."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any, Final

from alongside.actions import Done
from alongside.errors import Fault
from alongside.training.exercise.action_rows import action_of, row_of
from alongside.training.exercise.checks import check_beside
from alongside.training.exercise.conduct import Attempt, attempt_json, attempt_of
from alongside.training.exercise.given import Given, Plain, node_of
from alongside.training.exercise.injections import injections_of
from alongside.training.exercise.model import Exercise, Freeze, Injection, Instructed, Mark
from alongside.units import iso_time, unix_time

NOTHING_GIVEN: Final = Given()


@dataclass(slots=True)
class Story:
    """Rows taken so far. `orders` are all, those undone by going back marked; `broken` counts rows that are
    none of ours."""

    file: str = ""
    """The exercise file."""
    attempt: Attempt | None = None
    """As it was begun; at its end as it ended."""
    ended: bool = False
    orders: list[Done] = field(default_factory=list)
    given: Given = NOTHING_GIVEN
    frozen_at: float | None = None
    """Time of the stay since which time stands; None while it goes on."""
    frozen_since: float | None = None
    """The same by the clock on the wall."""
    refused: str = ""
    """What became of the last note, where it could not be done."""
    broken: int = 0

    def take(self, rows: Iterable[Mapping[str, Any]]) -> None:
        """Take more rows, in their order."""
        for row in rows:
            try:
                self._take(row)
            except (KeyError, TypeError, ValueError):
                self.broken += 1

    def whole(self, attempt: Attempt | None) -> Given:
        """Return what was given, with the time that stood when it broke off: up to what was said last."""
        if self.frozen_at is None or self.frozen_since is None or attempt is None:
            return self.given
        freeze = {"at": iso_time(self.frozen_at), "seconds": max(attempt.ended - self.frozen_since, 0.0)}
        return replace(self.given, freezes=(*self.given.freezes, freeze))

    def _take(self, row: Mapping[str, Any]) -> None:
        match row["row"]:
            case "begun":
                self.file, self.attempt = str(row["exercise"]), attempt_of(row["attempt"])
            case "ended":
                self.attempt, self.ended = attempt_of(row["attempt"]), True
            case "order":
                self.orders.append(action_of(row["order"]))
            case "back":
                to = unix_time(row["to"])
                self.orders = [replace(each, undone=each.undone or each.time > to) for each in self.orders]
            case "injected":
                self.given = replace(self.given, injections=(*self.given.injections, row["injection"]))
            case "marked":
                mark = {"at": row["at"], "text": row["text"]}
                self.given = replace(self.given, marks=(*self.given.marks, mark))
            case "frozen":
                self.frozen_at, self.frozen_since = unix_time(row["at"]), unix_time(row["wall"])
            case "went_on":
                freeze = {"at": row["at"], "seconds": float(row["seconds"])}
                self.given = replace(self.given, freezes=(*self.given.freezes, freeze))
                self.frozen_at = None
            case "refused":
                self.refused = str(row["why"])


def begun(exercise_file: str, attempt: Attempt) -> dict[str, Any]:
    return {"row": "begun", "exercise": exercise_file, "attempt": attempt_json(attempt)}


def ended(attempt: Attempt) -> dict[str, Any]:
    return {"row": "ended", "attempt": attempt_json(attempt)}


def ordered(done: Done) -> dict[str, Any]:
    return {"row": "order", "order": row_of(done)}


def gone_back(to: float) -> dict[str, Any]:
    return {"row": "back", "to": iso_time(to)}


def injected(injection: Plain) -> dict[str, Any]:
    return {"row": "injected", "injection": dict(injection)}


def marked(at: float, text: str) -> dict[str, Any]:
    return {"row": "marked", "at": iso_time(at), "text": text}


def frozen(at: float, wall: float) -> dict[str, Any]:
    return {"row": "frozen", "at": iso_time(at), "wall": iso_time(wall)}


def went_on(at: float, seconds: float) -> dict[str, Any]:
    return {"row": "went_on", "at": iso_time(at), "seconds": round(seconds, 1)}


def refused(why: str) -> dict[str, Any]:
    return {"row": "refused", "why": why}


def injection_of(exercise: Exercise, plain: Plain) -> tuple[Injection | None, str]:
    """Return an injection that comes to those of an exercise, read and checked as one in its file is; None,
    and why not, for what its file could not have."""
    faults: list[Fault] = []
    node = node_of({"injections": [plain]}, faults)["injections"]
    injections = injections_of(exercise.stay).read(node)
    if not faults:
        check_beside(node[0], injections[0], exercise)
    if faults:
        first = faults[0]
        key = first.path.rpartition(".")[2]
        return None, f"{key}: {first.problem}" if key else first.problem
    return injections[0], ""


def with_given(exercise: Exercise, given: Given) -> Exercise:
    """Return an exercise with what an instructor did beside it, as its file would be read with that. What was
    given has been checked."""
    faults: list[Fault] = []
    node = node_of({"injections": list(given.injections)}, faults)["injections"]
    injections = injections_of(exercise.stay).read(node) if given.injections else ()
    marks = tuple(Mark(unix_time(each["at"]), each["text"]) for each in given.marks)
    freezes = tuple(Freeze(unix_time(each["at"]), each["seconds"]) for each in given.freezes)
    before = exercise.instructed
    live = Instructed((*before.injections, *injections), (*before.marks, *marks), (*before.freezes, *freezes))
    return replace(exercise, injections=(*exercise.injections, *injections), instructed=live)
