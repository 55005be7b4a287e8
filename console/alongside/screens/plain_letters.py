"""The whole screen in ASCII, for terminals without other letters: the last step before the terminal puts one
plain character in the place of every cell, whatever drew it. Nothing moves."""

import unicodedata
from collections.abc import Mapping, Sequence
from functools import lru_cache
from typing import Final

from rich.cells import cell_len
from rich.segment import Segment
from textual.color import Color
from textual.filter import LineFilter

from alongside.wording.marks import MARKS, NOT_KNOWN

STAGE_MARKS: Final = dict(zip(MARKS.values(), ".#@!", strict=True))
"""The marks of the stages, normal to alarm."""
MEANINGS: Final = {
    "^ v < >": "rising, falling, steady; arrow keys",
    "/ \\ J L": "arrows: up right, up left, down right, down left",
    "% o ^": "Ahead: may come to caution, warning, alarm",
    "*": "degrees",
    "~": "cut short, or give or take",
    "-": "not known",
    "X x": "measured now; on the polar wind, gust",
    "?": "a letter that has no plain form",
}
"""What the help says of the signs that are not seen at once."""
_SIGNS: Final[Mapping[str, str]] = {
    **STAGE_MARKS,
    NOT_KNOWN: "-",
    # What may come to a stage.
    "□": "%",
    "○": "o",
    "△": "^",
    # Figures and words.
    "°": "*",
    "±": "~",
    "×": "x",
    "…": "~",
    "–": "-",
    "−": "-",
    "·": ".",
    "√": "V",
    "µ": "u",
    # Arrows: those that point aslant down have the form of their tips.
    "←": "<",
    "→": ">",
    "↑": "^",
    "↓": "v",
    "↗": "/",
    "↖": "\\",
    "↘": "J",
    "↙": "L",
    "▸": ">",
    "▶": ">",
    "◂": "<",
    "◀": "<",
    "▼": "v",
    "▾": "v",
    "◆": "X",
    "◇": "x",
    "▬": "=",
    # Blocks: heights of eight, as of fenders, then the letters of headlines.
    "▁": "_",
    "▂": ",",
    "▃": "-",
    "▄": "o",
    "▅": "+",
    "▆": "%",
    "▇": "8",
    "█": "#",
    "▖": ".",
    "▗": ".",
    "▘": "'",
    "▝": "'",
    "▀": '"',
    "▏": "|",
    "▎": "|",
    "▍": "|",
    "▌": "|",
    "▋": "#",
    "▊": "#",
    "▉": "#",
    "▐": "|",
    # Letters that do not come apart into a plain one and an accent.
    **dict(zip("ÆæØøŁłĐđßÞþÐðıŒœ", "AaOoLlDdsTtDdiOo", strict=True)),
}
_BRAILLE: Final = 0x2800
_DOTS: Final = ((0, 0), (0, 1), (0, 2), (1, 0), (1, 1), (1, 2), (0, 3), (1, 3))
"""Column and row of each dot of a braille cell, by its bit."""


def in_plain_letters(text: str) -> str:
    """Return text in ASCII that takes as many cells: signs by their likeness, letters without their accents,
    all else as `?`."""
    if text.isascii():
        return text
    cells = cell_len(text)
    plain = "".join(map(_plain, text))
    return plain[:cells].ljust(cells, "?")


@lru_cache(maxsize=4096)
def _plain(character: str) -> str:
    """Return as many plain characters as a character takes cells."""
    if character.isascii():
        return character
    if character in _SIGNS:
        return _SIGNS[character]
    if 0 <= ord(character) - _BRAILLE < 256:
        return _by_dots(ord(character) - _BRAILLE)
    if 0x2500 <= ord(character) < 0x2580:
        return _by_strokes(unicodedata.name(character))
    if 0x2580 <= ord(character) < 0x25A0:
        return "#"
    letter = unicodedata.normalize("NFKD", character)[0]
    return (letter if letter.isascii() and letter.isprintable() else "?").ljust(cell_len(character), "?")[
        : cell_len(character)
    ]


def _by_strokes(name: str) -> str:
    """Return what stands for a character of lines and corners."""
    across = any(way in name for way in ("HORIZONTAL", "LEFT", "RIGHT"))
    upright = any(way in name for way in ("VERTICAL", "UP", "DOWN"))
    if across and upright:
        return "+"
    if upright:
        return "|"
    return "=" if "DOUBLE" in name else "-"


def _by_dots(bits: int) -> str:
    """Return what is most like the dots of a braille cell: a stroke in its place and its slope."""
    dots = [dot for bit, dot in enumerate(_DOTS) if bits >> bit & 1]
    if not dots:
        return " "
    if len(dots) >= 7:
        return "#"
    rows = [row for _column, row in dots]
    if max(rows) - min(rows) < 2:
        return _flat(sum(rows) / len(rows), dots)
    left, right = ([row for column, row in dots if column == side] for side in (0, 1))
    if not left or not right:
        return "|"
    rise = sum(left) / len(left) - sum(right) / len(right)
    if abs(rise) < 0.75:
        return "|" if len(dots) < 6 else "#"
    return "/" if rise > 0.0 else "\\"


def _flat(height: float, dots: list[tuple[int, int]]) -> str:
    """Return what stands for dots in one row or two that touch, by how far down they lie, 0 to 3."""
    if height < 0.25:
        return '"' if len(dots) > 1 else "'"
    if height < 1.0:
        highest = min(dots, key=lambda dot: dot[1])
        return "`" if len(dots) > 1 and highest[0] == 0 else "'"
    if height <= 2.0:
        return "-"
    if height < 3.0:
        return "."
    return "_" if len(dots) > 1 else "."


class PlainLetters(LineFilter):
    """Puts every row of the screen into ASCII, whichever widget drew it."""

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:
        return [
            segment if segment.control else Segment(in_plain_letters(segment.text), segment.style)
            for segment in segments
        ]


def with_plain_letters(filters: Sequence[LineFilter], plain: bool) -> Sequence[LineFilter]:
    """Return the filters of an app, with that for plain letters last where they are asked for."""
    return [*filters, PlainLetters()] if plain else filters
