"""How many cells of a terminal a text takes."""

from itertools import accumulate
from unicodedata import combining, east_asian_width


def cells(text: str) -> int:
    """Return the cells of a text: two for a wide character, none for one that stands on that before it."""
    return len(text) if text.isascii() else sum(map(_cells, text))


def within_cells(text: str, room: int) -> str:
    """Return as much of the start of a text as has room in so many cells."""
    return "".join(
        character for character, end in zip(text, accumulate(map(_cells, text)), strict=True) if end <= room
    )


def _cells(character: str) -> int:
    return 0 if combining(character) else 2 if east_asian_width(character) in "WF" else 1
