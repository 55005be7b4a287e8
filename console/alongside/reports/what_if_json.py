"""The answer to a what-if for other programs; its keys and units stand in the manual, page `outputs`."""

from math import isfinite
from typing import Final

from alongside.forecast.what_if.answer import LineNow, WhatIf
from alongside.forecast.what_if.losses import Figure, LineSet
from alongside.forecast.what_if.sentences import verdict_sentence
from alongside.forecast.worst_wind import WorstWind
from alongside.units import iso_time

NAMES: Final = {
    "square_off": "holds_square_off_ms",
    "holds": "holds_ms",
    "wind_share": "wind_share",
    "wind_ahead": "wind_share_ahead",
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
        **_worst_winds(other),
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


def _worst_winds(other: WhatIf) -> dict[str, object]:
    """Return the wind of the hours ahead that is most by what is held, with the changes and without them."""
    both = next((each.worst_wind for each in other.figures if each.name == "wind_ahead"), (None, None))
    return {"worst_wind": _worst(both[1]), "worst_wind_as_it_stands": _worst(both[0])}


def _worst(worst: WorstWind | None) -> dict[str, object] | None:
    if worst is None:
        return None
    return {
        "time": iso_time(worst.time),
        "wind_ms": number_or_null(worst.wind_ms),
        "from_deg": number_or_null(worst.from_deg),
        "holds_ms": number_or_null(worst.holds_ms),
        "share": number_or_null(worst.share),
        "gives_first": worst.weak.gives,
        "where": worst.weak.where,
        "forecast": worst.forecast,
        "too_tight": None if worst.tight is None else iso_time(worst.tight[0]),
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
