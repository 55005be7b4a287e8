"""Which of two stays holds her better, in a sentence.

What is lost goes first: holding square off the berth, from the weakest direction, contact with the fenders,
then rounds, then the comfort of the lines. The first of them that differs decides.
"""

from collections.abc import Callable
from typing import Final

import numpy as np

from alongside.forecast.what_if.losses import LEAST_MS
from alongside.mechanics.holding_search import CAP_MS
from alongside.reports.compared_sides import Side, file_names, incurable_lines, square_off
from alongside.wording.figures import held_speed, percent

LEAST_STRETCH: Final = 0.005


def judgement(one: Side, other: Side) -> str:
    """Return which of two holds her better, by the first thing in which they differ, and by how much."""
    sides, names = (one, other), file_names((one, other))
    for side, name in zip(sides, names, strict=True):
        if side.holding is None:
            return f"NOT KNOWN which holds her better: {name}: {_why_not_held(side)}"
    for what, values, word, least in _measures(sides):
        if abs(values[0] - values[1]) > least:
            better = 0 if values[0] > values[1] else 1
            texts = [word(value) for value in values]
            worse = f"WORSE: {names[1 - better]}: {what} {texts[1 - better]}"
            return f"{worse}, {names[better]} {texts[better]}"
    return "NO DIFFERENCE in what holds her, in rounds and in what the lines carry"


Measure = tuple[str, tuple[float, float], Callable[[float], str], float]
"""What, of either side as a number of which more is better, in words, and the least that is a difference."""


def _measures(sides: tuple[Side, Side]) -> list[Measure]:
    """Return what is compared, what is lost first at the head."""
    display = sides[0].basis.stay.display

    def wind(ms: float) -> str:
        return held_speed(ms, display, CAP_MS) if ms > 0.0 else "over a limit in calm"

    def both(of: Callable[[Side], float]) -> tuple[float, float]:
        return of(sides[0]), of(sides[1])

    return [
        ("lines hold square off the berth", both(_holds_square_off), wind, LEAST_MS),
        ("lines hold from the weakest direction", both(_holds_least), wind, LEAST_MS),
        ("off fenders from", both(_contact_least), wind, LEAST_MS),
        (
            "lines that no length serves",
            both(lambda side: -float(len(incurable_lines(side)))),
            lambda value: f"{-value:.0f}",
            0.5,
        ),
        (
            "tending rounds",
            both(lambda side: -float(len(side.forecast.tending.rounds))),
            lambda value: f"{-value:.0f}",
            0.5,
        ),
        (
            "highest stretch",
            both(lambda side: -_most_stretch(side)),
            lambda value: percent(-value),
            LEAST_STRETCH,
        ),
    ]


def _holds_square_off(side: Side) -> float:
    assert side.holding is not None, "asked before"
    return float(side.holding.holds_ms[square_off(side, side.holding)])


def _holds_least(side: Side) -> float:
    assert side.holding is not None, "asked before"
    return float(side.holding.holds_ms.min())


def _contact_least(side: Side) -> float:
    assert side.holding is not None, "asked before"
    return float(side.holding.contact_ms.min())


def _most_stretch(side: Side) -> float:
    shares = side.forecast.stretch_share
    return 0.0 if np.isnan(shares).all() else float(np.nanmax(shares))


def _why_not_held(side: Side) -> str:
    arrangement = side.basis.arrangement
    if not len(arrangement.fenders):
        return "no fenders at the berth"
    return "wind areas of the ship not given" if arrangement.exposure.wind is None else "holding not known"
