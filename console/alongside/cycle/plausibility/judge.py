"""Every witness heard, once in each whole minute of log time; what it says stands until the next."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import isnan

import numpy as np
from numpy.typing import NDArray

from alongside.actions import Action, JudgeChannel
from alongside.cycle.plausibility.bench import Bench, Row
from alongside.cycle.plausibility.by_hand import HandReadings
from alongside.cycle.plausibility.hand_witness import by_hand_at, weigh_by_hand
from alongside.cycle.plausibility.jumps import look_for_jumps, look_for_slow_jumps
from alongside.cycle.plausibility.model import AGE, SLOW_S, TIDE_S, Doubt, Plausibility
from alongside.cycle.plausibility.ship_witness import (
    settle_jumps,
    weigh_cells,
    weigh_depth,
    weigh_draughts,
    weigh_ends,
    weigh_heading,
    weigh_heel,
)
from alongside.cycle.plausibility.still import hold_frozen, look_for_stillness
from alongside.cycle.plausibility.tide_witness import clear, weigh_course, weigh_level, weigh_tides
from alongside.forecast.expected.witnesses import DRAUGHTS, Witnesses
from alongside.readings import Floats, Quality, Readings, Reason

CARRIED = ("draught_fwd", "draught_aft", "draught_mid_port", "draught_mid_stbd", "heel")
"""Channels that are carried on when they fall silent; the tide is by its own table."""


@dataclass(frozen=True, slots=True)
class Verdict:
    """What stands from one row of a block on: doubts, channels set aside, the last good values."""

    row: int
    doubts: tuple[Doubt, ...]
    set_aside: tuple[str, ...]
    good: dict[str, tuple[float, float, float]]
    residual: float
    shifts: dict[str, float]


def judged(
    witnesses: Witnesses,
    memory: Plausibility,
    readings: Readings,
    actions: Sequence[Action] = (),
    read_by_hand: HandReadings = (),
) -> tuple[Plausibility, tuple[Verdict, ...]]:
    """Return what is remembered after n instants, and the verdicts of the block by row, the first at row 0.

    `actions` take effect at the first instant."""
    rows = _minute_rows(readings.time, memory.last_minute)
    by_hand = [action for action in actions if isinstance(action, JudgeChannel)]
    channels = *readings.channels, AGE
    if not rows.size and not by_hand and memory.channels == channels:
        return memory, (verdict_of(memory),)
    good = np.where(readings.quality[rows] == Quality.GOOD, readings.value[rows], np.nan)
    age = _tide_age(readings)[rows]
    bench = _bench(witnesses, memory, readings, rows, age)
    for action in by_hand:
        accept(bench, action)
    verdicts = [_of_bench(0, bench)]
    table = witnesses.table(readings.time[rows] - age)
    shape = witnesses.shape(readings.time[rows])
    samples = np.column_stack([readings.time[rows], good, age, table, shape]).tolist()
    hand = by_hand_at(witnesses, read_by_hand, readings.time[rows])
    for row, (*sample, bench.table, bench.shape), bench.by_hand in zip(
        rows.tolist(), samples, hand, strict=True
    ):
        bench.now = sample[0]
        hold_frozen(bench, readings, row)
        _hear(bench, tuple(sample))
        verdict = _of_bench(row, bench)
        if not row:
            verdicts = [verdict]
        else:
            verdicts.append(verdict)
    return bench.frozen(), tuple(verdicts)


def _minute_rows(time: Floats, last: float) -> NDArray[np.intp]:
    """Rows that are the first of their minute, which none was before."""
    minute = np.floor(time / 60.0)
    rows: NDArray[np.intp] = np.flatnonzero(np.diff(minute, prepend=last) > 0.0)
    return rows


def _tide_age(readings: Readings) -> Floats:
    """(n,) seconds since the newest level; 0 where there is none."""
    if "tide" not in readings.channels:
        return np.zeros(len(readings))
    return np.nan_to_num(readings.age[:, readings.channels.index("tide")])


def _bench(
    witnesses: Witnesses, memory: Plausibility, readings: Readings, rows: NDArray[np.intp], age: Floats
) -> Bench:
    """The notes to go on with, and what table and plan say at every instant that may be looked at."""
    kept = {row[0]: row[-1] for row in (*memory.minutes, *memory.slow)}
    ages = kept | dict(zip(readings.time[rows].tolist(), age.tolist(), strict=True))
    time = np.array(sorted(ages))
    level_time = time - np.array([ages[at] for at in time.tolist()])
    columns = np.full((time.size, len(readings.channels)), np.nan)
    place = {name: at for at, name in enumerate(readings.channels)}
    if "tide" in place:
        columns[:, place["tide"]] = witnesses.table(level_time)
        if "depth" in place:
            columns[:, place["depth"]] = columns[:, place["tide"]]
    if any(name in place for name in DRAUGHTS):
        by_plan = witnesses.draughts(time)
        for at, name in enumerate(DRAUGHTS):
            if name in place:
                columns[:, place[name]] = by_plan[:, at]
    expected: dict[float, Row] = dict(zip(time.tolist(), map(tuple, columns.tolist()), strict=True))
    return Bench.of(witnesses, (*readings.channels, AGE), memory, expected)


def _hear(bench: Bench, row: Row) -> None:
    """Take one sample and hear what is due at it."""
    before = bench.minutes[-1][0] if bench.minutes else -np.inf
    bench.minutes.append(row)
    look_for_jumps(bench)
    weigh_by_hand(bench)
    weigh_level(bench)
    if "heading" in bench.place:
        weigh_heading(bench)
    if "heel" in bench.place:
        weigh_heel(bench)
    if "depth" in bench.place:
        weigh_depth(bench)
    weigh_cells(bench)
    if row[0] // SLOW_S > before // SLOW_S:
        bench.slow.append(row)
        look_for_stillness(bench)
        weigh_draughts(bench)
        settle_jumps(bench)
        weigh_ends(bench)
        if "tide" in bench.place:
            look_for_slow_jumps(bench)
            weigh_course(bench)
    if "tide" in bench.place and row[0] // TIDE_S > before // TIDE_S:
        level = bench.value("tide")
        if not isnan(level):
            bench.tide.append((row[0] - row[-1], level))
            if bench.witnesses.tide is not None:
                weigh_tides(bench, bench.witnesses.table)
    bench.set_aside = {channel for channel in bench.set_aside if bench.doubted(channel)}
    if not isnan(bench.value("tide")):
        bench.tide_heard = bench.now
    _keep_good(bench)


def _keep_good(bench: Bench) -> None:
    """Note the last believed value of what can be carried on, and how fast it was moving."""
    for channel in CARRIED:
        at = bench.place.get(channel)
        if at is None or isnan(bench.minutes[-1][at]) or bench.doubted(channel):
            continue
        value = bench.minutes[-1][at]
        rate = 0.0
        if bench.slow and bench.now - bench.slow[0][0] > 900.0:
            oldest = bench.slow[0]
            rate = (value - oldest[at]) / (bench.now - oldest[0]) * 3600.0
        bench.good[channel] = bench.now, value, 0.0 if isnan(rate) else rate


def accept(bench: Bench, action: JudgeChannel) -> None:
    """End the doubt of a channel as somebody who looked says: the gauge is right, with what it differs by
    now, or its witness is."""
    channel = action.channel
    if channel not in bench.place:
        return
    if action.right == "witness":
        if bench.doubted(channel):
            bench.set_aside.add(channel)
        return
    bench.set_aside.discard(channel)
    _accept_offsets(bench, channel)
    clear(bench, channel)
    for name in [name for name in bench.timers if name.startswith(f"{channel} ")]:
        del bench.timers[name]
    at = bench.place[channel]
    # What was seen of it until now is no evidence any more.
    for rows in (bench.minutes, bench.slow):
        seen = [(*row[:at], float("nan"), *row[at + 1 :]) for row in rows]
        rows.clear()
        rows.extend(seen)


def _accept_offsets(bench: Bench, channel: str) -> None:
    for doubt in [doubt for (name, _), doubt in bench.doubts.items() if name == channel]:
        if doubt.reason is Reason.APART:
            continue  # the reading by hand is dropped, no difference from it is kept
        if channel == "tide":
            above = bench.value("tide") - bench.expected[bench.minutes[-1][0]][bench.place["tide"] - 1]
            if not isnan(above):
                bench.offsets["tide"] = bench.residual = above
                bench.smallest = 0.0
            bench.tide.clear()
        elif doubt.against == "midship" and channel.startswith("draught"):
            bench.offsets["midship"] = bench.offsets.get("midship", 0.0) + doubt.off
            for other in DRAUGHTS:
                bench.doubts.pop((other, doubt.reason), None)
        elif doubt.against in ("plan", "berth", "chart", "midship"):
            bench.offsets[channel] = bench.offsets.get(channel, 0.0) + doubt.off


def verdict_of(memory: Plausibility) -> Verdict:
    """Return what stands from row 0 on by what is remembered."""
    return Verdict(
        0, memory.doubts, memory.set_aside, dict(memory.good), memory.residual, dict(memory.shifts)
    )


def _of_bench(row: int, bench: Bench) -> Verdict:
    return Verdict(
        row,
        tuple(bench.doubts.values()),
        tuple(sorted(bench.set_aside)),
        dict(bench.good),
        bench.residual,
        dict(bench.shifts),
    )
