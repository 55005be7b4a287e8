"""The cycle of a replay that looks ahead as it goes, so that what comes soon is among its alerts.

It looks ahead from the last instant of every ten minutes of log time and once a length has been changed by
hand, no farther than the caution asks, and hands on in its memory what it saw: no thread, no clock, the same
outcome wherever the log is cut. A player must cut the log for it, see `alongside.runtime.log_player.Player`.
"""

import traceback
from collections.abc import Sequence
from dataclasses import replace
from typing import Final

import numpy as np

from alongside.actions import Action
from alongside.alerts.rule_model import NextLimits
from alongside.cycle.advance import Block, Circumstances, Memory, advance, advance_guarded
from alongside.cycle.forecast_memory import ForecastMemory
from alongside.cycle.gauge_samples import present_at, trail_row
from alongside.forecast.basis import Basis
from alongside.forecast.look_ahead import Far, look_ahead
from alongside.forecast.next_limit import next_limits_of
from alongside.forecast.present import Heard, Present, nothing_heard
from alongside.readings import Readings

EVERY_S: Final = 600.0
"""Half as often as the live watch, where it costs no cycle: a day of log is then foreseen in some seconds."""
BEYOND_MIN: Final = 30.0
"""A limit is looked for so much later than the caution is raised: the caution is kept up a while longer than
it takes to raise it."""
MOST_ROWS: Final = 144
"""Rows of the trail that are handed on: a day."""


def advance_with_forecast(
    basis: Basis, memory: Memory, readings: Readings, actions: Sequence[Action] = ()
) -> tuple[Memory, Block]:
    """As `advance`, looking ahead."""
    memory = _looked(basis, memory, float(readings.time[0]))
    memory, block = advance(basis, memory, readings, actions, Circumstances(next_limits=_next_limits(memory)))
    return _handed_on(basis, memory, block, actions), block


def advance_with_forecast_guarded(
    basis: Basis, memory: Memory, readings: Readings, actions: Sequence[Action] = ()
) -> tuple[Memory, Block]:
    """As `advance_guarded`, looking ahead. A fault in the look ahead leaves what was foreseen before; its
    trace stands in the block."""
    fault = ""
    try:
        memory = _looked(basis, memory, float(readings.time[0]))
    except Exception:  # guards the replay: a fault in the look ahead leaves the watch as it is
        fault = traceback.format_exc()
    around = Circumstances(next_limits=_next_limits(memory))
    memory, block = advance_guarded(basis, memory, readings, actions, around)
    try:
        memory = _handed_on(basis, memory, block, actions)
    except Exception:  # the same
        fault = fault or traceback.format_exc()
    return memory, replace(block, fault=block.fault or fault)


def _next_limits(memory: Memory) -> NextLimits:
    return memory.foresight.soon if memory.foresight else None


def _looked(basis: Basis, memory: Memory, now: float) -> Memory:
    """The memory before the cycle at `now`, with a look ahead from the cycle before where it is due."""
    before = memory.foresight
    if basis.tide is None or before is None or not before.is_due(now, EVERY_S):
        return memory
    trail = (*before.trail, before.row)[-MOST_ROWS:]
    soon = _seen(basis, before.last, trail)
    return replace(memory, foresight=replace(before, trail=trail, soon=soon))


def _handed_on(basis: Basis, memory: Memory, block: Block, actions: Sequence[Action]) -> Memory:
    """The memory after a block, its last instant in it; looked ahead from there where what was done has
    changed a length."""
    last = present_at(block, memory, nothing_heard())
    row = trail_row(block, len(block.situation) - 1)
    before = memory.foresight or ForecastMemory(last, row)
    soon = before.soon
    if actions and basis.tide is not None and not _same_lengths(before.last, last):
        soon = _seen(basis, last, (*before.trail, row))
    return replace(memory, foresight=replace(before, last=last, row=row, soon=soon))


def _same_lengths(one: Present, other: Present) -> bool:
    """Whether the same lengths are out."""
    return np.array_equal(one.unstretched, other.unstretched, equal_nan=True)


def _seen(basis: Basis, last: Present, trail: Sequence[tuple[float, ...]]) -> NextLimits:
    hours = (basis.stay.outlook.soon_min + BEYOND_MIN) / 60.0
    far = Far(min(hours, basis.stay.outlook.hours), basis.stay.outlook.every_min * 60.0, members=1)
    columns = np.array(trail).T
    present = replace(last, heard=Heard(columns[0], *columns[1:]))
    return next_limits_of(look_ahead(basis, present, far, tend=False))
