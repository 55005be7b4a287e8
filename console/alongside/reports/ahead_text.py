"""A forecast to read."""

from collections.abc import Sequence
from math import isfinite
from typing import Final

import numpy as np

from alongside.alerts.text import percent
from alongside.cycle.advice.rounds import choice_words, holds_words, moves_in_words
from alongside.cycle.holding_words import gives_words
from alongside.forecast.model import Forecast, LimitAhead
from alongside.forecast.ship_changes import costs, is_left, ship_changes
from alongside.forecast.what_if import WhatIf
from alongside.readings import Floats
from alongside.stay.model import Display, Stay
from alongside.stay.stage import Stage
from alongside.units import clock_span
from alongside.wording.marks import MARKS
from alongside.wording.safe import safe
from alongside.wording.times import DayClock

ROWS: Final = 13
"""Rows of the table of tide and draughts to come."""


def ahead_rows(stay: Stay, forecast: Forecast) -> list[str]:
    """A forecast as rows: tide and draughts, limits to come, rounds, and what cannot be cured."""
    clock = DayClock(stay.display, forecast.time)
    until = clock(float(forecast.times[-1]))
    head = f"{safe(stay.name)}: from {clock.whole(forecast.time)} to {until}, {forecast.members} members"
    return [
        head,
        *(f"  {safe(note)}" for note in forecast.notes),
        "",
        *_water_rows(forecast, clock),
        "",
        *_limit_rows(forecast, clock),
        "",
        *_round_rows(forecast, clock, stay.display),
    ]


def _water_rows(forecast: Forecast, clock: DayClock) -> list[str]:
    columns = [("tide", forecast.tide), ("fwd", forecast.draught_fwd), ("aft", forecast.draught_aft)]
    columns += [("under keel", forecast.under_keel), ("rail over quay", forecast.rail_over_quay)]
    shown = [(name, spread) for name, spread in columns if spread.known]
    rows = [f"{'time':>12}" + "".join(f"  {name + ' m':>20}" for name, _ in shown)]
    last = forecast.times.size - 1
    for row in np.unique(np.linspace(0, last, min(ROWS, last + 1)).round().astype(int)):
        cells = [_between(spread.expected[row], spread.low[row], spread.high[row]) for _, spread in shown]
        rows.append(f"{clock(float(forecast.times[row])):>12}" + "".join(f"  {cell:>20}" for cell in cells))
    return rows


def _between(expected: float, low: float, high: float) -> str:
    if not isfinite(expected):
        return "—"
    return f"{expected:.2f} ({low:.2f}..{high:.2f})"


def _limit_rows(forecast: Forecast, clock: DayClock) -> list[str]:
    unknown = _unknown(forecast, clock)
    if not forecast.limits:
        return [
            *unknown,
            f"No limit is reached {'as far as is known' if unknown else 'in these hours'}.",
        ]
    rows = [*unknown, f"{'limit, lengths as they are':<34}{'not before':>12}{'expected':>14}{'no later':>14}"]
    return rows + _limits(forecast.limits, clock)


def _unknown(forecast: Forecast, clock: DayClock) -> list[str]:
    if forecast.known_until >= forecast.times[-1]:
        return []
    until = clock(forecast.known_until) if isfinite(forecast.known_until) else "now"
    return [f"NOT KNOWN after {until}: tide or draughts end there; no limit is looked for beyond."]


def _limits(limits: Sequence[LimitAhead], clock: DayClock) -> list[str]:
    rows: list[str] = []
    told = ""
    for limit in limits:
        what = f"{MARKS[limit.stage]} {limit_words(limit)}"
        times = (
            ("stands now", "", "") if limit.standing else (limit.not_before, limit.expected, limit.no_later)
        )
        cells = [cell if isinstance(cell, str) else clock(cell) for cell in times]
        rows.append(f"{what:<34}{cells[0]:>12}{cells[1]:>14}{cells[2]:>14}".rstrip())
        weak = gives_words(limit.weak)
        if weak and weak != told:
            rows.append(f"    first {safe(weak)}")
            told = weak
    return rows


def limit_words(limit: LimitAhead) -> str:
    """`line 3 stretch warning`."""
    who = f"line {limit.line} " if limit.line else ""
    of = f" {limit.subject}" if limit.subject and not limit.line else ""
    return safe(f"{who}{limit.cause.replace('_', ' ')}{of} {limit.stage.word}")


def _followed_rows(forecast: Forecast, clock: DayClock) -> list[str]:
    """What is reached with the rounds done, and what of it only then."""
    rows: list[str] = []
    only = [change.after for change in costs(forecast) if change.after is not None]
    if only:
        rows += ["only with these rounds done, or worse or sooner:", *_limits(only, clock)]
    left = [limit for limit in forecast.followed if is_left(limit)]
    if forecast.tending.rounds and left:
        rows += ["not cured by these rounds:", *_limits(left, clock)]
    return rows


def _round_rows(forecast: Forecast, clock: DayClock, display: Display) -> list[str]:
    tending = forecast.tending
    rows = []
    if not tending.rounds and not tending.cannot_cure:
        only = f" until {clock(forecast.known_until)}" if _unknown(forecast, clock) else ""
        kept = f"stretch, load, brakes and slack stay short of {tending.within}"
        rows.append(f"No tending needed{only}: {kept}.")
    for number, each in enumerate(tending.rounds, start=1):
        begin = max(each.not_before, each.lengths_from)
        when = (
            "now, a line is out of band or soon will be"
            if each.overdue
            else _window(begin, each.latest, clock)
        )
        takes = f"takes {clock_span(each.duration_s)}; " if each.duration_s > 0.0 else ""
        good = f"{takes}good until {clock(each.serves_until)}"
        rows.append(f"round {number}: {safe(moves_in_words(each.moves))}; {when}; {good}")
        if words := holds_words(each, display):
            little = ", TOO LITTLE for the wind expected" if each.leaves_little else ""
            rows.append(f"  {words}{little}")
    for cure in tending.cannot_cure:
        spell = _window(cure.time, cure.until, clock)
        why = f"{cure.missing_m:.2f} m are missing"
        if cure.why == "wind":
            why = f"slackened by {cure.missing_m:.2f} m she would only lie farther off her fenders"
        rows.append(f"tending cannot cure line {safe(cure.line)}, {spell}: {why}")
    if tending.rounds:
        held = "holds as run through the mechanics" if tending.verified else "DOES NOT HOLD where told above"
        held += ", but for what cannot be cured" if tending.verified and tending.cannot_cure else ""
        share = f"; in {percent(tending.holds)} of the members nothing leaves its band"
        rows.append(f"the plan {held}{share if isfinite(tending.holds) else ''}")
        if not tending.is_fewest:
            rows.append("fewer rounds are not ruled out: not proved to be the fewest")
    rows += _followed_rows(forecast, clock)
    return rows + [f"  {choice_words(choice)}" for choice in tending.choices]


def _window(begin: float, end: float, clock: DayClock) -> str:
    return f"at {clock(begin)}" if begin == end else f"between {clock(begin)} and {clock(end)}"


def what_if_rows(stay: Stay, other: WhatIf) -> list[str]:
    """All lines now and over the forecast, as things stand and with the changes."""
    clock = DayClock(stay.display, other.changed.time)
    rows = ["", f"What if: {safe(other.words)}", ""]
    if other.changed.reason:
        return [*rows, f"No forecast then: {other.changed.reason}"]
    rows.append(f"{'line':<8}{'stretch now':>20}{'most to come':>20}{'first warning':>26}")
    before, after = other.as_it_stands, other.changed
    for k, line in enumerate(other.lines):
        now = _both(other.now.stretch_share[0, k], other.then.stretch_share[0, k])
        most = _both(_most(before.stretch_share[:, k]), _most(after.stretch_share[:, k]))
        first = f"{clock_first(before, line, clock)} -> {clock_first(after, line, clock)}"
        rows.append(f"{safe(line):<8}{now:>20}{most:>20}{first:>26}")
    return [*rows, *_ship_rows(other, clock), "", *_round_rows(after, clock, stay.display)]


def _ship_rows(other: WhatIf, clock: DayClock) -> list[str]:
    """What the ship as a whole is expected to reach before and with the changes."""
    rows = []
    for change in ship_changes(other.as_it_stands.limits, other.changed.limits):
        what = f"{change.cause.replace('_', ' ')} {safe(change.subject)}".strip()
        rows.append(f"{what:<20}{_of_ship(change.before, clock)} -> {_of_ship(change.after, clock)}")
    heading = ["", "the ship, first time of the worst stage expected"]
    return heading + (rows or ["  no warning before, none with the changes"])


def _of_ship(limit: LimitAhead | None, clock: DayClock) -> str:
    if limit is None or limit.expected is None:
        return "none"
    weak = f" ({safe(gives_words(limit.weak))})" if limit.weak.gives else ""
    return f"{MARKS[limit.stage]} {limit.stage.word} {clock(limit.expected)}{weak}"


def clock_first(forecast: Forecast, line: str, clock: DayClock) -> str:
    """When a line is expected to reach its first warning, or none."""
    times = [
        limit.expected
        for limit in forecast.limits_of(line)
        if limit.stage >= Stage.WARNING and limit.expected is not None
    ]
    return clock(min(times)) if times else "none"


def _both(before: float, after: float) -> str:
    return f"{percent(before)} -> {percent(after)}"


def _most(values: Floats) -> float:
    known = values[~np.isnan(values)]
    return float(known.max()) if known.size else float("nan")
