"""The cycle of a replay that looks ahead as it goes, so that what comes soon is among its alerts.

It looks ahead from the first instant of every ten minutes of log time and once a length has been changed by
hand, no farther than the caution asks, and hands on in its memory what it saw: no thread, no clock, the same
outcome wherever the log is cut. A player must cut the log for it, see `console.player.Player`.
"""

import traceback
from collections.abc import Sequence
from dataclasses import replace
from typing import Final

import numpy as np

from console.actions import Action
from console.ahead import look_ahead, soon_of
from console.ahead.look import Far, Ground
from console.assessment import Soon
from console.cycle import Block, Memory, Plan, advance, advance_guarded
from console.foresight import Foresight
from console.player import Tape
from console.readings import Readings
from console.trail import Trail, trail_row

EVERY_S: Final = 600.0
"""Half as often as the live watch, where it costs no cycle: a day of log is then foreseen in some seconds."""
BEYOND_MIN: Final = 30.0
"""A limit is looked for so much later than the caution is raised: the caution is kept up a while longer than
it takes to raise it."""
MOST_ROWS: Final = 144
"""Rows of the trail that are handed on: a day."""


def foreseeing(
    plan: Plan, memory: Memory, readings: Readings, actions: Sequence[Action] = ()
) -> tuple[Memory, Block]:
    """As `advance`, looking ahead."""
    before = memory.foresight or Foresight()
    lengths = memory.lengths.unstretched
    memory, block = advance(plan, memory, readings, actions, soon=before.soon)
    return _foreseen(plan, memory, block, before, _changed(lengths, memory, actions)), block


def foreseeing_guarded(
    plan: Plan, memory: Memory, readings: Readings, actions: Sequence[Action] = ()
) -> tuple[Memory, Block]:
    """As `advance_guarded`, looking ahead. A fault in the look ahead leaves what was foreseen before; its
    trace stands in the block."""
    before = memory.foresight or Foresight()
    lengths = memory.lengths.unstretched
    memory, block = advance_guarded(plan, memory, readings, actions, soon=before.soon)
    try:
        return _foreseen(plan, memory, block, before, _changed(lengths, memory, actions)), block
    except Exception:  # guards the replay: a fault in the look ahead leaves the watch as it is
        return memory, replace(block, fault=block.fault or traceback.format_exc())


def foreseen(tape: Tape) -> Tape:
    """The same tape, looking ahead as it goes; its plan must have the rules of what is ahead."""
    return replace(tape, cycle=foreseeing_guarded, every=EVERY_S)


def ground_of(plan: Plan) -> Ground:
    """What a look ahead needs of a plan."""
    return Ground(plan.stay, plan.arrangement, plan.rules, plan.criteria)


def _changed(lengths: np.ndarray, memory: Memory, actions: Sequence[Action]) -> bool:
    """Whether what was done has changed a length."""
    return bool(actions) and not np.array_equal(lengths, memory.lengths.unstretched, equal_nan=True)


def _foreseen(plan: Plan, memory: Memory, block: Block, before: Foresight, changed: bool) -> Memory:
    now = float(block.readings.time[0])
    due = before.opens(now, EVERY_S)
    if plan.tide is None or not (due or changed):
        return memory
    trail = (*before.trail, trail_row(block, 0))[-MOST_ROWS:] if due else before.trail
    return replace(memory, foresight=Foresight(trail, _soon(plan, memory, block, trail)))


def _soon(plan: Plan, memory: Memory, block: Block, trail: tuple[tuple[float, ...], ...]) -> tuple[Soon, ...]:
    of_stay = Far.of(plan.stay)
    hours = (plan.stay.outlook.soon_min + BEYOND_MIN) / 60.0
    far = replace(of_stay, hours=min(hours, of_stay.hours))
    present = Trail(trail).present(block, memory)
    return soon_of(look_ahead(ground_of(plan), present, far, tend=False))
