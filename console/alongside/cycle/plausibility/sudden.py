"""A level that is metres off within a minute: doubtful at once, until the witnesses are heard at the next
whole minute. A draught gauge that turns to feet calls every line into alarm before that."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from alongside.cycle.plausibility.judge import Verdict
from alongside.cycle.plausibility.jumps import FRESH_S, SUDDEN_M
from alongside.cycle.plausibility.model import AGE, Doubt, Plausibility
from alongside.forecast.expected.witnesses import DRAUGHTS, Witnesses
from alongside.readings import Floats, Quality, Readings, Reason

SAMPLE_S: Final = 90.0
"""An older sample says nothing of what is sudden."""


def with_sudden_jumps(
    witnesses: Witnesses, before: Plausibility, readings: Readings, verdicts: tuple[Verdict, ...]
) -> tuple[Verdict, ...]:
    """Return the verdicts of n instants with a doubt of each level that is more than `SUDDEN_M` from what it
    was at the last whole minute. `before` is what was remembered before the first of them."""
    level = DRAUGHTS if witnesses.is_lock else ("tide", *DRAUGHTS)  # a chamber fills by metres in minutes
    names = [name for name in level if name in readings.channels]
    columns = [readings.channels.index(name) for name in names]
    good = np.where(readings.quality[:, columns] == Quality.GOOD, readings.value[:, columns], np.nan)
    starts = np.array([verdict.row for verdict in verdicts])
    lengths = np.diff(np.append(starts, len(readings)))
    moved = good - np.repeat(_samples(before, readings, names, good, starts), lengths, axis=0)
    with np.errstate(invalid="ignore"):
        sudden: NDArray[np.bool_] = np.abs(moved) > SUDDEN_M
    if not sudden.any():
        return verdicts
    found: list[Verdict] = []
    for verdict, until in zip(verdicts, np.append(starts[1:], len(readings)).tolist(), strict=True):
        known = np.isin(names, [*verdict.set_aside, *(doubt.channel for doubt in verdict.doubts)])
        by = np.where(sudden[verdict.row : until] & ~known, moved[verdict.row : until], 0.0)
        # Anew at every instant that says other metres: a block that begins there has no others.
        turns = np.flatnonzero((by[1:] != by[:-1]).any(axis=1)) + 1
        for row in (0, *turns.tolist()):
            off = {name: metres for name, metres in zip(names, by[row].tolist(), strict=True) if metres}
            at = verdict.row + row
            found.append(_with_doubts(replace(verdict, row=at), off, _minute(readings.time[at])))
    return tuple(found)


def _samples(
    before: Plausibility, readings: Readings, names: Sequence[str], good: Floats, starts: NDArray[np.int64]
) -> Floats:
    """Return what levels are held against, (verdicts, levels): the good value at the whole minute before,
    NaN for none."""
    samples = good[starts]
    if "tide" in names:
        age = readings.age[starts, readings.channels.index("tide")]
        samples[age > FRESH_S, names.index("tide")] = np.nan  # a gauge of few values steps by nature
    first = readings.time[0]
    if np.floor(first / 60.0) <= before.last_minute:  # it goes on within a minute
        row = dict(zip(("time", *before.channels), before.minutes[-1], strict=True)) if before.minutes else {}
        fresh = bool(row) and first - row["time"] <= SAMPLE_S
        slow = row.get(AGE, 0.0) > FRESH_S
        samples[0] = [
            row.get(name, np.nan) if fresh and not (slow and name == "tide") else np.nan for name in names
        ]
    return samples


def _with_doubts(verdict: Verdict, moved: dict[str, float], since: float) -> Verdict:
    """Return a verdict that doubts levels which moved so far, too."""
    doubts = tuple(Doubt(name, Reason.JUMPED, since, by, "itself") for name, by in moved.items())
    shifts = verdict.shifts | {name: verdict.shifts.get(name, 0.0) + by for name, by in moved.items()}
    return replace(verdict, doubts=(*verdict.doubts, *doubts), shifts=shifts)


def _minute(time: float) -> float:
    return float(time // 60.0 * 60.0)
