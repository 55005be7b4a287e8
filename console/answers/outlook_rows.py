"""An outlook to read."""

from math import isfinite
from typing import Final

import numpy as np

from console.advice.rounds import moves_in_words
from console.ahead import LimitAhead, Outlook
from console.ahead.what_if import WhatIf
from console.alerts.text import percent
from console.answers.clock import Clock
from console.assessment import Stage
from console.mechanics.holding_words import gives_words
from console.readings import Floats
from console.stay.model import Stay
from console.timeline import MARKS, plain

ROWS: Final = 13
"""Rows of the table of tide and draughts to come."""


def outlook_rows(stay: Stay, outlook: Outlook) -> list[str]:
    """An outlook as rows: tide and draughts, limits to come, rounds, and what cannot be cured."""
    clock = Clock(stay.display, outlook.time)
    until = clock(float(outlook.times[-1]))
    head = f"{plain(stay.name)}: from {clock.whole(outlook.time)} to {until}, {outlook.members} members"
    return [
        head,
        *(f"  {plain(note)}" for note in outlook.notes),
        "",
        *_water_rows(outlook, clock),
        "",
        *_limit_rows(outlook, clock),
        "",
        *_round_rows(outlook, clock),
    ]


def _water_rows(outlook: Outlook, clock: Clock) -> list[str]:
    columns = [("tide", outlook.tide), ("fwd", outlook.draught_fwd), ("aft", outlook.draught_aft)]
    columns += [("under keel", outlook.under_keel), ("rail over quay", outlook.rail_over_quay)]
    shown = [(name, spread) for name, spread in columns if spread.known]
    rows = [f"{'time':>12}" + "".join(f"  {name + ' m':>20}" for name, _ in shown)]
    last = outlook.times.size - 1
    for row in np.unique(np.linspace(0, last, min(ROWS, last + 1)).round().astype(int)):
        cells = [_between(spread.expected[row], spread.low[row], spread.high[row]) for _, spread in shown]
        rows.append(f"{clock(float(outlook.times[row])):>12}" + "".join(f"  {cell:>20}" for cell in cells))
    return rows


def _between(expected: float, low: float, high: float) -> str:
    if not isfinite(expected):
        return "—"
    return f"{expected:.2f} ({low:.2f}..{high:.2f})"


def _limit_rows(outlook: Outlook, clock: Clock) -> list[str]:
    if not outlook.limits:
        return ["No limit is reached within the outlook."]
    rows = [f"{'limit':<34}{'not before':>12}{'expected':>14}{'no later':>14}"]
    told = ""
    for limit in outlook.limits:
        what = f"{MARKS[limit.stage]} {limit_words(limit)}"
        times = (
            ("stands now", "", "") if limit.standing else (limit.not_before, limit.expected, limit.no_later)
        )
        cells = [cell if isinstance(cell, str) else clock(cell) for cell in times]
        rows.append(f"{what:<34}{cells[0]:>12}{cells[1]:>14}{cells[2]:>14}".rstrip())
        weak = gives_words(limit.weak)
        if weak and weak != told:
            rows.append(f"    first {plain(weak)}")
            told = weak
    return rows


def limit_words(limit: LimitAhead) -> str:
    """`line 3 stretch warning`."""
    who = f"line {limit.line} " if limit.line else ""
    of = f" {limit.subject}" if limit.subject and not limit.line else ""
    return plain(f"{who}{limit.cause.replace('_', ' ')}{of} {limit.stage.word}")


def _round_rows(outlook: Outlook, clock: Clock) -> list[str]:
    tending = outlook.tending
    rows = []
    if not tending.rounds and not tending.cannot_cure:
        rows.append(f"No tending needed to keep every line short of {tending.within}.")
    for number, each in enumerate(tending.rounds, start=1):
        when = "now, a line is out of band" if each.overdue else _window(each.not_before, each.latest, clock)
        good = f"good until {clock(each.serves_until)}"
        rows.append(f"round {number}: {plain(moves_in_words(each.moves))}; {when}; {good}")
    for cure in tending.cannot_cure:
        spell = _window(cure.time, cure.until, clock)
        rows.append(
            f"tending cannot cure line {plain(cure.line)}, {spell}: {cure.missing_m:.2f} m are missing"
        )
    if tending.rounds:
        held = "holds as run through the mechanics" if tending.verified else "DOES NOT HOLD where told above"
        rows.append(f"the plan {held}; in {percent(tending.holds)} of the members nothing leaves its band")
    for choice in tending.choices:
        keep = "round keeps" if choice.rounds == 1 else "rounds keep"
        rows.append(f"  {choice.rounds} {keep} lines {choice.margin_m:.2f} m clear of their bands")
    return rows


def _window(begin: float, end: float, clock: Clock) -> str:
    return f"at {clock(begin)}" if begin == end else f"between {clock(begin)} and {clock(end)}"


def what_if_rows(stay: Stay, other: WhatIf) -> list[str]:
    """All lines now and over the outlook, as things stand and with the changes."""
    clock = Clock(stay.display, other.changed.time)
    rows = ["", f"What if: {plain(other.words)}", ""]
    if other.changed.reason:
        return [*rows, f"No outlook then: {other.changed.reason}"]
    rows.append(f"{'line':<8}{'stretch now':>20}{'most to come':>20}{'first warning':>26}")
    before, after = other.as_it_stands, other.changed
    for k, line in enumerate(other.lines):
        now = _both(other.now.stretch_share[0, k], other.then.stretch_share[0, k])
        most = _both(_most(before.stretch_share[:, k]), _most(after.stretch_share[:, k]))
        first = f"{clock_first(before, line, clock)} -> {clock_first(after, line, clock)}"
        rows.append(f"{plain(line):<8}{now:>20}{most:>20}{first:>26}")
    return [*rows, "", *_round_rows(after, clock)]


def clock_first(outlook: Outlook, line: str, clock: Clock) -> str:
    """When a line is expected to reach its first warning, or none."""
    times = [
        limit.expected
        for limit in outlook.limits_of(line)
        if limit.stage >= Stage.WARNING and limit.expected is not None
    ]
    return clock(min(times)) if times else "none"


def _both(before: float, after: float) -> str:
    return f"{percent(before)} -> {percent(after)}"


def _most(values: Floats) -> float:
    known = values[~np.isnan(values)]
    return float(known.max()) if known.size else float("nan")
