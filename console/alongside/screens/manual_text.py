"""A page of the manual, Markdown, as rows of text for a screen: headings, lists, tables and code."""

import re
from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby
from typing import Final, Literal

from rich.cells import chop_cells

from alongside.screens.palettes import Palette
from alongside.screens.rows import Piece, length
from alongside.wording.safe import safe

WIDEST: Final = 100
"""Cells of a row of prose at most: longer ones are hard to read."""
GAP: Final = 2
"""Cells between the columns of a table."""
LEAST: Final = 4
"""Cells of a column at least where a table must be narrowed."""

Kind = Literal["heading", "code", "table", "item", "prose", "blank"]

_MARKED = re.compile(r"`([^`]+)`|\*\*([^*]+)\*\*|\[([^\]]+)\]\([^)]*\)")
_ITEM = re.compile(r"\s*(?:[-*]|\d+\.)\s+")
_RULE = re.compile(r":?-+:?")
_BETWEEN_CELLS = re.compile(r"(?<!\\)\|")


def manual_rows(text: str, width: int, palette: Palette) -> list[list[Piece]]:
    """Return a page in rows of at most `width` cells"""
    rows: list[list[Piece]] = []
    for kind, lines in _blocks(text.splitlines()):
        if kind == "table":
            rows += _table(lines, width, palette)
        elif kind == "code":
            rows += [row for line in lines for row in _code(safe(line), width, palette)]
        elif kind == "heading":
            rows += [[(safe(line.lstrip("# ")), palette.style(palette.normal, bold=True))] for line in lines]
        elif kind == "item":
            rows += [row for item in _items(lines) for row in _item(item, width, palette)]
        elif kind == "prose":
            rows += _wrapped(_words(" ".join(lines), palette), min(width, WIDEST), palette)
        else:
            rows.append([])
    return rows


def _blocks(lines: Sequence[str]) -> Iterator[tuple[Kind, list[str]]]:
    """Yield neighbouring lines of one kind together."""
    for kind, together in groupby(_kinds(lines), key=lambda each: each[0]):
        yield kind, [line for _kind, line in together]


def _kinds(lines: Iterable[str]) -> Iterator[tuple[Kind, str]]:
    in_code = False
    kind: Kind = "blank"
    for line in lines:
        if line.startswith("```"):
            in_code = not in_code
            continue
        if in_code:
            kind = "code"
        elif not line.strip():
            kind = "blank"
        elif line.startswith("#"):
            kind = "heading"
        elif line.startswith("|"):
            kind = "table"
        elif _ITEM.match(line) or (kind == "item" and line.startswith(" ")):
            kind = "item"
        else:
            kind = "prose"
        yield kind, line


def _code(line: str, width: int, palette: Palette) -> list[list[Piece]]:
    """Return a line of code as it stands, over several rows where it is too long."""
    return [[(f"  {part}", palette.strong)] for part in chop_cells(line, max(width - 2, 2)) or [""]]


def _items(lines: Sequence[str]) -> Iterator[str]:
    """Yield the items of a list, each with the lines that go on with it."""
    item = ""
    for line in lines:
        if item and _ITEM.match(line):
            yield item
            item = ""
        item = f"{item} {line.strip()}" if item else line
    yield item


def _item(item: str, width: int, palette: Palette) -> list[list[Piece]]:
    start = _ITEM.match(item)
    mark = start[0] if start else ""
    rows = _wrapped(_words(item[len(mark) :], palette), min(width, WIDEST) - len(mark), palette)
    return [[(" " * len(mark) if at else mark, palette.text), *row] for at, row in enumerate(rows)]


def _words(text: str, palette: Palette) -> list[list[Piece]]:
    """Return the words of a text, a word in several pieces where its look changes within it."""
    pieces: list[Piece] = []
    at = 0
    for marked in _MARKED.finditer(text):
        code, bold, link = marked.groups()
        pieces += [(text[at : marked.start()], palette.text)]
        pieces += [(link, palette.text) if link else (code or bold, palette.strong)]
        at = marked.end()
    pieces.append((text[at:], palette.text))
    words: list[list[Piece]] = [[]]
    for piece, style in pieces:
        first, *others = safe(piece).split(" ")
        words[-1].append((first, style))
        words += [[(word, style)] for word in others]
    return [full for word in words if (full := [piece for piece in word if piece[0]])]


def _wrapped(words: Sequence[list[Piece]], width: int, palette: Palette) -> list[list[Piece]]:
    """Return words over as many rows as they take; one longer than a row is broken."""
    rows: list[list[Piece]] = []
    row: list[Piece] = []
    for word in (part for whole in words for part in _broken(whole, width)):
        if row and length(row) + 1 + length(word) > width:
            rows.append(row)
            row = []
        row = [*row, (" ", palette.text), *word] if row else list(word)
    return [*rows, row] if row else rows


def _broken(word: list[Piece], width: int) -> list[list[Piece]]:
    """Return a word in parts that fit into a row."""
    if length(word) <= width:
        return [word]
    return [[(part, style)] for text, style in word for part in chop_cells(text, max(width, 2))]


def _table(lines: Sequence[str], width: int, palette: Palette) -> list[list[Piece]]:
    """Return a table in columns as wide as they need; where that is too wide, the widest give way and their
    cells go over several rows."""
    split = [_BETWEEN_CELLS.split(line.strip().strip("|")) for line in lines]
    table = [
        [_words(cell.strip().replace("\\|", "|"), palette) for cell in row]
        for row in split
        if not all(_RULE.fullmatch(cell.strip()) for cell in row)
    ]
    if not table:
        return []  # a rule alone
    count = max(len(row) for row in table)
    needed = [max(_cells(row[k]) for row in table if k < len(row)) for k in range(count)]
    widths = _narrowed(needed, width - GAP * (count - 1))
    rows: list[list[Piece]] = []
    for at, row in enumerate(table):
        cells = [_wrapped(words, widths[k], palette) for k, words in enumerate(row)]
        for k in range(max(len(cell) for cell in cells)):
            parts = [cell[k] if k < len(cell) else [] for cell in cells]
            rows.append(_side_by_side(parts, widths, palette, heading=at == 0))
    return rows


def _side_by_side(
    parts: Sequence[list[Piece]], widths: Sequence[int], palette: Palette, *, heading: bool
) -> list[Piece]:
    row: list[Piece] = []
    for part, width in zip(parts, widths, strict=False):
        shown = [(text, palette.label) for text, _style in part] if heading else part
        row += [*shown, (" " * (width - length(part) + GAP), palette.text)]
    return row


def _cells(words: Sequence[list[Piece]]) -> int:
    """Return the cells that words take in one row."""
    return sum(length(word) for word in words) + max(len(words) - 1, 0)


def _narrowed(needed: Sequence[int], room: int) -> list[int]:
    """Return widths of columns that fit in the room: the widest give way first."""
    widths = list(needed)
    while sum(widths) > room and max(widths) > LEAST:
        widths[widths.index(max(widths))] -= 1
    return widths
