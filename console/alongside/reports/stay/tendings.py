"""Every tending of a line: when, how much, by whom, and what the line carried before and after."""

from dataclasses import dataclass
from math import nan

import numpy as np

from alongside.actions import TendLine
from alongside.alerts.model import Event
from alongside.record.open_record import STANDS_S
from alongside.reports.stay.record_arrays import Gathered


@dataclass(frozen=True, slots=True)
class Tending:
    """`before_kn` and `after_kn` by the states on record nearest to it; NaN where none is near."""

    time: float
    line: str
    paid_out_m: float
    """Negative = hove in; NaN for one that is told by its tension alone."""
    text: str
    by: str
    before_kn: float
    after_kn: float


def tendings(told: Gathered) -> tuple[Tending, ...]:
    """Tendings in order, those of the stay file (without initials) and those entered at the console."""
    return tuple(_tending(told, event) for event in told.events if event.event == "tended")


def _tending(told: Gathered, event: Event) -> Tending:
    line = event.line or ""
    after = int(np.searchsorted(told.time, event.time))
    return Tending(
        event.time,
        line,
        nan if event.value is None else event.value,
        event.text,
        _by(told, event),
        _tension(told, line, after - 1, event.time),
        _tension(told, line, after, event.time),
    )


def _tension(told: Gathered, line: str, row: int, time: float) -> float:
    if not 0 <= row < told.time.size or abs(told.time[row] - time) > STANDS_S:
        return nan
    name = f"tension_kn.{line}"
    return float(told.number[name][row]) if name in told.number else nan


def _by(told: Gathered, event: Event) -> str:
    done = [
        deed.action.by
        for deed in told.deeds
        if isinstance(deed.action, TendLine)
        and deed.action.line == event.line
        and abs(deed.time - event.time) <= 1.0
    ]
    return done[0] if done else ""
