"""The answer to a what-if of the command `ahead`, as rows to read."""

from itertools import zip_longest
from textwrap import wrap
from typing import Final

import numpy as np

from alongside.forecast.model import Forecast, LimitAhead
from alongside.forecast.ship_changes import ship_changes
from alongside.forecast.what_if.answer import LineNow, WhatIf
from alongside.forecast.what_if.sentences import Row, rows_of, verdict_sentence
from alongside.forecast.words import NONE_EXPECTED, AheadWords
from alongside.readings import Floats
from alongside.reports.ahead_text import tending_rows
from alongside.stay.model import Stay
from alongside.stay.stage import Stage
from alongside.wording.figures import percent
from alongside.wording.marks import MARKS, NOT_KNOWN
from alongside.wording.names import condition
from alongside.wording.safe import safe
from alongside.wording.times import DayClock

LABEL: Final = 20
CELL: Final = 30


def what_if_rows(stay: Stay, other: WhatIf) -> list[str]:
    """Return the verdict, what holds her now, all lines now and in the hours ahead, and the rounds, as things
    stand and with the changes."""
    at = DayClock(stay.display, other.time).whole(other.time)
    rows = ["", f"What if: {safe(other.words)}", f"  for {at}", "", f"  {safe(verdict_sentence(other))}", ""]
    rows.append(f"{'What holds her':<{LABEL}}{'as things stand':<{CELL}}{'with the change':<{CELL}}".rstrip())
    rows += [line for row in rows_of(other) for line in _held_rows(row)]
    words = AheadWords(stay.display, other.time)
    rows += ["", *_line_rows(other, words)]
    before, after = other.as_it_stands, other.changed
    if before is None or after is None:
        return rows
    if after.reason:
        return [*rows, "", f"No look ahead with this change: {after.reason}"]
    rounds = [*words.not_known(after), *tending_rows(after, words)]
    return [*rows, *_ship_rows(before, after, words), "", "Rounds with this change", *rounds]


def _held_rows(row: Row) -> list[str]:
    """Return a row of what holds her; long cells over several."""
    cells = [row.label], wrap(row.before, CELL - 2), wrap(row.after, CELL - 2), [row.mark]
    return [
        f"{label:<{LABEL}}{before:<{CELL}}{after:<{CELL}}{mark}".rstrip()
        for label, before, after, mark in zip_longest(*cells, fillvalue="")
    ]


def _line_rows(other: WhatIf, words: AheadWords) -> list[str]:
    before, after = other.as_it_stands, other.changed
    rows = [f"{'line':<8}{'stretch now':>20} {'highest ahead':>19}  {'first warning':>28}"]
    for line in other.lines:
        now = _change(_now(line, 0, before), _now(line, 1, after))
        most = _change(percent(_highest(before, line.line)), percent(_highest(after, line.line)))
        first = _change(_first_warning(before, line.line, words), _first_warning(after, line.line, words))
        rows.append(f"{safe(line.line):<8}{now:>20} {most:>19}  {first:>28}")
    return rows


def _now(line: LineNow, at: int, forecast: Forecast | None) -> str:
    """Return a stretch share; where nothing is known of the line, why."""
    why = dict(forecast.without).get(line.line) if forecast is not None else None
    return why or percent(line.stretch_share[at])


def _ship_rows(before: Forecast, after: Forecast, words: AheadWords) -> list[str]:
    """Return what the ship as a whole is expected to reach before and with the changes."""
    rows = [
        f"  {condition(change.cause, change.subject, None):<32}"
        f"{_change(_reached(change.before, words), _reached(change.after, words))}"
        for change in ship_changes(before.limits, after.limits)
    ]
    title = "Ship, first time of the worst stage expected"
    return ["", title, *(rows or ["  no warning before, none with this change"])]


def _reached(limit: LimitAhead | None, words: AheadWords) -> str:
    text = words.reached(limit)
    return text if limit is None or text == NONE_EXPECTED else f"{MARKS[limit.stage]} {text}"


def _first_warning(forecast: Forecast | None, line: str, words: AheadWords) -> str:
    if forecast is None or line not in forecast.lines or line in dict(forecast.without):
        return NOT_KNOWN
    times = [
        limit.expected
        for limit in forecast.limits_of(line)
        if limit.stage >= Stage.WARNING and limit.expected is not None
    ]
    return words.clock(min(times)) if times else NONE_EXPECTED


def _change(before: str, after: str) -> str:
    return f"{before} -> {after}"


def _highest(forecast: Forecast | None, line: str) -> float:
    """Return the highest stretch share of a line that is expected; NaN where none is known."""
    if forecast is None or line not in forecast.lines:
        return float("nan")
    shares: Floats = forecast.stretch_share[:, forecast.lines.index(line)]
    known = shares[~np.isnan(shares)]
    return float(known.max()) if known.size else float("nan")
