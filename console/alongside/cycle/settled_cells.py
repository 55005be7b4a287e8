"""Load cells just after a length changed: their mean is still that of before, and says nothing of now."""

from dataclasses import replace

import numpy as np

from alongside.readings import Floats, Readings
from alongside.stay.channels import TENSION
from alongside.stay.model import Stay


def lengths_changed_at(before: Floats | None, was: Floats, unstretched: Floats, time: Floats) -> Floats:
    """Return (n, lines) UNIX seconds at which the length of each line last changed, minus infinity where it
    never did; one that comes to be known is none. `before` (lines,) is the same at the last instant before,
    None at the start; `was` (lines,) the lengths then, `unstretched` (n, lines) those now."""
    first = np.full(was.size, -np.inf) if before is None else before
    earlier = np.concatenate([was[np.newaxis], unstretched[:-1]])
    changed = (unstretched != earlier) & ~np.isnan(earlier) & ~np.isnan(unstretched)
    at = np.where(changed, time[:, np.newaxis], -np.inf)
    at[0] = np.maximum(at[0], first)
    latest: Floats = np.maximum.accumulate(at, axis=0)
    return latest


def changed_since(before: Floats, was: Floats, unstretched: Floats, now: float) -> Floats:
    """Return (lines,) the same at one instant: `was` and `unstretched` (lines,) before and after it."""
    changed = (unstretched != was) & ~np.isnan(was) & ~np.isnan(unstretched)
    at: Floats = np.where(changed, now, before)
    return at


def with_settled_cells(stay: Stay, readings: Readings, changed_at: Floats) -> Readings:
    """Return readings in which the mean of a load cell is not known while it holds values of before its line
    was tended or ran out, `changed_at` (n, lines)."""
    smooth_s = {source.channel: source.smooth_s for feed in stay.feeds for source in feed.channels}
    fresh = {
        readings.channels.index(channel): readings.time - changed_at[:, at] < smooth_s.get(channel, 0.0)
        for at, line in enumerate(stay.lines)
        if (channel := f"{TENSION}{line.id}") in readings.channels
    }
    if not any(rows.any() for rows in fresh.values()):
        return readings
    value = readings.value.copy()
    for column, rows in fresh.items():
        value[rows, column] = np.nan
    return replace(readings, value=value)
