"""Every tending of a line: when, how much, by whom, and what the line carried before and after."""

from dataclasses import dataclass
from math import nan
from typing import Final

import numpy as np

from alongside.actions import TendLine
from alongside.alerts.model import Event
from alongside.record.opening import STANDS_S
from alongside.reports.stay.record_arrays import RecordArrays

STAY_FILE: Final = "stay file"


@dataclass(frozen=True, slots=True)
class Tending:
    """`before_kn` and `after_kn` by the states on record nearest to it; NaN where none is near."""

    time: float
    line: str
    paid_out_m: float
    """Negative = hove in; NaN for one that is given by its tension alone."""
    text: str
    by: str
    before_kn: float
    after_kn: float


def tendings(arrays: RecordArrays) -> tuple[Tending, ...]:
    """Return tendings in order, those of the stay file and those entered at the console."""
    return tuple(_tending(arrays, event) for event in arrays.events if event.event == "tended")


def _tending(arrays: RecordArrays, event: Event) -> Tending:
    line = event.line or ""
    after = int(np.searchsorted(arrays.time, event.time))
    return Tending(
        event.time,
        line,
        nan if event.value is None else event.value,
        event.text,
        _by(arrays, event),
        _tension(arrays, line, after - 1, event.time),
        _tension(arrays, line, after, event.time),
    )


def _tension(arrays: RecordArrays, line: str, row: int, time: float) -> float:
    """kN at a state; NaN where that lies too far from the time."""
    if not 0 <= row < arrays.time.size or abs(arrays.time[row] - time) > STANDS_S:
        return nan
    name = f"tension_kn.{line}"
    return float(arrays.number[name][row]) if name in arrays.number else nan


def _by(arrays: RecordArrays, event: Event) -> str:
    """Initials, "" for none; `stay file` where no action at the console stands behind it."""
    initials = [
        done.action.by
        for done in arrays.actions
        if isinstance(done.action, TendLine)
        and done.action.line == event.line
        and abs(done.time - event.time) <= 1.0
    ]
    return initials[0] if initials else STAY_FILE
