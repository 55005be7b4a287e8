"""The answer to a what-if for other programs; its keys and units stand in the manual, page `outputs`."""

from math import isfinite
from typing import Final

from alongside.forecast.what_if.answer import LineNow, WhatIf
from alongside.forecast.what_if.losses import Figure, LineSet
from alongside.forecast.what_if.sentences import verdict_sentence

NAMES: Final = {
    "square_off": "holds_square_off_ms",
    "holds": "holds_ms",
    "wind_share": "wind_share",
    "contact": "contact_ms",
    "off_fenders": "off_fenders_m",
    "drift": "off_place_m",
}


def what_if_object(other: WhatIf) -> dict[str, object]:
    """Return the changes, the verdict, and what holds her now before and after; not known is null."""
    return {
        "changes": other.words,
        "verdict": other.verdict.word.value,
        "sentence": verdict_sentence(other),
        "figures": [_figure(each) for each in other.figures],
        "line_sets": [_set(each) for each in other.sets],
        "lines_now": [_line(each) for each in other.lines],
    }


def _figure(each: Figure) -> dict[str, object]:
    return {
        "name": NAMES[each.name],
        "before": number_or_null(each.before),
        "after": number_or_null(each.after),
        "effect": each.effect.value,
        "from_deg": number_or_null(each.from_deg[1]),
        "gives_first": each.gives[1],
        "where": each.where[1],
    }


def _set(each: LineSet) -> dict[str, object]:
    before, after = list(each.before), list(each.after)
    return {"name": each.name, "before": before, "after": after, "effect": each.effect.value}


def _line(each: LineNow) -> dict[str, object]:
    return {
        "id": each.line,
        "stretch_share": number_or_null(each.stretch_share[1]),
        "load_share": number_or_null(each.load_share[1]),
        "tension_kn": number_or_null(each.tension_kn[1]),
        "vertical_deg": number_or_null(each.vertical_deg[1]),
        "stretch_share_as_it_stands": number_or_null(each.stretch_share[0]),
        "load_share_as_it_stands": number_or_null(each.load_share[0]),
        "tension_kn_as_it_stands": number_or_null(each.tension_kn[0]),
    }


def number_or_null(value: float) -> float | None:
    """Return a number to six decimals; None where it is not known or has no end."""
    return round(float(value), 6) + 0.0 if isfinite(value) else None
