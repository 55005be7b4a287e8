"""The answer of the command `ahead`, as rows to read."""

from collections.abc import Sequence
from typing import Final

import numpy as np

from alongside.forecast.model import Forecast, LimitAhead, Spread
from alongside.forecast.ship_changes import ship_changes
from alongside.forecast.what_if import WhatIf
from alongside.forecast.words import NONE_EXPECTED, TITLES, AheadWords, limit_name
from alongside.readings import Floats
from alongside.stay.model import Stay
from alongside.stay.stage import Stage
from alongside.wording.figures import figure, percent
from alongside.wording.marks import MARKS, NOT_KNOWN
from alongside.wording.names import condition, what_gives
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
        *_tending_rows(forecast, words),
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


def _tending_rows(forecast: Forecast, words: AheadWords) -> list[str]:
    rows: list[str] = []
    number, title = 0, ""
    for kind, text in words.tending(forecast):
        if kind == "unknown":
            continue  # stands above the limits
        if kind == "round":
            number += 1
            moves, *then = text.split("; ")
            rows += [f"round {number}: {moves}", *(f"  {part}" for part in then)]
            continue
        if kind in TITLES:
            if TITLES[kind] != title:
                rows.append(f"{TITLES[kind]}:")
            text = f"  {text}"
        title = TITLES.get(kind, "")
        rows.append(text)
    return rows


def what_if_rows(stay: Stay, other: WhatIf) -> list[str]:
    """Return all lines now and in the hours ahead, as things stand and with the changes."""
    words = AheadWords(stay.display, other.changed.time)
    rows = ["", f"What if: {safe(other.words)}", ""]
    if other.changed.reason:
        return [*rows, f"No look ahead with this change: {other.changed.reason}"]
    rows.append(f"{'line':<8}{'stretch now':>20}{'highest ahead':>20}{'first warning':>26}")
    before, after = other.as_it_stands, other.changed
    for k, line in enumerate(other.lines):
        now = _change(
            _now(other.now.stretch_share[0, k], before, line),
            _now(other.then.stretch_share[0, k], after, line),
        )
        most = _change(percent(_highest(before, k)), percent(_highest(after, k)))
        first = _change(_first_warning(before, line, words), _first_warning(after, line, words))
        rows.append(f"{safe(line):<8}{now:>20}{most:>20}{first:>26}")
    rounds = [*words.not_known(after), *_tending_rows(after, words)]
    return [*rows, *_ship_rows(other, words), "", "Rounds with this change", *rounds]


def _now(share: float, forecast: Forecast, line: str) -> str:
    """Return a stretch share; where nothing is known of the line, why."""
    return dict(forecast.without).get(line) or percent(share)


def _ship_rows(other: WhatIf, words: AheadWords) -> list[str]:
    """Return what the ship as a whole is expected to reach before and with the changes."""
    rows = [
        f"  {condition(change.cause, change.subject, None):<32}"
        f"{_change(_reached(change.before, words), _reached(change.after, words))}"
        for change in ship_changes(other.as_it_stands.limits, other.changed.limits)
    ]
    title = "Ship, first time of the worst stage expected"
    return ["", title, *(rows or ["  no warning before, none with this change"])]


def _reached(limit: LimitAhead | None, words: AheadWords) -> str:
    text = words.reached(limit)
    return text if limit is None or text == NONE_EXPECTED else f"{MARKS[limit.stage]} {text}"


def _first_warning(forecast: Forecast, line: str, words: AheadWords) -> str:
    times = [
        limit.expected
        for limit in forecast.limits_of(line)
        if limit.stage >= Stage.WARNING and limit.expected is not None
    ]
    if line in dict(forecast.without):
        return NOT_KNOWN
    return words.clock(min(times)) if times else NONE_EXPECTED


def _change(before: str, after: str) -> str:
    return f"{before} -> {after}"


def _highest(forecast: Forecast, k: int) -> float:
    """Return the highest stretch share of line k that is expected; NaN where none is known."""
    shares: Floats = forecast.stretch_share[:, k]
    known = shares[~np.isnan(shares)]
    return float(known.max()) if known.size else float("nan")
