"""Rope that ran out over a rendering brake, reported in sums: else a brake that creeps with the tide would be
an event each second."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from alongside.alerts.model import Event
from alongside.readings import Floats

REPORT_M: Final = 0.10
"""So much is reported at once."""
REPORT_S: Final = 60.0
"""What is less is reported so long after it began."""


@dataclass(frozen=True, slots=True)
class RunOut:
    """Rope of one line that ran out and is not reported yet: metres, and since when (UNIX seconds)."""

    line: str
    metres: float
    since: float


def run_out_events(
    before: Sequence[RunOut], ran: Sequence[RunOut], times: Floats
) -> tuple[tuple[RunOut, ...], tuple[Event, ...]]:
    """Return what is not reported yet after a block of instants `times`, and the events of that block:
    `before` was not reported before it, `ran` ran out in it, in order of time."""
    events: list[Event] = []
    pending = {one.line: one for one in before}
    for one in ran:
        _report_overdue(pending, events, times, one.since)
        so_far = pending.pop(one.line, RunOut(one.line, 0.0, one.since))
        total = RunOut(one.line, so_far.metres + one.metres, so_far.since)
        if total.metres >= REPORT_M:
            events.append(_event(total, one.since))
        else:
            pending[one.line] = total
    _report_overdue(pending, events, times, float(times[-1]))
    return tuple(pending.values()), tuple(events)


def _report_overdue(pending: dict[str, RunOut], events: list[Event], times: Floats, until: float) -> None:
    """Report what has waited long enough, at the instant at which it had."""
    for line, one in list(pending.items()):
        if one.since + REPORT_S <= until:
            events.append(_event(one, float(times[np.searchsorted(times, one.since + REPORT_S)])))
            del pending[line]


def _event(one: RunOut, now: float) -> Event:
    text = f"Brake of line {one.line} rendered: {one.metres:.2f} m ran out"
    return Event(now, "note", subject="brake", line=one.line, value=one.metres, text=text)
