"""The rows of a form below its fields: what it will do or what is wrong, and a hint, both whole."""

import re
from typing import Final

from rich.cells import cell_len

from alongside.screens.rows import fit, wrap

FORM_ROWS: Final = 3
"""Rows of a form at least: the fields, a reply, a hint."""
_BETWEEN_CLAUSES: Final = re.compile(r" {2,}")
_GAP: Final = "  "


def form_rows(reply: str, hint: str, width: int, most: int) -> tuple[list[str], list[str]]:
    """Return the rows of reply and hint, each at least one, `most` (2 or more) together. Where that is too
    few the hint is cut first, then the middle of the reply: what will be done begins it, how it is confirmed
    ends it."""
    said, more = _laid(reply, width), _laid(hint, width)
    if len(said) > most - 1:
        head = said[: most - 2]
        said = [*head, f"… {_end_of(reply, width - 2)}"] if head else [fit(reply, width)]
    room = most - len(said)
    if len(more) > room:
        more = [*more[: room - 1], fit(_GAP.join(more[room - 1 :]), width)]
    return said, more


def _laid(text: str, width: int) -> list[str]:
    """Return text over as many rows as it takes; clauses, parted by two blanks or more, stay whole where they
    can."""
    if cell_len(text) <= width:
        return [text]
    rows: list[str] = []
    for clause in _BETWEEN_CLAUSES.split(text.strip()):
        longer = f"{rows[-1]}{_GAP}{clause}" if rows else clause
        if cell_len(longer) <= width:
            rows[-1:] = [longer]
        else:
            rows += wrap(clause, width)
    return rows


def _end_of(text: str, cells: int) -> str:
    """Return as many of the last words as fit."""
    end = ""
    for word in reversed(text.split()):
        longer = f"{word} {end}" if end else word
        if cell_len(longer) > cells:
            break
        end = longer
    return end
