"""Fenders as they are typed: kind and size, or stiffness, and where along the quay."""

import re
from typing import Final

from alongside.reports.new_stay.question import Question, Typed
from alongside.reports.new_stay.typed_bollards import ALONG
from alongside.reports.new_stay.typed_figures import meant_of
from alongside.reports.new_stay.values import Row, Value, number_of, read_number, word_of
from alongside.stay.fender_kinds import KINDS, fender_stiffness, in_words
from alongside.stay.fields import number
from alongside.wording.safe import safe

STIFFNESS: Final = number("kN/m", above=0)
SIZE: Final = number("m", least=0.2, most=6)
MOST_FENDERS: Final = 200


def fender_row(question: Question, typed: Typed) -> Row:
    """Return fenders of one kind: `cone 1.2 -33 22`, `2600 -33 22`, `tyre 1.0 18 to 80 every 15.5`."""
    words = typed.text.split()
    if words == ["none"]:
        return {"kind": "none"}
    if len(words) < 2:
        raise typed.refuse(f"{safe(typed.text)!r} names no fenders", _FENDERS_EXPECTED)
    row: dict[str, Value | str] = {}
    kind = meant_of(*KINDS)(words[0], "kind")
    if kind in KINDS:
        row["kind"], row["size"] = kind, read_number(SIZE, words[1], f"size of a {kind}", typed.source)
        places = words[2:]
    elif re.fullmatch(r"~?[\d.]+(/.*)?", words[0]):
        row["stiffness"] = read_number(STIFFNESS, words[0], "stiffness", typed.source)
        places = words[1:]
    else:
        raise typed.refuse(f"there is no kind {safe(words[0])}", _FENDERS_EXPECTED)
    row["at"] = " ".join(f"{each:.7g}" for each in _places(typed, places))
    return row


_FENDERS_EXPECTED: Final = (
    f"a kind ({', '.join(KINDS)}) and its size, or kN/m, then m along from the first bollard; or none"
)


def _places(typed: Typed, words: list[str]) -> list[float]:
    if len(words) == 5 and words[1] == "to" and words[3] == "every":
        low, high, step = (read_number(ALONG, words[at], "fender", "").number for at in (0, 2, 4))
        if not 0.0 < step <= high - low or (high - low) / step > MOST_FENDERS:
            raise typed.refuse("fenders: the spacing does not fit", "such as 18 to 80 every 15.5")
        return [low + step * at for at in range(int((high - low) / step + 1e-6) + 1)]
    if not words:
        raise typed.refuse("where are the fenders: nothing given", "m along from the first bollard, each")
    return [read_number(ALONG, word, "fender", "").number for word in words]


def fender_words(row: Row) -> str:
    """Return what fenders of a row are, for the comment beside them."""
    kind = word_of(row, "kind")
    return in_words(kind, number_of(row, "size")) if kind in KINDS else ""


def fender_stiffness_of(row: Row) -> float:
    """Return kN/m of the fenders of a row."""
    kind = word_of(row, "kind")
    return fender_stiffness(kind, number_of(row, "size")) if kind in KINDS else number_of(row, "stiffness")
