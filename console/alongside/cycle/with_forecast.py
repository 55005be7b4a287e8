"""The cycle of a replay that looks ahead as it goes, so that what comes next is among its alerts.

It looks ahead from the last instant of every ten minutes of log time and once a length has been changed by
hand, no farther than the caution asks, and hands on in its memory what it expects: no thread, no clock, the
same outcome wherever the log is cut. A player must cut the log for it, see
`alongside.runtime.log_player.Player`.

The page Ahead of a replay looks ahead from the very same instants, samples and cases, farther and with the
rounds (`alongside.runtime.forecast_worker`), so the limits it shows are those of the caution. What remains:
it works beside the cycles, so in a fast replay it may show an older answer than the caution's; and before the
first ten minutes are over, or after a length has changed by the stay file alone, it looks ahead from the
instant at hand.
"""

import traceback
from collections.abc import Sequence
from dataclasses import replace
from typing import Final

import numpy as np

from alongside.actions import (
    AcceptLearnt,
    Action,
    ChangeCargo,
    Correct,
    LetTugGo,
    PutTug,
    SayTransfer,
    SetBrake,
)
from alongside.cycle.advance import advance, advance_guarded
from alongside.cycle.block import Block, Circumstances
from alongside.cycle.deck.altered import altered
from alongside.cycle.forecast_memory import MOST, SPARE, ForecastMemory
from alongside.cycle.gauge_samples import present_at, read_by_hand, sample_at, sampled
from alongside.cycle.memory import Memory
from alongside.forecast.basis import Basis
from alongside.forecast.decide_by import decide_by
from alongside.forecast.look_ahead import Far, look_ahead
from alongside.forecast.next_limit import next_limits_of
from alongside.readings import Floats, Readings

EVERY_S: Final = 600.0
"""Half as often as the live watch, where it costs no cycle: a day of log is then foreseen in some seconds."""
DECK: Final = (PutTug, LetTugGo, ChangeCargo, SayTransfer, SetBrake, AcceptLearnt, Correct)
"""What changes the hours ahead and no length."""
BEYOND_MIN: Final = 30.0
"""A limit is looked for so much later than the caution is raised: the caution is kept up a while longer than
it takes to raise it."""


def advance_with_forecast(
    basis: Basis, memory: Memory, readings: Readings, actions: Sequence[Action] = ()
) -> tuple[Memory, Block]:
    """Return what `advance` returns, looking ahead."""
    memory = _looked(basis, memory, float(readings.time[0]))
    memory, block = advance(basis, memory, readings, actions, _around(memory))
    return _handed_on(basis, memory, block, actions), block


def advance_with_forecast_guarded(
    basis: Basis, memory: Memory, readings: Readings, actions: Sequence[Action] = ()
) -> tuple[Memory, Block]:
    """Return what `advance_guarded` returns, looking ahead. A fault in the look ahead leaves what was
    expected before; its trace stands in the block."""
    fault = ""
    try:
        memory = _looked(basis, memory, float(readings.time[0]))
    except Exception:  # guards the replay: a fault in the look ahead leaves the watch as it is
        fault = traceback.format_exc()
    around = _around(memory)
    memory, block = advance_guarded(basis, memory, readings, actions, around)
    try:
        memory = _handed_on(basis, memory, block, actions)
    except Exception:  # guards the replay: what the watch did stands, the fault is on the block
        fault = fault or traceback.format_exc()
    return memory, replace(block, fault=block.fault or fault)


def _around(memory: Memory) -> Circumstances:
    """Return what the last look ahead says."""
    if memory.foresight is None:
        return Circumstances()
    return Circumstances(next_limits=memory.foresight.soon, decisions=memory.foresight.decisions)


def _looks(basis: Basis) -> bool:
    return basis.tide is not None or basis.stay.decide is not None


def _looked(basis: Basis, memory: Memory, now: float) -> Memory:
    """Return the memory before the cycle at `now`, looked ahead from the cycle before where that is due."""
    before = memory.foresight
    if not _looks(basis) or before is None or not before.is_due(now, EVERY_S):
        return memory
    return replace(memory, foresight=_asked(altered(basis, memory.lengths.deck), before))


def _handed_on(basis: Basis, memory: Memory, block: Block, actions: Sequence[Action]) -> Memory:
    """Return the memory after a block, with its samples and last instant; looked ahead from there where an
    action has changed a length, or the forecast of the wind."""
    last, row = present_at(block, memory, stay=basis.stay), sample_at(block, len(block.situation) - 1)
    last = replace(last, heard=read_by_hand(block.readings, memory))
    before = memory.foresight or ForecastMemory(last, row)
    after = replace(before, last=last, row=row, trail=sampled(before.trail, block, MOST + SPARE))
    anew = (
        not same_lengths(before.last.unstretched, last.unstretched)
        or before.last.wind_forecast != last.wind_forecast
        or any(isinstance(each, DECK) for each in actions)
    )
    if actions and _looks(basis) and anew:
        after = _asked(altered(basis, memory.lengths.deck), after)
    return replace(memory, foresight=after)


def same_lengths(one: Floats, other: Floats) -> bool:
    """Return whether the same lengths are out."""
    return np.array_equal(one, other, equal_nan=True)


def _asked(basis: Basis, memory: ForecastMemory) -> ForecastMemory:
    """Return the memory with what a look ahead from the last instant played expects next."""
    asking = memory.asking()
    assert asking.present is not None, "just asked"
    forecast = look_ahead(basis, asking.present, far_of_caution(basis), tend=False)
    return replace(asking, soon=next_limits_of(forecast), decisions=decide_by(basis, asking.present))


def far_of_caution(basis: Basis) -> Far:
    """Return how far the caution looks: whole half hours, as what the lines hold is worked out in such."""
    hours = np.ceil((basis.stay.outlook.soon_min + BEYOND_MIN) / 30.0) / 2.0
    return replace(Far.of(basis.stay), hours=min(float(hours), basis.stay.outlook.hours))
