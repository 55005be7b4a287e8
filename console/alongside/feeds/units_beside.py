"""The unit that stands beside a number in a plain line, where one is named: behind it, or in front with its
name."""

import re
from typing import Final

from alongside.stay.unit_words import LONGEST_WORD, factor, is_unit_word

NONE_BESIDE: Final = 0.0
"""No unit is named."""

_BEHIND: Final = re.compile(rb"([ \t]?)([A-Za-z%'\"\xb0\xb5][A-Za-z2/]{0,9}|'|\")(?![A-Za-z0-9])")
_OWN_COLUMN: Final = re.compile(rb"[ \t]*[;,|\t][ \t]*\"?([A-Za-z%\xb0/2]{2,10})\"?[ \t]*(?=[;,|\t\r\x03]|$)")
_IN_FRONT: Final = re.compile(rb"[(\[_]([A-Za-z%\xb0/2]{1,10})[)\]]?[\"']?[ \t]*[:=]?[ \t]*\Z")
_REACH: Final = LONGEST_WORD + 6
_AFTER_BLANK: Final = frozenset("mMt'\"\xb0%")
_IN_FRONT_OF_IT: Final = frozenset("mMt")
"""One letter by itself may mean anything (F is forward, A is aft); only these are read as units there."""
_TRUE: Final = frozenset("TD")
"""Behind an angle: true, degrees."""
_OPEN: Final = frozenset("fF")
"""Close behind a number: feet or fathoms, nobody knows."""


def beside(line: bytes, start: int, end: int, unit: str) -> float | None:
    """Return what brings the number at start:end to `unit` by the unit named beside it; NONE_BESIDE where
    none is named, None where it is one of something else, or two are named that differ."""
    found = {
        _factor(unit, word)
        for word in _words(line, start, end)
        if is_unit_word(word) or word in (_OPEN | _TRUE)
    }
    if not found:
        return NONE_BESIDE
    return found.pop() if len(found) == 1 else None


def _factor(unit: str, word: str) -> float | None:
    return 1.0 if unit == "deg" and word in _TRUE else factor(unit, word)


def _words(line: bytes, start: int, end: int) -> list[str]:
    """Return the words that stand where units do."""
    words: list[str] = []
    behind = line[end : end + _REACH].replace(b"\xc2\xb0", b"\xb0").replace(b"\xc2\xb5", b"\xb5")
    if near := _BEHIND.match(behind):
        word = near[2].decode("latin-1")
        if len(word) > 1 or not near[1] or word in _AFTER_BLANK:
            words.append(word)
    elif column := _OWN_COLUMN.match(behind):
        words.append(column[1].decode("latin-1"))
    front = line[max(0, start - _REACH) : start].replace(b"\xc2\xb0", b"\xb0")
    if named := _IN_FRONT.search(front):
        word = named[1].decode("latin-1")
        if len(word) > 1 or word in _IN_FRONT_OF_IT:
            words.append(word)
    return words
