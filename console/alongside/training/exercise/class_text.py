"""The table of a class as rows to read, as a table and as JSON."""

from collections.abc import Iterator
from itertools import groupby
from typing import Any, Final

from alongside.reports.csv_files import Cell
from alongside.reports.table import Column, Table
from alongside.training.exercise.class_table import ClassTable, Row
from alongside.units import iso_time
from alongside.wording.figures import counted, figure
from alongside.wording.marks import NOT_KNOWN
from alongside.wording.safe import safe

NAME_WIDTH: Final = 16
PARTS: Final = {
    "ship and lines": "ship",
    "expected deeds": "deeds",
    "alerts answered": "answ",
    "alerts acted upon": "acted",
    "work": "work",
}
"""Parts of the points, each with its short head."""
HEAD: Final = ("trainee", "begun", "", "points", "", *PARTS.values(), "off", "pause", "look", "try")
COLUMNS: Final = (
    Column("file"),
    Column("exercise"),
    Column("level", "count"),
    Column("trainee"),
    Column("vary", "count"),
    Column("exam", "count"),
    Column("begun", "time"),
    Column("ended", "time"),
    Column("points", "count"),
    Column("passed", "count"),
    *(Column(name.replace(" ", "_"), "number", "1") for name in PARTS),
    Column("taken_off", "number", "1"),
    Column("pauses", "count"),
    Column("paused_s", "number", "s"),
    Column("went_back", "count"),
    Column("jumped_on", "count"),
    Column("looked_ahead", "count"),
    Column("left_early_s", "number", "s"),
    Column("try", "count"),
    Column("tries", "count"),
    Column("best", "count"),
    Column("last", "count"),
    Column("changed", "count"),
)
OF_ATTEMPT: Final = ("pauses", "paused_s", "went_back", "jumped_on", "looked_ahead")


def class_rows(table: ClassTable, columns: int) -> Iterator[str]:
    """Return the table as text, exercise by exercise; without the parts of the points where it is wider than
    so many columns."""
    head, body = HEAD, {row: _cells(row) for row in table.rows}
    widths = _widths(head, body)
    narrow = len(_line(head, widths)) > columns
    if narrow:
        head, body = _without_parts(head), {row: _without_parts(cells) for row, cells in body.items()}
        widths = _widths(head, body)
    for exercise, rows in groupby(table.rows, lambda row: row.exercise):
        yield f"{safe(exercise)}"
        yield _line(head, widths)
        yield from (_line(body[row], widths) for row in rows)
        yield ""
    if table.rows:
        yield "* best of several tries; look: gone back, jumped on, looked ahead"
    if narrow:
        yield "Parts of the points: --csv, or a wider terminal"
    if any(row.changed for row in table.rows):
        yield "~ the file of the exercise has changed since; points are by the file as it is now"
    for file, why in table.left_out:
        yield f"not in the table: {safe(file)}: {safe(why.removeprefix(f'{file}: '))}"
    people = len({row.person for row in table.rows})
    yield f"{counted(len(table.rows), 'run')} of {counted(people, 'trainee')}"


def _widths(head: tuple[str, ...], body: dict[Row, tuple[str, ...]]) -> list[int]:
    return [max(map(len, column)) for column in zip(head, *body.values(), strict=True)]


def _without_parts(cells: tuple[str, ...]) -> tuple[str, ...]:
    first = HEAD.index(next(iter(PARTS.values())))
    return (*cells[:first], *cells[first + len(PARTS) + 1 :])  # and what was taken off


def as_table(table: ClassTable) -> Table:
    """Return the table for other programs."""
    return Table("class", COLUMNS, [list(plain(row).values()) for row in table.rows])


def class_json(table: ClassTable) -> dict[str, Any]:
    """Return the table as JSON."""
    left_out = [{"file": file, "why": why} for file, why in table.left_out]
    return {"runs": [_truths(plain(row)) for row in table.rows], "left_out": left_out}


def plain(row: Row) -> dict[str, Cell]:
    """Return a row by column. 1 or 0 for what is so or not, None for what is not known."""
    attempt, judged = row.attempt, row.judgement
    parts = {name: points for name, points, _ in judged.parts}
    known = attempt is not None
    values: list[Cell] = [
        row.file,
        row.exercise,
        row.level,
        row.trainee,
        attempt.vary if attempt else None,
        int(attempt.exam) if attempt else None,
        iso_time(attempt.begun) if attempt else None,
        iso_time(attempt.ended) if attempt else None,
        judged.total,
        None if judged.passed is None else int(judged.passed),
        *(round(parts[name], 2) if name in parts else None for name in PARTS),
        judged.off,
        *(getattr(attempt, name) if known else None for name in OF_ATTEMPT),
        judged.left_early_s if known else None,
        row.number,
        row.tries,
        int(row.best),
        int(row.last),
        int(row.changed),
    ]
    return dict(zip([column.name for column in COLUMNS], values, strict=True))


def _truths(values: dict[str, Cell]) -> dict[str, Any]:
    flags = ("exam", "passed", "best", "last", "changed")
    return {
        key: bool(value) if key in flags and value is not None else value for key, value in values.items()
    }


def _cells(row: Row) -> tuple[str, ...]:
    attempt, judged = row.attempt, row.judgement
    parts = {name: points for name, points, _ in judged.parts}
    name = safe(row.trainee) or safe(row.file.rpartition("/")[2])
    mark = "*" if row.best and row.tries > 1 else ""
    begun = NOT_KNOWN if attempt is None else iso_time(attempt.begun)[2:16].replace("T", " ")
    looks = None if attempt is None else attempt.went_back + attempt.jumped_on + attempt.looked_ahead
    return (
        name if len(name) <= NAME_WIDTH else f"{name[: NAME_WIDTH - 1]}…",
        begun,
        _kind(row),
        f"{judged.total}{mark}{'~' if row.changed else ''}",
        _result(row),
        *(figure(parts[name], 0) if name in parts else NOT_KNOWN for name in PARTS),
        figure(judged.off, 0),
        NOT_KNOWN if attempt is None else figure(attempt.pauses),
        NOT_KNOWN if looks is None else figure(looks),
        f"{row.number}/{row.tries}",
    )


def _kind(row: Row) -> str:
    if row.attempt is None:
        return NOT_KNOWN
    varied = "" if row.attempt.vary is None else f" v{row.attempt.vary}"
    return ("exam" if row.attempt.exam else "free") + varied


def _result(row: Row) -> str:
    if row.judgement.left_early_s > 0.0:
        return "left early"
    passed = row.judgement.passed
    return "" if passed is None else "passed" if passed else "not passed"


def _line(cells: tuple[str, ...], widths: list[int]) -> str:
    return "  ".join(f"{cell:<{width}}" for cell, width in zip(cells, widths, strict=True)).rstrip()
