"""What the gauges measured so far, thinned to what a look ahead rests on: one rule for whoever looks ahead.

A sample is the first instant of every five minutes, however a stay is cut into blocks. Samples are tuples of
rows (UNIX s, then `MEASURED`, NaN where nothing was measured), so that a memory may hold them; they come from
blocks as they are played, or from the chart history where a watch has gone on from its record.
"""

from collections.abc import Collection
from dataclasses import replace
from math import inf, isfinite, nan
from typing import Final

import numpy as np
from numpy.typing import NDArray

from alongside.cycle.block import Block
from alongside.cycle.forecast_memory import Sample
from alongside.cycle.line_known import no_length_after
from alongside.cycle.memory import Memory
from alongside.cycle.picture import History
from alongside.forecast.expected.wind_forecast import known_forecast
from alongside.forecast.present import Heard, Present, Unsure
from alongside.mechanics.situation import heel_from_midship
from alongside.readings import Floats, Quality, Readings, Reason
from alongside.stay.channels import TENSION
from alongside.stay.model import Stay

EVERY_S: Final = 300.0
MOST: Final = 30 * 288
"""Samples kept: thirty days."""
DRAUGHTS: Final = ("draught_fwd", "draught_aft")
LEVELS: Final = ("tide", *DRAUGHTS)
MEASURED: Final = (*LEVELS, "heel_deg", "wind_speed", "wind_from")

Samples = tuple[Sample, ...]


def sampled(samples: Samples, block: Block, most: int = MOST) -> Samples:
    """Return samples with those of a block added, the newest `most` of them."""
    rows = _first_of_each(block.situation.time, samples[-1][0] if samples else -np.inf)
    if not rows.size:
        return samples
    return (*samples, *(sample_at(block, row) for row in rows.tolist()))[-most:]


def sample_at(block: Block, row: int) -> Sample:
    """Return one instant of a block as a sample; an expected tide and a heel without a gauge are NaN, and
    so is what goes by hand: it was measured when it was read, see `read_by_hand`."""
    values = {name: float(getattr(block.situation, name)[row]) for name in MEASURED}
    for name in LEVELS:
        if not _is_measured(block.readings, name, row):
            values[name] = nan
    if not block.situation.heel_measured:
        values["heel_deg"] = nan
    return float(block.situation.time[row]), *values.values()


def samples_of(
    history: History, breadth: float, memory: Memory, now: float, no_gauge: Collection[str] = ()
) -> Samples:
    """Return the samples that a chart history up to `now` holds, for a ship of `breadth` m.

    A tide that stands in for a gauge which still gives no signal counts as not measured, and so does all of
    a channel that has `no_gauge`.
    """
    rows = _first_of_each(history.time, -np.inf)
    rows = rows[history.time[rows] <= now]
    time = history.time[rows]

    def column(name: str) -> Floats:
        is_measured = name in history.series and name not in no_gauge
        return history.series[name][rows] if is_measured else np.full(time.size, np.nan)

    heel = column("heel")
    midship = heel_from_midship(column("draught_mid_port"), column("draught_mid_stbd"), breadth)
    heel = np.where(np.isnan(heel), midship, heel)
    measured_until = _measured_until(memory)
    tide = np.where(time > measured_until, np.nan, column("tide"))
    others = (column(name) for name in DRAUGHTS)
    wind = (column(name) for name in ("wind_speed", "wind_from"))
    return tuple(zip(*(each.tolist() for each in (time, tide, *others, heel, *wind)), strict=True))


def present_at(block: Block, memory: Memory, samples: Samples = (), stay: Stay | None = None) -> Present:
    """Return the last instant of a block, with what was measured up to it. With a `stay` the wind forecast is
    what its file has too."""
    last = len(block.situation) - 1
    here = block.situation.rows(last, last + 1)
    heard, lengths = heard_of(samples, sample_at(block, last)), memory.lengths
    heard = heard.merged(read_by_hand(block.readings, memory))
    codes = no_length_after(block.hold, lengths)
    present = Present.of(here, lengths.unstretched, heard, no_length=codes)
    brakes, cells = lengths.brakes, _good_cells(block.readings)
    unsure = _unsure(block, memory)
    known = replace(present, unsure=unsure, asked=brakes.asked, slipped=brakes.slipped, cells_kn=cells)
    typed = memory.wind_forecast
    forecast = typed if stay is None else known_forecast(stay, typed, present.time)
    return replace(known, wind_forecast=forecast, transfer=memory.decided.transfer)


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
        by_hand=any(_is_by_hand(block.readings, name) for name in DRAUGHTS),
    )


def _is_by_hand(readings: Readings, channel: str) -> bool:
    """Whether a channel is read by hand at the last instant, or would be if somebody had read it."""
    last = len(readings) - 1
    if channel not in readings.channels:
        return False
    by_hand = readings.reason[last, readings.channels.index(channel)] == Reason.BY_HAND
    return bool(by_hand) or _has_no_gauge(readings, channel, last)


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


def read_by_hand(readings: Readings, memory: Memory) -> Heard:
    """Return the levels that were read by hand, each when it was read, of channels that go by hand at the
    last instant."""
    by_hand = [name for name in LEVELS if _is_by_hand(readings, name)]
    read = [each for each in memory.by_hand if each.channel in by_hand and each.at <= readings.time[-1]]
    time = np.array(sorted({each.at for each in read}))
    columns = {name: np.full(time.size, np.nan) for name in MEASURED}
    for each in read:
        columns[each.channel][np.searchsorted(time, each.at)] = each.value
    return Heard(time, *columns.values())


def without_gauge(readings: Readings) -> tuple[str, ...]:
    """Return the levels that no gauge gives."""
    last = len(readings) - 1
    return tuple(name for name in LEVELS if name in readings.channels and _has_no_gauge(readings, name, last))


def _has_no_gauge(readings: Readings, channel: str, row: int) -> bool:
    heard = readings.by_gauges
    return bool(heard.reason[row, heard.channels.index(channel)] == Reason.NOT_FITTED)


def _is_measured(readings: Readings, channel: str, row: int) -> bool:
    """Return whether a gauge has measured a level at an instant: a tide that is only expected it has not."""
    if channel not in readings.channels:
        return channel != "tide"
    at = readings.channels.index(channel)
    reason = readings.reason[row, at]
    if reason == Reason.BY_HAND or _has_no_gauge(readings, channel, row):
        return False
    return channel != "tide" or bool(reason != Reason.EXPECTED)
