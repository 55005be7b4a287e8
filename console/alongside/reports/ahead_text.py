"""The answer of the command `ahead`, as rows to read."""

from collections.abc import Sequence
from typing import Final

import numpy as np

from alongside.forecast.model import Forecast, LimitAhead, Spread
from alongside.forecast.words import ROUNDS, TITLES, AheadWords, limit_name
from alongside.stay.model import Stay
from alongside.wording.figures import figure
from alongside.wording.marks import MARKS
from alongside.wording.names import what_gives
from alongside.wording.safe import safe
from alongside.wording.times import DayClock

ROWS: Final = 13
"""Rows of the table of tide and draughts to come."""
NAME: Final = 34
"""Columns of what reaches a limit."""


def ahead_rows(stay: Stay, forecast: Forecast) -> list[str]:
    """Return a forecast as rows: tide and draughts, limits to come, rounds, and what cannot be cured."""
    words = AheadWords(stay.display, forecast.time)
    begin = DayClock(stay.display, forecast.time).whole(forecast.time)
    until = words.clock(float(forecast.times[-1]))
    return [
        f"{safe(stay.name)}: from {begin} to {until}, {forecast.members} cases",
        *(f"  {safe(note)}" for note in forecast.notes),
        "",
        *_water_rows(forecast, words),
        "",
        *_limit_rows(forecast, words),
        "",
        *tending_rows(forecast, words),
    ]


def _water_rows(forecast: Forecast, words: AheadWords) -> list[str]:
    columns = [("tide", forecast.tide), ("fwd", forecast.draught_fwd), ("aft", forecast.draught_aft)]
    columns += [("UKC", forecast.under_keel), ("rail over quay", forecast.rail_over_quay)]
    known = [(name, spread) for name, spread in columns if spread.known]
    last = forecast.times.size - 1
    shown = np.unique(np.linspace(0, last, min(ROWS, last + 1)).round().astype(int))
    clocks = [words.clock(float(forecast.times[row])) for row in shown]
    width = max(12, *map(len, clocks))
    rows = [f"{'time':>{width}}" + "".join(f"  {name + ' m':>20}" for name, _ in known)]
    for row, clock in zip(shown, clocks, strict=True):
        cells = "".join(f"  {_range(spread, row):>20}" for _, spread in known)
        rows.append(f"{clock:>{width}}{cells}")
    return rows


def _range(spread: Spread, row: int) -> str:
    """Return `4.42 (4.20 to 4.63)`; a dash where it is not known."""
    expected, low, high = (figure(float(of[row]), 2) for of in (spread.expected, spread.low, spread.high))
    return f"{expected} ({low} to {high})" if np.isfinite(spread.expected[row]) else expected


def _limit_rows(forecast: Forecast, words: AheadWords) -> list[str]:
    rows = words.not_known(forecast)
    if not forecast.limits:
        if len(forecast.without) == len(forecast.lines):
            return rows
        others = " by the other lines" if forecast.without else ""
        known = "as far as is known" if words.unknown_after(forecast) else "in these hours"
        return [*rows, f"No limit is reached{others} {known}"]
    times = [_times(limit, words) for limit in forecast.limits]
    width = max(13, *(len(text) for row in times for text in row)) + 1
    heads = f"{'not before':>{width}}{'expected':>{width}}{'no later':>{width + 1}}"
    rows.append(f"{'limit, lengths as they are':<{NAME}}{heads}")
    return rows + _limits(forecast.limits, words, width)


def _limits(limits: Sequence[LimitAhead], words: AheadWords, width: int) -> list[str]:
    """Return a row each, and what gives first; each of the times in so many cells."""
    rows: list[str] = []
    shown = ""
    for limit in limits:
        what = f"{MARKS[limit.stage]} {limit_name(limit)} {limit.stage.word}"
        early, middle, late = _times(limit, words)
        rows.append(f"{what:<{NAME}}{early:>{width}}{middle:>{width}}{late:>{width + 1}}".rstrip())
        weak = what_gives(limit.weak.gives, limit.weak.where)
        if weak and weak != shown:
            rows.append(f"    gives first: {weak}")
            shown = weak
    return rows


def _times(limit: LimitAhead, words: AheadWords) -> tuple[str, str, str]:
    if limit.standing:
        return "now", "", ""
    middle = "not expected" if limit.expected is None else words.clock(limit.expected)
    late = "perhaps never" if limit.no_later is None else words.clock(limit.no_later)
    return words.clock(limit.not_before), middle, late


def tending_rows(forecast: Forecast, words: AheadWords) -> list[str]:
    rows: list[str] = []
    number, title = 0, ""
    for kind, text in words.tending(forecast):
        if kind == "unknown":
            continue  # stands above the limits
        if kind in ROUNDS:
            number += 1
            moves, *then = text.split("; ")
            rows += [f"round {number}: {moves}", *(f"  {part}" for part in then)]
            continue
        if kind == "metres":
            text = f"  {text}"
        if kind in TITLES:
            if TITLES[kind] != title:
                rows.append(f"{TITLES[kind]}:")
            text = f"  {text}"
        title = TITLES.get(kind, "")
        rows.append(text)
    return rows
