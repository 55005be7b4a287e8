"""Rope that ran out over a rendering brake, told in sums: a brake that creeps with the tide would else be an
event each second."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from alongside.alerts.model import Event
from alongside.readings import Floats

TELL_M: Final = 0.10
"""So much is told at once."""
TELL_S: Final = 60.0
"""What is less is told so long after it began."""


@dataclass(frozen=True, slots=True)
class RunOut:
    """Rope of one line that ran out and is not told yet: metres, and since when (UNIX seconds)."""

    line: str
    metres: float
    since: float


def told(
    untold: Sequence[RunOut], ran: Sequence[RunOut], times: Floats
) -> tuple[tuple[RunOut, ...], tuple[Event, ...]]:
    """What is to be told of a block of instants `times`, given what was left untold before it and what ran
    out in it, in order of time; and what is left untold after it."""
    events: list[Event] = []
    pending = {one.line: one for one in untold}
    for one in ran:
        _tell_overdue(pending, events, times, one.since)
        before = pending.pop(one.line, RunOut(one.line, 0.0, one.since))
        total = RunOut(one.line, before.metres + one.metres, before.since)
        if total.metres >= TELL_M:
            events.append(_event(total, one.since))
        else:
            pending[one.line] = total
    _tell_overdue(pending, events, times, float(times[-1]))
    return tuple(pending.values()), tuple(events)


def _tell_overdue(pending: dict[str, RunOut], events: list[Event], times: Floats, until: float) -> None:
    """Tell what has waited long enough, at the instant at which it had."""
    for line, one in list(pending.items()):
        if one.since + TELL_S <= until:
            events.append(_event(one, float(times[np.searchsorted(times, one.since + TELL_S)])))
            del pending[line]


def _event(one: RunOut, now: float) -> Event:
    text = f"Brake of line {one.line} rendered: {one.metres:.2f} m ran out"
    return Event(now, "note", subject="brake", line=one.line, value=one.metres, text=text)
