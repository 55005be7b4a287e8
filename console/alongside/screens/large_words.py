"""A headline in the largest letters that its room has: names of lines that are long, or have characters
without a shape, stand beside its words in common letters."""

from collections.abc import Sequence
from itertools import groupby
from typing import Final

from rich.cells import cell_len

from alongside.cycle.advice.headlines import LINE_HEADLINES
from alongside.screens.letters import can_be_large, large

WORDS: Final = frozenset(" ".join(LINE_HEADLINES).replace("{}", "").split())
"""Words of headlines that name lines; what else stands in these is names, counts and metres."""


def large_words(forms: Sequence[str], room: int, *, double: bool = False) -> list[str] | None:
    """Return the rows of the first form of a headline that is wholly large in at most `room` cells, at double
    size where asked and where it fits; else of the first with its names beside it; None where none is."""
    sizes = (True, False) if double else (False,)
    for draw in (_all_large, _names_beside):
        for form in forms:
            for size in sizes:
                rows = draw(form, double=size)
                if rows and max(map(cell_len, rows)) <= room:
                    return rows
    return None


def _all_large(text: str, *, double: bool) -> list[str]:
    """Return the rows of a text in large letters; none where a character has no shape."""
    return large(text, double=double) if text and can_be_large(text) else []


def _names_beside(text: str, *, double: bool) -> list[str]:
    """Return the rows with the words of the closed list large and all else in common letters, in the middle
    row; none where no word is of the list."""
    runs = [(of_list, " ".join(run)) for of_list, run in groupby(text.split(" "), WORDS.__contains__)]
    if not any(of_list for of_list, _ in runs):
        return []
    blocks = [large(run, double=double) if of_list else _in_the_middle(run, double) for of_list, run in runs]
    return ["  ".join(parts) for parts in zip(*blocks, strict=True)]


def _in_the_middle(text: str, double: bool) -> list[str]:
    """Return as many rows as a large letter has, the text in the middle one."""
    count = len(large("A", double=double))
    return [text if row == count // 2 else " " * cell_len(text) for row in range(count)]
