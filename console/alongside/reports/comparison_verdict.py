"""Which of two stays holds her better, in a sentence.

What is lost goes first: holding square off the berth, from the weakest direction, contact with the fenders,
then rounds, then the comfort of the lines. The first of them that differs decides.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from alongside.forecast.what_if.losses import LEAST_MS
from alongside.mechanics.holding_search import CAP_MS
from alongside.reports.compared_figures import Held, SideFigures
from alongside.stay.model import Display
from alongside.wording.figures import held_speed, percent
from alongside.wording.names import what_holds
from alongside.wording.safe import safe

LEAST_STRETCH: Final = 0.005
Measure = tuple[str, tuple[float, float], Callable[[int], str], float]
"""What, of either side as a number of which more is better, in words by the side, and the least that is a
difference."""


@dataclass(frozen=True, slots=True)
class Judgement:
    """The word, the sentence, and which of the two is the worse, None where neither is."""

    word: str
    sentence: str
    worse: int | None = None


def judgement(one: SideFigures, other: SideFigures, display: Display) -> Judgement:
    """Return which of two holds her worse, by the first thing in which they differ, and by how much."""
    sides = (one, other)
    for side in sides:
        if side.why_not:
            text = f"NOT KNOWN which holds her better: {side.file}: {side.why_not}"
            return Judgement("NOT KNOWN", text)
    for what, values, words, least in _measures(sides, display):
        if abs(values[0] - values[1]) > least:
            worse = 0 if values[0] < values[1] else 1
            if sides[worse].breasts and not sides[1 - worse].breasts:
                return _no_breast(sides, 1 - worse)
            lost, kept = (f"{sides[at].file}: {words(at)}" for at in (worse, 1 - worse))
            return Judgement("WORSE", f"WORSE: {lost}; {kept}{what}", worse)
    return Judgement(
        "NO DIFFERENCE", "NO DIFFERENCE in what holds her, in rounds and in what the lines carry"
    )


def _no_breast(sides: tuple[SideFigures, SideFigures], worse: int) -> Judgement:
    """Return that a set without a breast is the worse, though its first line goes later: short breasts take
    the load of the wind first, and without them nothing takes it square."""
    lost, kept = sides[worse].file, sides[1 - worse]
    text = f"WORSE: {lost}: no breast line; {kept.file}: breast lines {', '.join(map(safe, kept.breasts))}"
    return Judgement("WORSE", text, worse)


def _measures(sides: tuple[SideFigures, SideFigures], display: Display) -> list[Measure]:
    """Return what is compared, what is lost first at the head."""

    def held(pair: tuple[Held | None, Held | None], what: str) -> Measure:
        return (
            what,
            (_ms(pair[0]), _ms(pair[1])),
            lambda at: held_words(pair[at], display),
            LEAST_MS,
        )

    def counted(values: tuple[float, float], word: Callable[[float], str], least: float) -> Measure:
        return "", (-values[0], -values[1]), lambda at: word(values[at]), least

    one, other = sides
    contact = tuple(0.0 if side.contact is None else side.contact.ms for side in sides)
    stretch = tuple(0.0 if side.stretch is None else side.stretch.value for side in sides)
    return [
        held((one.square_off, other.square_off), " (wind square off the berth)"),
        held((one.weakest, other.weakest), " (wind from the weakest direction)"),
        (
            "",
            (contact[0], contact[1]),
            lambda at: f"off fenders from {held_speed(contact[at], display, CAP_MS)}",
            LEAST_MS,
        ),
        counted(
            (len(one.incurable), len(other.incurable)), lambda n: f"{n:.0f} lines that no length serves", 0.5
        ),
        counted((one.rounds, other.rounds), lambda n: f"{n:.0f} tending rounds", 0.5),
        counted((stretch[0], stretch[1]), lambda share: f"highest stretch {percent(share)}", LEAST_STRETCH),
    ]


def _ms(held: Held | None) -> float:
    assert held is not None, "asked before"
    return held.ms


def held_words(held: Held | None, display: Display) -> str:
    """Return `lines hold 51 kn`; where it is her place that is lost first, `ship off place from 21 kn`."""
    assert held is not None, "asked before"
    if held.ms <= 0.0:
        return "over a limit in calm"
    return f"{what_holds(held.gives)} {held_speed(held.ms, display, CAP_MS)}"
