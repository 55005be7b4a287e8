"""What the gauges measured so far, thinned to what a look ahead rests on: one rule for whoever looks ahead.

A sample is the first instant of every five minutes, however a stay is cut into blocks. Samples are tuples of
rows (UNIX s, then `MEASURED`, NaN where nothing was measured), so that a memory may hold them; they come from
blocks as they are played, or from the chart history where a watch has gone on from its record.
"""

from dataclasses import replace
from math import inf, isfinite, nan
from typing import Final

import numpy as np
from numpy.typing import NDArray

from alongside.cycle.advance import Block, Memory
from alongside.cycle.forecast_memory import Sample
from alongside.cycle.line_known import no_length_after
from alongside.cycle.picture import History
from alongside.forecast.present import Heard, Present, Unsure
from alongside.mechanics.situation import heel_from_midship
from alongside.readings import Floats, Quality, Readings, Reason
from alongside.stay.channels import TENSION

EVERY_S: Final = 300.0
MOST: Final = 30 * 288
"""Samples kept: thirty days."""
MEASURED: Final = ("tide", "draught_fwd", "draught_aft", "heel_deg", "wind_speed", "wind_from")

Samples = tuple[Sample, ...]


def sampled(samples: Samples, block: Block, most: int = MOST) -> Samples:
    """Return samples with those of a block added, the newest `most` of them."""
    rows = _first_of_each(block.situation.time, samples[-1][0] if samples else -np.inf)
    if not rows.size:
        return samples
    return (*samples, *(sample_at(block, row) for row in rows.tolist()))[-most:]


def sample_at(block: Block, row: int) -> Sample:
    """Return one instant of a block as a sample; an expected tide and a heel without a gauge are NaN."""
    values = {name: float(getattr(block.situation, name)[row]) for name in MEASURED}
    if not _tide_measured(block)[row]:
        values["tide"] = nan
    if not block.situation.heel_measured:
        values["heel_deg"] = nan
    return float(block.situation.time[row]), *values.values()


def samples_of(history: History, breadth: float, memory: Memory, now: float) -> Samples:
    """Return the samples that a chart history up to `now` holds, for a ship of `breadth` m.

    A tide that stands in for a gauge which still gives no signal counts as not measured.
    """
    rows = _first_of_each(history.time, -np.inf)
    rows = rows[history.time[rows] <= now]
    time = history.time[rows]

    def column(name: str) -> Floats:
        return history.series[name][rows] if name in history.series else np.full(time.size, np.nan)

    heel = column("heel")
    midship = heel_from_midship(column("draught_mid_port"), column("draught_mid_stbd"), breadth)
    heel = np.where(np.isnan(heel), midship, heel)
    measured_until = _measured_until(memory)
    tide = np.where(time > measured_until, np.nan, column("tide"))
    others = (column(name) for name in ("draught_fwd", "draught_aft"))
    wind = (column(name) for name in ("wind_speed", "wind_from"))
    return tuple(zip(*(each.tolist() for each in (time, tide, *others, heel, *wind)), strict=True))


def present_at(block: Block, memory: Memory, samples: Samples = ()) -> Present:
    """Return the last instant of a block, with what was measured up to it."""
    last = len(block.situation) - 1
    here = block.situation.rows(last, last + 1)
    heard, lengths = heard_of(samples, sample_at(block, last)), memory.lengths
    codes = no_length_after(block.hold, lengths)
    present = Present.of(here, lengths.unstretched, heard, no_length=codes)
    brakes, cells = lengths.brakes, _good_cells(block.readings)
    unsure = _unsure(block, memory)
    return replace(present, unsure=unsure, asked=brakes.asked, slipped=brakes.slipped, cells_kn=cells)


def _good_cells(readings: Readings) -> tuple[tuple[str, float], ...]:
    """Return what each load cell that is good says at the last instant: line and kN."""
    return tuple(
        (channel.removeprefix(TENSION), float(kn))
        for channel, kn, quality in zip(
            readings.channels, readings.value[-1], readings.quality[-1], strict=True
        )
        if channel.startswith(TENSION) and quality == Quality.GOOD and isfinite(kn)
    )


def _unsure(block: Block, memory: Memory) -> Unsure:
    """Return what is not sure of the last instant of a block."""
    since = {"tide": inf, "draught": inf}
    for doubt in memory.plausibility.doubts:
        about = doubt.channel.split("_")[0]
        if about in since:
            since[about] = min(since[about], doubt.since)
    here, by_witnesses = block.situation, block.others.by_witnesses
    other = None if by_witnesses is None else by_witnesses.situation

    def by_witness(name: str) -> float:
        figure = nan if other is None else float(getattr(other, name)[-1])
        return nan if figure == getattr(here, name)[-1] else figure

    return Unsure(
        tide=by_witness("tide"),
        draught_fwd=by_witness("draught_fwd"),
        draught_aft=by_witness("draught_aft"),
        heel_deg=by_witness("heel_deg"),
        tide_since=since["tide"],
        draughts_since=since["draught"],
        spread_fwd=_spread_of(block.readings, "draught_fwd"),
        spread_aft=_spread_of(block.readings, "draught_aft"),
    )


def _spread_of(readings: Readings, channel: str) -> float:
    """One standard deviation of a channel that is only expected at the last instant; 0 of any other."""
    if readings.spread is None or channel not in readings.channels:
        return 0.0
    return float(np.nan_to_num(readings.spread[-1, readings.channels.index(channel)]))


def heard_of(samples: Samples, now: Sample) -> Heard:
    """Return samples before `now` and that instant itself as columns."""
    columns = np.array([*(each for each in samples if each[0] < now[0]), now]).T
    return Heard(columns[0], *columns[1:])


def _first_of_each(time: Floats, last: float) -> NDArray[np.intp]:
    """Return rows of rising times (n,) that are the first of a period later than that of `last`."""
    period = np.floor(time / EVERY_S)
    before = np.maximum(np.floor(last / EVERY_S), np.concatenate([[-np.inf], period[:-1]])[: time.size])
    return np.flatnonzero(period > before)


def _measured_until(memory: Memory) -> float:
    """The last minute in which the tide was measured, UNIX seconds; infinite where nobody knows."""
    heard = [memory.plausibility.tide_heard, *(time for time, _ in memory.residuals[-1:])]
    known = [time for time in heard if np.isfinite(time)]
    return max(known) + 60.0 if known else np.inf


def _tide_measured(block: Block) -> NDArray[np.bool_]:
    """Return whether the tide was measured (n,), and not only expected."""
    readings = block.readings
    if "tide" not in readings.channels:
        return np.zeros(len(readings), dtype=bool)
    measured: NDArray[np.bool_] = readings.reason[:, readings.channels.index("tide")] != Reason.EXPECTED
    return measured
