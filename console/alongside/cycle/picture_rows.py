"""Lines, fenders and channels at one instant of a block, a row each, as the Picture has them."""

import numpy as np

from alongside.alerts.assess import line_stages
from alongside.alerts.bars import line_bars
from alongside.cycle.bar_trends import bar_trends
from alongside.cycle.block import Block
from alongside.cycle.cell_figures import cell_figures
from alongside.cycle.chart_history import Past
from alongside.cycle.deck.line_state import deed_to_take_back
from alongside.cycle.guard import Guard
from alongside.cycle.line_known import NO_LIMITS, no_length_at, why_not_known
from alongside.cycle.line_row import IfSlipped, LineRow
from alongside.cycle.memory import Memory
from alongside.cycle.picture import ChannelRow, FenderRow
from alongside.cycle.plausibility.carried_on import spread_of
from alongside.cycle.trends import (
    line_trend,
)
from alongside.forecast.basis import Basis
from alongside.forecast.rope_ranges import rope_ranges, unknown_ranges
from alongside.mechanics.state import LineStates
from alongside.readings import Quality, Readings, Reason
from alongside.stay.causes import worst_cause

LINE_NUMBERS = tuple(name for name in LineStates.__dataclass_fields__)
"""Figures of a line that are its state, as `LineRow` has them."""


def line_rows(
    basis: Basis, block: Block, memory: Memory, past: Past, row: int, guard: Guard
) -> tuple[LineRow, ...]:
    """Return all that is known of each line, in the order of the stay; ranges that fail are not known."""
    numbers = {name: getattr(block.hold.lines, name)[row].tolist() for name in LINE_NUMBERS}
    stages = next(line_stages(block.assessment, basis.arrangement.ids, [row]))
    bars = next(line_bars(block.assessment, basis.stay, [row]))
    trends = [line_trend(basis, past, block, line.id) for line in basis.stay.lines]
    bar_rates = bar_trends(basis, past, block, bars, trends)
    here, held = block.situation.rows(row, row + 1), block.hold.rows(row, row + 1)
    cells = cell_figures(block.readings.rows(row, row + 1), held, basis.arrangement.ids)
    lines = held.lines
    ranges = guard.run(
        "ranges", lambda: rope_ranges(basis, here, lines, held.pose), lambda: unknown_ranges(lines)
    )
    return tuple(
        LineRow(
            id=line.id,
            role=line.role,
            stage=max(stages[index].values(), default=None),
            trend_per_h=trends[index],
            measured_kn=float(cells.measured_kn[0, index]),
            peak_kn=float(cells.peak_kn[0, index]),
            by_cell=bool(cells.by_cell[0, index]),
            stages=stages[index],
            because=worst_cause(stages[index], bars[index]),
            bars=bars[index],
            bar_per_h=bar_rates[index],
            why=why_not_known(block.hold, row, index) or ("" if stages[index] else NO_LIMITS),
            no_length=no_length_at(block.hold, row, index),
            if_slipped=slipped_figures(block, row, index),
            last_deed=deed_to_take_back(memory.lengths, index, line.id),
            **{name: values[index] for name, values in numbers.items()},
            **ranges.of_line(0, index),
        )
        for index, line in enumerate(basis.stay.lines)
    )


def slipped_figures(block: Block, row: int, column: int) -> IfSlipped | None:
    """Return one line as it is if brakes in question slipped; None where none is at that instant."""
    slipped = block.others.slipped
    if slipped is None or np.isnan(slipped.over.ran_out_m[row]).all():
        return None
    at = row, column
    return IfSlipped(
        tension_kn=float(slipped.hold.lines.tension_kn[at]),
        stretch_share=float(slipped.hold.lines.stretch_share[at]),
        ran_out_m=float(slipped.over.ran_out_m[at]),
        most_kn=float(slipped.over.most_kn[at]),
        or_more=slipped.over.is_or_more(row, column),
    )


def fender_rows(basis: Basis, block: Block, row: int) -> tuple[FenderRow, ...]:
    """Return how far each fender is pressed in, and what it pushes with."""
    fenders = block.hold.fenders
    return tuple(
        FenderRow(fender.x, float(fenders.deflection[row, index]), float(fenders.reaction_kn[row, index]))
        for index, fender in enumerate(basis.stay.berth.fenders)
    )


def channel_rows(basis: Basis, readings: Readings, row: int) -> tuple[ChannelRow, ...]:
    """Return the value of each channel that is fitted, and what is to be thought of it."""
    feed_of = {source.channel: feed.name for feed in basis.stay.feeds for source in feed.channels}
    return tuple(
        ChannelRow(
            channel=channel,
            feed=feed_of.get(channel, ""),
            value=float(readings.value[row, column]),
            quality=Quality(int(readings.quality[row, column])),
            reason=Reason(int(readings.reason[row, column])),
            age=float(readings.age[row, column]),
            why=readings.why(channel, row),
            spread=spread_of(readings, row, column),
        )
        for column, channel in enumerate(readings.channels)
        if readings.reason[row, column] != Reason.NOT_FITTED
    )
