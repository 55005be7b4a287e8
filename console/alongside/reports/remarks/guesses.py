"""Values of a stay file that are guesses: each with its spread, where it comes from, and what the spread does
to the worst line."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import floor, isfinite, log10
from typing import Final

from alongside.errors import Fault, WrongInput
from alongside.reports.remarks.alike import LINE, line_words
from alongside.reports.remarks.worst_line import WorstLine, same_line, worst_line
from alongside.stay.model import Display, Guess, Stay
from alongside.stay.places import Places
from alongside.stay.read import read_stay
from alongside.wording.figures import figure, force_range, force_text, percent, percent_range
from alongside.wording.safe import safe

MOST_TRIED: Final = 40
"""Guesses whose effect is worked out: each costs two stays."""
LENGTHS: Final = ("m", "deg", "s")
"""Units whose spread is said as it is, not as a part."""


@dataclass(frozen=True, slots=True)
class _Alike:
    """Guesses that are one: of one place that aliases repeat, or of one cause in several places."""

    first: Guess
    place: tuple[str, int, int]
    paths: tuple[str, ...]
    places: int


def guess_rows(stay: Stay) -> tuple[Fault, ...]:
    """Return the guesses of a stay at their places with what the ends of their spread do to the worst line:
    first the one that does most, last those that change nothing and, in the order of the file, those whose
    effect is not known. Raises OSError where the file cannot be read any more."""
    if not stay.guesses:
        return ()
    groups = _grouped(stay)
    worst = worst_line(stay)
    rows = []
    for at, group in enumerate(groups):
        ends = _ends(stay, group, worst) if worst is not None and at < MOST_TRIED else None
        text = f"guess: {_in_words(group, stay)}{_effect(stay, worst, ends)}"
        rows.append((-_size(stay, worst, ends), Fault(*group.place, group.first.path, text)))
    return tuple(row for _, row in sorted(rows))


def _size(stay: Stay, worst: WorstLine | None, ends: tuple[WorstLine, WorstLine] | None) -> float:
    """Return how far the stretch of the worst line ranges, a share; 0 where what is shown does not change, -1
    where it is not known."""
    if worst is None or ends is None:
        return -1.0
    low, high = _range([each.stretch_share for each in (worst, *ends)])
    return high - low if isfinite(high - low) and any(_changes(stay, (worst, *ends))) else 0.0


def _grouped(stay: Stay) -> list[_Alike]:
    places = Places.of(stay.file)
    groups: dict[tuple[object, ...], _Alike] = {}
    for guess in stay.guesses:
        place, key = places.at(guess.path), guess.path.rpartition(".")[2]
        same = (key, guess.value, guess.spread, guess.unit, guess.source)
        known = groups.get(same)
        if known is None:
            groups[same] = _Alike(guess, place, (guess.path,), 1)
        else:
            more = known.places + (place != known.place)
            groups[same] = _Alike(known.first, known.place, (*known.paths, guess.path), more)
    return list(groups.values())


def _ends(stay: Stay, group: _Alike, worst: WorstLine) -> tuple[WorstLine, WorstLine] | None:
    """Return the worst line with the guess at the low and at the high end of its spread; None where a stay of
    one of them cannot be."""
    try:
        low, high = (same_line(read_stay(stay.file, _moved(group, end)), worst.line) for end in (-1.0, 1.0))
    except WrongInput:
        return None
    return low, high


def _moved(group: _Alike, end: float) -> Mapping[str, float]:
    return dict.fromkeys(group.paths, end)


def _in_words(group: _Alike, stay: Stay) -> str:
    guess, display = group.first, stay.display
    value, spread = _figure(guess.value, guess.unit, display), percent(guess.share)
    if guess.unit in LENGTHS or not isfinite(guess.share) or not guess.unit:
        spread = _figure(guess.spread, guess.unit, display)
    alike = f", {group.places} alike" if group.places > 1 else ""
    found = [match for match in map(LINE.match, group.paths) if match is not None]
    lines = f", {line_words(stay, [int(match[1]) for match in found])}" if found else ""
    return f"{value} ± {spread} ({safe(guess.source)}){alike}{lines}"


def _figure(value: float, unit: str, display: Display) -> str:
    """Return a value with its unit, in three figures where it is small."""
    if unit == "kN":
        return force_text(value, display)
    digits = max(0, 2 - floor(log10(abs(value)))) if value else 0
    text = figure(value, min(digits, 2 if unit in LENGTHS else 3))
    return f"{text} {unit}".rstrip()


def _effect(stay: Stay, worst: WorstLine | None, ends: tuple[WorstLine, WorstLine] | None) -> str:
    """Return `; worst line 4: stretch 71 to 78 %, 21 to 25 t`, or that nothing changes."""
    if worst is None or ends is None:
        return ""
    parts = list(_changes(stay, (worst, *ends)))
    line = safe(stay.lines[worst.line].id)
    return f"; worst line {line}: {', '.join(parts)}" if parts else f"; worst line {line}: no change"


def _changes(stay: Stay, states: tuple[WorstLine, ...]) -> Iterator[str]:
    """Yield the ranges of stretch and load over some states, those that are ranges."""
    stretch = percent_range(*_range([each.stretch_share for each in states]))
    load = force_range(*_range([each.tension_kn for each in states]), stay.display)
    if _is_range(stretch):
        yield f"stretch {stretch}"
    if _is_range(load):
        yield f"load {load}"


def _range(values: list[float]) -> tuple[float, float]:
    return min(values), max(values)


def _is_range(text: str) -> bool:
    low, _, rest = text.partition(" to ")
    return bool(text) and low != rest.split(" ")[0]
