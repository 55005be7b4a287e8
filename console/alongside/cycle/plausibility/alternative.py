"""The situation as the witnesses have it, where a gauge is doubtful; both ends of what is only
expected."""

from dataclasses import replace
from math import inf
from typing import Any, Final

import numpy as np

from alongside.cycle.plausibility.believed import Belief
from alongside.cycle.plausibility.judge import Verdict
from alongside.cycle.plausibility.model import Doubt
from alongside.cycle.plausibility.sigmas import BAND_90
from alongside.forecast.expected.witnesses import DRAUGHTS, Witnesses
from alongside.mechanics.situation import Situation
from alongside.readings import Codes, Floats, Readings, Reason

SAID_BY_WITNESS: Final = {
    "tide": "tide",
    "draught_fwd": "draught_fwd",
    "draught_aft": "draught_aft",
    "heel": "heel_deg",
    "wind_from": "wind_from",
}
"""Channels that a witness may give another figure for, with their part of a situation."""
ENDS: Final = ("draught_fwd", "draught_aft")


def situation_by_witnesses(witnesses: Witnesses, belief: Belief, situation: Situation) -> Situation | None:
    """Return the n instants with every doubtful tide, draught, heel and wind direction as its witness has it;
    None where nothing is doubtful, or no witness says a figure."""
    columns = {name: getattr(situation, part) for name, part in SAID_BY_WITNESS.items()}
    found: dict[str, Floats] = {}
    readings = belief.readings

    def reasons(channel: str) -> Codes:
        return readings.reason[:, readings.channels.index(channel)]

    bounds = [verdict.row for verdict in belief.verdicts] + [len(situation)]
    for verdict, until in zip(belief.verdicts, bounds[1:], strict=True):
        rows = slice(verdict.row, until)
        for doubt in verdict.doubts:
            if doubt.channel not in columns or doubt.channel in verdict.set_aside:
                continue
            here = columns[doubt.channel][rows]
            says = _says(witnesses, verdict, doubt, situation.time[rows], here, columns, rows)
            if says is not None:
                column = found.setdefault(doubt.channel, columns[doubt.channel].copy())
                by_hand = reasons(doubt.channel)[rows] == Reason.BY_HAND  # then it is not in doubt
                column[rows] = np.where(np.isnan(says) | by_hand, here, says)
    if not found:
        return None
    parts: dict[str, Any] = {SAID_BY_WITNESS[name]: column for name, column in found.items()}
    return replace(situation, **parts)


def _says(
    witnesses: Witnesses,
    verdict: Verdict,
    doubt: Doubt,
    time: Floats,
    here: Floats,
    columns: dict[str, Floats],
    rows: slice,
) -> Floats | None:
    """What the witness against a channel has instead of its values `here` (n,); None where it has no
    figure."""
    name = doubt.channel
    if doubt.reason is Reason.APART:
        return here - doubt.off
    if name == "tide" and witnesses.tide is not None:
        residual = 0.0 if np.isnan(verdict.residual) else verdict.residual
        return witnesses.table(time) + residual
    if doubt.likely == "swapped" and name in ENDS:
        return columns[ENDS[1 - ENDS.index(name)]][rows]
    if doubt.reason is Reason.JUMPED:
        return here - verdict.shifts.get(name, 0.0 if np.isnan(doubt.off) else doubt.off)
    if name in ENDS:
        if name in verdict.good:
            at, last, _ = verdict.good[name]
            by_plan = witnesses.draughts(np.append(time, at))[:, DRAUGHTS.index(name)]
            planned = np.nan_to_num(by_plan[:-1] - by_plan[-1])
            level: Floats = last + planned
            return level
        return None if np.isnan(doubt.off) else here - doubt.off
    if name == "wind_from" and doubt.against == "gyro":
        return (here - doubt.off) % 360.0
    if name == "heel" and not np.isnan(doubt.off):
        return here - doubt.off
    return None


def spread_ends(readings: Readings, situation: Situation, breadth: float = inf) -> tuple[Situation, ...]:
    """Return the instants with what is only expected at either end of its spread (nine of ten): the ship low
    at the quay, with least water under her, and high; each heeled to either side where heel is expected;
    nothing where all is measured."""
    if readings.spread is None:
        return ()
    spread = dict(zip(readings.channels, BAND_90 * np.nan_to_num(readings.spread).T, strict=True))

    def end(lower: float) -> Situation:
        return replace(
            situation,
            tide=situation.tide - lower * spread.get("tide", 0.0),
            draught_fwd=situation.draught_fwd + lower * spread.get("draught_fwd", 0.0),
            draught_aft=situation.draught_aft + lower * spread.get("draught_aft", 0.0),
        )

    heel = _heel_spread(spread, breadth)
    if not np.any(heel > 0.0):
        return end(1.0), end(-1.0)
    return tuple(
        replace(each, heel_deg=each.heel_deg + side * heel)
        for each in (end(1.0), end(-1.0))
        for side in (1.0, -1.0)
    )


def _heel_spread(spread: dict[str, Floats], breadth: float) -> Floats:
    """Return what heel may be off (n,), deg: its own spread, else that of midship draughts."""
    own = np.asarray(spread.get("heel", 0.0))
    port, starboard = (np.asarray(spread.get(name, 0.0)) for name in ("draught_mid_port", "draught_mid_stbd"))
    by_draughts = np.degrees(np.arctan2(np.hypot(port, starboard), breadth))
    return np.where(own > 0.0, own, by_draughts)
