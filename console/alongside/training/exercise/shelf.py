"""A shelf of exercises: what lies in a folder, each with its level, length and aims, or what is wrong."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from textwrap import wrap
from typing import Any, Final

from alongside.errors import StayFaults, WrongInput
from alongside.stay.plain_file import has_top_keys
from alongside.training.exercise.file import read_exercise
from alongside.training.exercise.model import Exercise
from alongside.units import iso_time
from alongside.wording.figures import counted, figure
from alongside.wording.marks import NOT_KNOWN
from alongside.wording.safe import safe

ENDS: Final = (".yaml", ".yml")
TOP_KEYS: Final = ("stay:", "log:")
"""What an exercise file has at its margin, and a stay file has not."""
LEAST_WIDTH: Final = 40
HOUR_S: Final = 3600.0


@dataclass(frozen=True, slots=True)
class Shelved:
    """One exercise of a shelf; `exercise` None: its file is wrong, and `faults` are all that is."""

    path: Path
    exercise: Exercise | None
    faults: tuple[str, ...] = ()


def exercise_files(folder: Path) -> list[Path]:
    """Return the files of a folder, not below it, that are meant as exercises, by name. Raises WrongInput for
    a folder that cannot be read, or has none."""
    try:
        files = [
            each for each in sorted(folder.iterdir()) if each.suffix in ENDS and has_top_keys(each, TOP_KEYS)
        ]
    except OSError as error:
        raise WrongInput(f"{folder}: {error.strerror}, expected a folder of exercises") from error
    if not files:
        raise WrongInput(f"{folder}: no exercise in it, expected files with {' and '.join(TOP_KEYS)}")
    return files


def shelf_of(folder: Path, show: Callable[[float, str], None]) -> list[Shelved]:
    """Return the exercises of a folder, the easiest first, then by file; those that are wrong at the end.
    `show` is given which part is read, and what is read next."""
    files = exercise_files(folder)
    shelf: list[Shelved] = []
    for place, path in enumerate(files):
        show(place / len(files), path.name)
        shelf.append(_shelved(path))
    return sorted(shelf, key=_order)


def shelf_rows(shelf: list[Shelved], width: int) -> Iterator[str]:
    """Return the shelf as rows: one an exercise, and below it where that is and what is to be learnt."""
    head = ("level", "length", "pass", "hands")
    facts = {each.path: _facts(each.exercise) for each in shelf if each.exercise is not None}
    widths = [max(map(len, column)) for column in zip(head, *facts.values(), strict=True)]
    indent = " " * (widths[0] + 2)
    yield "  ".join(f"{cell:<{w}}" for cell, w in zip(head, widths, strict=True)) + "  exercise"
    for each in shelf:
        if each.exercise is None:
            yield f"wrong: {safe(each.path.name)}"
            yield from (f"  {safe(fault)}" for fault in each.faults)
            continue
        cells = [f"{cell:<{w}}" for cell, w in zip(facts[each.path], widths, strict=True)]
        yield "  ".join(cells) + f"  {safe(each.path.name)}: {safe(each.exercise.name)}"
        text = f"{safe(each.exercise.stay.berth.name)}. {safe(each.exercise.aims)}".rstrip()
        yield from wrap(text, max(width, LEAST_WIDTH), initial_indent=indent, subsequent_indent=indent)


def summed_up(shelf: list[Shelved]) -> str:
    """Return in one row how many there are."""
    wrong = sum(each.exercise is None for each in shelf)
    return counted(len(shelf), "exercise") + (f", {wrong} of them wrong" if wrong else "")


def shelf_json(shelf: list[Shelved]) -> dict[str, Any]:
    """Return the shelf for other programs."""
    return {"exercises": [_plain(each) for each in shelf]}


def _plain(each: Shelved) -> dict[str, Any]:
    if each.exercise is None:
        return {"file": str(each.path), "faults": list(each.faults)}
    exercise = each.exercise
    return {
        "file": str(each.path),
        "faults": [],
        "name": exercise.name,
        "level": exercise.level,
        "aims": exercise.aims,
        "ship": exercise.stay.ship.name,
        "berth": exercise.stay.berth.name,
        "start": iso_time(exercise.start),
        "end": iso_time(exercise.end),
        "hours": (exercise.end - exercise.start) / HOUR_S,
        "pace": exercise.pace,
        "pass_mark": exercise.pass_mark,
        "hands": exercise.crew.hands,
        "injections": len(exercise.injections),
        "expected": len(exercise.expected),
    }


def _facts(exercise: Exercise) -> tuple[str, str, str, str]:
    mark, hands = exercise.pass_mark, exercise.crew.hands
    return (
        figure(exercise.level),
        f"{figure((exercise.end - exercise.start) / HOUR_S, 1)} h",
        NOT_KNOWN if mark is None else figure(mark),
        NOT_KNOWN if hands is None else figure(hands),
    )


def _shelved(path: Path) -> Shelved:
    try:
        return Shelved(path, read_exercise(path))
    except (StayFaults, WrongInput) as wrong:
        return Shelved(path, None, tuple(wrong.rows))


def _order(each: Shelved) -> tuple[bool, int, str]:
    return each.exercise is None, 0 if each.exercise is None else each.exercise.level, each.path.name
