"""Headings of the columns of an export: how they are compared, and the unit that they name."""

import re
from typing import Final

from alongside.stay.unit_words import factor, is_unit_word

LONGEST: Final = 60
_NOT_KEPT: Final = re.compile(r"[=;\"$!\\\x00-\x1f\x7f]")
"""What means something where a row goes on record."""
_IN_BRACKETS: Final = re.compile(r"[(\[]\s*([^\s)\]]{1,10})(?:\s[^)\]]*)?[)\]]\s*\Z")
_LAST_WORD: Final = re.compile(r"[ _,]([A-Za-z%°/'\"]{1,8})\Z")
_ALONE: Final = frozenset("mM'\"°%")
"""Of one letter as the last word of a heading only these are units: F is forward, A aft."""


def heading(text: str) -> str:
    """Return a heading as it is compared: blanks are one, and marks that cannot go on record are `_`."""
    return " ".join(_NOT_KEPT.sub("_", text.replace("\t", " ")).split())


def unit_named(text: str, unit: str) -> str:
    """Return the unit that a heading names, as `Tide (ft)`, `Wind [kn]`, `level_cm`, `Draught, m` do; "" for
    none. `unit` is what the column is to be: one letter in brackets may stand for something else."""
    if bracket := _IN_BRACKETS.search(text):
        word = bracket[1]
        alone = len(word) > 1 or word in _ALONE or factor(unit, word) is not None
        return word if alone and is_unit_word(word) else ""
    last = _LAST_WORD.search(text)
    return last[1] if last and is_unit_word(last[1]) and (len(last[1]) > 1 or last[1] in _ALONE) else ""
