"""Rows of text for widgets that draw line by line: pieces of styled text, cut at whole words."""

from collections.abc import Iterable, Sequence

from rich.cells import cell_len, chop_cells
from rich.segment import Segment
from rich.style import Style
from textual.strip import Strip

Piece = tuple[str, Style]


def strip(pieces: Iterable[Piece], width: int, fill: Style) -> Strip:
    """Return one screen row of exactly `width` cells, filled up in `fill`; what is too long ends at a
    word."""
    segments: list[Segment] = []
    room = width
    for text, style in pieces:
        cells = cell_len(text)
        if cells > room:
            segments.append(Segment(fit(text, room), style))
            break
        if text:
            segments.append(Segment(text, style))
            room -= cells
    return Strip(segments).adjust_cell_length(width, fill)


def both_ends(left: Sequence[Piece], right: Sequence[Piece], width: int, fill: Style) -> Strip:
    """Return one row with pieces at both ends; the right ones go whole where there is no room for them."""
    space = width - length(left) - length(right)
    if space < 1 or not right:
        return strip(left, width, fill)
    return strip([*left, (" " * space, fill), *right], width, fill)


def length(pieces: Iterable[Piece]) -> int:
    """Return the cells that pieces take."""
    return sum(cell_len(text) for text, _style in pieces)


def joined(pieces: Iterable[Piece]) -> list[Piece]:
    """Return pieces with neighbours of one style made one."""
    together: list[Piece] = []
    for text, style in pieces:
        if together and together[-1][1] == style:
            together[-1] = (together[-1][0] + text, style)
        else:
            together.append((text, style))
    return together


def fit(text: str, cells: int) -> str:
    """Return text in at most so many cells: cut after a whole word with `…`, within a word only where it is
    longer than the room (a name)."""
    if cell_len(text) <= cells:
        return text
    if cells <= 1:
        return "…"[:cells]
    start = chop_cells(text, cells - 1)[0]
    if text[len(start)] != " " and " " in start.strip():
        start = start[: start.rindex(" ")]
    return start.rstrip(" ,;:-–") + "…"


def fill_to(text: str, cells: int, *, right: bool = False) -> str:
    """Return text padded to so many cells, cut where it is longer."""
    text = fit(text, cells)
    space = " " * (cells - cell_len(text))
    return space + text if right else text + space


def wrap(text: str, cells: int) -> list[str]:
    """Return text over as many rows as it takes, broken between words; a word longer than a row is broken."""
    lines: list[str] = []
    line = ""
    for word in text.split():
        longer = f"{line} {word}" if line else word
        if cell_len(longer) <= cells:
            line = longer
            continue
        if line:
            lines.append(line)
        *full, line = chop_cells(word, max(cells, 2)) or [word]
        lines.extend(full)
    return [*lines, line] if line else lines


def flow(fields: Sequence[tuple[int, Sequence[Piece]]], width: int, gap: Piece) -> list[Piece]:
    """Return fields side by side, in order, as far as they fit; those of the highest number go first,
    whole."""
    kept = list(enumerate(fields))
    while len(kept) > 1:
        total = sum(length(pieces) for _i, (_rank, pieces) in kept) + cell_len(gap[0]) * (len(kept) - 1)
        if total <= width:
            break
        kept.remove(max(kept, key=lambda item: (item[1][0], item[0])))
    row: list[Piece] = []
    for index, (_i, (_rank, pieces)) in enumerate(kept):
        row.extend([gap, *pieces] if index else pieces)
    return row
