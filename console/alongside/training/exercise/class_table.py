"""The table of a class: what became of each time that somebody went through an exercise.

A row is known again by all that it follows from: exercise, stay, log, variation, actions and program; it is
kept, so that the table of a class is worked out once.
"""

import json
from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass, field, replace
from hashlib import sha256
from pathlib import Path
from typing import Final

from alongside.errors import AlongsideError, WrongInput
from alongside.feeds.kept_files import KeptFiles
from alongside.record.codec import from_text, to_text
from alongside.training.exercise.actions_file import read_actions, read_attempt
from alongside.training.exercise.as_hard import drawn_exercise
from alongside.training.exercise.conduct import Attempt
from alongside.training.exercise.debrief import Debrief, debrief
from alongside.training.exercise.file import read_exercise
from alongside.training.exercise.kept_yardstick import kept_yardstick, key_of
from alongside.training.exercise.model import Exercise
from alongside.training.exercise.yardstick import Shown

ENDS: Final = ".jsonl"
RULES: Final = 1
"""Goes up when what is kept of a row changes."""
KEPT: Final = KeptFiles("attempts", ".row", 1 << 24)


@dataclass(frozen=True, slots=True)
class Judgement:
    """What a debrief says of one attempt. `parts` are points by the name of each part, of at most so many;
    `passed` None: nobody asks. `left_early_s` 0: it was gone through to its end."""

    points: float
    total: int
    passed: bool | None
    parts: tuple[tuple[str, float, float], ...]
    off: float
    left_early_s: float


@dataclass(frozen=True, slots=True)
class Row:
    """One attempt. `number` of `tries` by its time; `changed`: the file of the exercise is another now."""

    file: str
    exercise: str
    level: int
    attempt: Attempt | None
    judgement: Judgement
    changed: bool = False
    number: int = 1
    tries: int = 1
    best: bool = True
    last: bool = True

    @property
    def trainee(self) -> str:
        return "" if self.attempt is None else self.attempt.trainee

    @property
    def person(self) -> str:
        """Return who it was, however the name is typed; without one each file is somebody else, at the
        end."""
        return " ".join(self.trainee.split()).casefold() or f"\U0010ffff{self.file}"


@dataclass(frozen=True, slots=True)
class ClassTable:
    """Rows by exercise, the easiest first; then by trainee, who has most points in the best try first; then
    by time. `left_out` are files that no row could be made of, each with the reason."""

    rows: tuple[Row, ...]
    left_out: tuple[tuple[str, str], ...]


@dataclass(slots=True)
class ClassRoom:
    """Exercises by the name of their file, and those of them that were drawn."""

    exercises: dict[str, Exercise]
    show: Shown
    drawn: dict[tuple[str, int], Exercise] = field(default_factory=dict)

    def row_of(self, path: Path) -> Row:
        """Return the row of a file of actions. Raises WrongInput where it is none of the exercises, or does
        not fit the one that it names."""
        attempt = read_attempt(path)
        exercise = self._exercise_of(path, attempt)
        name = attempt.exercise if attempt is not None and attempt.exercise else Path(exercise.file).stem
        done = read_actions(path, exercise)
        key = self._key(exercise, attempt, path)
        judgement = _read(key)
        if judgement is None:
            played = (
                exercise if attempt is None or attempt.vary is None else self._drawn(exercise, attempt.vary)
            )
            measure = kept_yardstick(played, self.show)
            judgement = _judgement(debrief(played, done, measure, self.show, attempt), exercise.end)
            with suppress(OSError):  # only makes the next table as long as this one
                _write(key, judgement)
        changed = attempt is not None and attempt.digest not in ("", exercise.digest)
        is_given = exercise is not self.exercises.get(name)
        return Row(str(path), name, exercise.level, attempt, judgement, changed and not is_given)

    def _exercise_of(self, path: Path, attempt: Attempt | None) -> Exercise:
        given = path.with_suffix(".yaml")
        if given.is_file():  # with what an instructor did
            return read_exercise(given)
        name = "" if attempt is None else attempt.exercise
        if not name and len(self.exercises) == 1:
            return next(iter(self.exercises.values()))
        if not name:
            raise WrongInput(f"{path}: it does not say at which exercise, expected one exercise file alone")
        if name not in self.exercises:
            raise WrongInput(f"{path}: it was at {name!r}, expected one of {', '.join(self.exercises)}")
        return self.exercises[name]

    def _drawn(self, exercise: Exercise, seed: int) -> Exercise:
        key = (exercise.file, seed)
        if key not in self.drawn:
            self.drawn[key] = drawn_exercise(exercise, seed, kept_yardstick, self.show)
        return self.drawn[key]

    def _key(self, exercise: Exercise, attempt: Attempt | None, path: Path) -> str:
        parts = [RULES, key_of(exercise), to_text(exercise.vary), exercise.pass_mark]
        parts += [None if attempt is None else attempt.vary, sha256(path.read_bytes()).hexdigest()]
        return sha256(json.dumps(parts).encode()).hexdigest()[:40]


def class_table(
    exercises: Sequence[Exercise], files: Sequence[Path], show: Callable[[float, str], None]
) -> ClassTable:
    """Return the table of these files of actions. `show` is given how far it is."""
    rows: list[Row] = []
    left_out: list[tuple[str, str]] = []
    for place, path in enumerate(files):
        room = ClassRoom(
            {Path(each.file).stem: each for each in exercises}, _within(show, place, len(files), path)
        )
        room.show(0.0, "")
        try:
            rows.append(room.row_of(path))
        except AlongsideError as wrong:
            left_out.append((str(path), "; ".join(wrong.rows)))
    return ClassTable(tuple(_in_order(rows)), tuple(left_out))


def action_files(folder: Path) -> list[Path]:
    """Return the files of actions of a folder, not below it, by name. Raises WrongInput where there are
    none."""
    try:
        files = sorted(each for each in folder.iterdir() if each.suffix == ENDS and each.is_file())
    except OSError as error:
        raise WrongInput(f"{folder}: {error.strerror}, expected a folder of actions") from error
    if not files:
        raise WrongInput(f"{folder}: no record and no actions in it, expected files that end in {ENDS}")
    return files


def _within(show: Shown, place: int, count: int, path: Path) -> Shown:
    def shown(part: float, words: str) -> None:
        show((place + part) / count, f"{path.name} {words}".strip())

    return shown


def _judgement(outcome: Debrief, end: float) -> Judgement:
    points, attempt = outcome.points, outcome.attempt
    return Judgement(
        points.unrounded,
        points.total,
        points.passed,
        tuple((part.name, part.points, part.most) for part in points.parts),
        points.off,
        0.0 if attempt is None else attempt.left_early_s(end),
    )


def _in_order(rows: Sequence[Row]) -> list[Row]:
    """Return rows in the order of the table, each with which try it was."""
    tries: dict[tuple[str, str], list[Row]] = {}
    for row in sorted(rows, key=_when):
        tries.setdefault((row.exercise, row.person), []).append(row)
    marked: dict[tuple[str, str], list[Row]] = {}
    for key, own in tries.items():
        best = max(range(len(own)), key=lambda at: (own[at].judgement.points, -at))
        marked[key] = [
            replace(row, number=at + 1, tries=len(own), best=at == best, last=at == len(own) - 1)
            for at, row in enumerate(own)
        ]

    def place(key: tuple[str, str]) -> tuple[int, str, float, str]:
        best = next(row for row in marked[key] if row.best)
        return best.level, key[0], -best.judgement.points, key[1]

    return [row for key in sorted(marked, key=place) for row in marked[key]]


def _when(row: Row) -> tuple[float, str]:
    return (0.0 if row.attempt is None else row.attempt.begun), row.file


def _read(key: str) -> Judgement | None:
    try:
        file = KEPT.opened(key)
        if file is None:
            return None
        with file:
            return from_text(Judgement, file.read().decode())
    except (OSError, AlongsideError, ValueError):
        return None  # what cannot be read is worked out


def _write(key: str, judgement: Judgement) -> None:
    data = to_text(judgement).encode()
    with KEPT.begin(len(data)) as part:
        part.write(data)
        part.keep(key)
