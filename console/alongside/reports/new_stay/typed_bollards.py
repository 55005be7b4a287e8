"""Bollards as they are typed: along the quay by paces or metres, heights as they were measured."""

import re
from typing import Final

from alongside.reports.new_stay.question import Question, Typed, read_figures
from alongside.reports.new_stay.sheet import Sheet, expected_name
from alongside.reports.new_stay.values import Row, Value, number_of, read_number, word_of
from alongside.stay.fields import number
from alongside.wording.safe import safe

ALONG: Final = number("m", least=-5000, most=5000)
_ALONG: Final = re.compile(
    r"(?:(?P<origin>[^\s;,+-][^\s;,+]*)?(?P<sign>[+-]))?(?P<far>~?\d+(?:\.\d+)?)(?P<unit>p|m)?(?P<spread>/.*)?"
)
_GUESSED: Final = re.compile(r"^~([^\s;,+-]*[+-])(?!~)")
"""`~+30p`, which is the same as `+~30p`."""
ALONG_EXPECTED: Final = (
    "m from the first bollard such as -18.5, from the one before +24 or +30p in paces, from another B3-12"
)
HEIGHTS: Final = {
    "cd": (),
    "water": ("tide",),
    "rail": ("tide", "draught_fwd", "draught_aft", "rail_z"),
    "pontoon": (),
}
"""How heights of bollards are measured, and what is needed beside."""


def heights_of(question: Question, typed: Typed) -> Row:
    """Return how heights are measured, with what that needs beside."""
    words = typed.text.split()
    way = str(question.figures[0].read(words[0] if words else "", ""))
    needed = HEIGHTS[way]
    figures = [question.figures[0], *(each for each in question.figures if each.name in needed)]
    return read_figures(figures, typed, words)


def bollard_row(question: Question, typed: Typed) -> Row:
    """Return a bollard: along the quay from the first, from the one before or from another."""
    words = typed.text.split()
    name = str(question.figures[0].read(words[0] if words else "", ""))
    known = [word_of(each, "name") for each in (*typed.sheet.all("bollards"), *typed.before)]
    if name in known:
        raise typed.refuse(f"bollard {safe(name)} stands in a row before", "another name for each")
    if len(words) < 2:
        raise typed.refuse("how far along: nothing given", ALONG_EXPECTED)
    along = _along(typed, words[1], known)
    rest = read_figures(question.figures[2:], typed, words[2:])
    return {"name": name, **along, **rest, **_height_of(typed, words)}


def _height_of(typed: Typed, words: list[str]) -> Row:
    """Return the bollard whose height serves where none is typed below her rail: the quay is level, her rail
    is not."""
    if len(words) > 3 or not typed.before or typed.sheet.word("heights", "way") != "rail":
        return {}
    last = typed.before[-1]
    return {"height_of": word_of(last, "height_of") or word_of(last, "name")}


def bollard_words(sheet: Sheet) -> dict[str, str]:
    """Return what a height is, and which way it is more, as they are measured."""
    way = sheet.word("heights", "way") or "cd"
    return {"asks": f"{BOLLARD_ASKS} Height: {HEIGHT_WORDS[way]}."}


BOLLARD_ASKS: Final = (
    "Where is a bollard in use: how far along to the right as one looks at the water, how far behind the "
    "fender face (or the edge), how high, and what is its SWL?"
)
HEIGHT_WORDS: Final = {
    "cd": "m above chart datum",
    "water": "m over the water then",
    "rail": "m below her rail abreast of it, with a minus above it; not typed: the quay is as high as at the "
    "bollard before",
    "pontoon": "m over the water that it rides on",
}


def _along(typed: Typed, text: str, known: list[str]) -> Row:
    match = _ALONG.fullmatch(_GUESSED.sub(r"\1~", text))
    if match is None:
        raise typed.refuse(f"along: {safe(text)!r} is no place", ALONG_EXPECTED)
    origin = match["origin"] or ""
    sign = match["sign"] or ""
    if origin and origin not in known:
        raise typed.refuse(
            f"along: there is no bollard {safe(origin)} before it", expected_name(known, origin)
        )
    if sign and not origin and (sign == "+" or match["unit"] == "p") and not known:
        raise typed.refuse("along: this is the first bollard", "0, or m from a point that you count from")
    if sign == "+" and not origin:
        origin = known[-1]
    if match["unit"] == "p" and not origin:
        origin = known[-1] if known else ""
        if not origin:
            raise typed.refuse("along: paces from where", "0 for the first bollard")
    pace = typed.sheet.number("quay", "pace")
    if match["unit"] == "p" and not pace > 0.0:
        raise typed.refuse("along: paces of what length is not known", "m, or go back and give your pace")
    return _from(typed, match, origin, pace)


def _from(typed: Typed, match: "re.Match[str]", origin: str, pace: float) -> Row:
    minus = "-" if match["sign"] == "-" else ""
    far, paced = match["far"], match["unit"] == "p"
    text = (f"~{minus}{far[1:]}" if far.startswith("~") else f"{minus}{far}") + (match["spread"] or "")
    value = read_number(ALONG, text, "along", typed.source)
    if paced:
        metres = value.number * pace
        paces = f"{metres:.4g}" if value.spread else f"{value.text} paces"
        value = Value(metres, paces, value.spread, value.source)
    return {"along": value, **({"from": origin} if origin else {})}


def bollard_x(sheet: Sheet) -> dict[str, float]:
    """Return m along the berth of each bollard, from the first one's count."""
    known = sheet.known_berth
    if known is not None:
        return {name: each.at.x for name, each in known.bollards.items()}
    places: dict[str, float] = {}
    for row in sheet.all("bollards"):
        places[word_of(row, "name")] = places.get(word_of(row, "from"), 0.0) + number_of(row, "along")
    return places
