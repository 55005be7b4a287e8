"""The rows of one answer: between semicolons, or in a table."""

import csv
import re
from collections.abc import Iterator
from typing import Final

from alongside.reports.new_stay.question import Question
from alongside.reports.new_stay.sheet import Sheet
from alongside.reports.new_stay.values import NONE, Refused
from alongside.wording.safe import safe

SEVERAL: Final = ("fenders", "tails")
"""Questions without rows whose one answer may have several parts."""


def parts_of(question: Question, text: str, sheet: Sheet) -> Iterator[tuple[str, str]]:
    """Yield each row of an answer and where it stands: alone, between semicolons, or in a table."""
    if not question.rows and question.key not in SEVERAL:
        yield "", text
        return
    if re.fullmatch(r"\S+\.csv", text):
        yield from _of_table(question, text, sheet)
        return
    parts = [part.strip() for part in text.split(";") if part.strip()]
    for number, part in enumerate(parts, start=1):
        yield f"part {number}, " if len(parts) > 1 else "", part
    if not parts:
        raise Refused(f"{safe(text)!r} says nothing, expected {question.typed_as()}")


def _of_table(question: Question, name: str, sheet: Sheet) -> Iterator[tuple[str, str]]:
    """Yield the rows of a table as they would be typed. Raise Refused with the line of the table."""
    try:
        text = sheet.shelf.table(name)
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) else str(error)
        raise Refused(
            f"{safe(name)} cannot be read ({reason}), expected a table beside the stay file"
        ) from None
    heads, *rows = _table_rows(text) or [(1, [])]
    known = [figure.name for figure in question.figures]
    names = [head.strip().lower() for head in heads[1]]
    for head in names:
        if head not in known:
            raise Refused(
                f"{safe(name)}:{heads[0]}: unknown column {safe(head)!r}, expected {', '.join(known)}"
            )
    if not rows:
        raise Refused(f"{safe(name)}: no rows, expected heads {', '.join(known)} and a row each")
    for line, cells in rows:
        cell = dict(zip(names, (each.strip() for each in cells), strict=False))
        words = [cell.get(each, "") or NONE for each in known]
        while words and words[-1] == NONE:
            words.pop()
        if blank := next((word for word in words if len(word.split()) > 1 and not _dated(word)), ""):
            raise Refused(f"{safe(name)}:{line}: {safe(blank)!r} has a blank, expected one word in a cell")
        yield f"{safe(name)}:{line}: ", " ".join(words)


def _dated(word: str) -> bool:
    return re.fullmatch(r"\d{4}-\d\d-\d\d \d\d?:\d\d", word) is not None


def _table_rows(text: str) -> list[tuple[int, list[str]]]:
    """Return (line, cells) of a table parted by commas, semicolons or tabs, without blank lines and those
    that begin with #."""
    lines = text.splitlines()
    first = next((line for line in lines if line.strip() and not line.startswith("#")), "")
    comma = max(",;\t", key=first.count)
    return [
        (number, next(csv.reader([line], delimiter=comma)))
        for number, line in enumerate(lines, start=1)
        if line.strip() and not line.lstrip().startswith("#")
    ]
