"""A gauge that does not move while what it measures must: stuck, frozen, or jittering about one value."""

from collections.abc import Callable
from math import isnan
from typing import Final

import numpy as np

from alongside.cycle.plausibility.bench import Bench, Row
from alongside.cycle.plausibility.model import Doubt
from alongside.forecast.expected.witnesses import DRAUGHTS, LOCK_S
from alongside.readings import Quality, Readings, Reason

STILL_M: Final = 0.02
"""Means over three minutes of a gauge that stands still differ by less, whatever its jitter."""
MOVES_M: Final = 0.5
"""A table that moved so far, and `MOVES_SHARE` of its range, while the gauge stood: no stand of the tide
keeps within two centimetres so long."""
MOVES_SHARE: Final = 0.05
DRAUGHT_MOVES_M: Final = 0.15
OFF_PLAN_S: Final = (-7200.0, -3600.0, 3600.0, 7200.0)
WIND_MS: Final = 0.05
WIND_S: Final = 3600.0
CALM_MS: Final = 0.3
CALM_S: Final = 3 * 3600.0
"""Cups stand still in a calm; hours of it without a breath are rare enough to be looked at."""
VANE_DEG: Final = 1.01
VANE_S: Final = 7200.0
BREEZE_MS: Final = 2.0
CELL_KN: Final = 0.05
CELL_S: Final = 7200.0
LEAST_CELL_KN: Final = 2.0
FROZEN_ENDS_S: Final = 420.0
"""A value that moves again by its last digit may be the same stuck gauge: by then its witnesses have compared
it with what it said before."""


def hold_frozen(bench: Bench, readings: Readings, row: int) -> None:
    """Doubt every gauge whose value is the same to the last digit at one instant: its witness is heard beside
    it, and somebody who has looked can say which is right."""
    for at, channel in enumerate(readings.channels):
        frozen = readings.reason[row, at] == Reason.FROZEN
        if not frozen and (channel, Reason.FROZEN) not in bench.doubts:
            continue
        since = bench.now - bench.witnesses.freeze_s(channel)
        moves = readings.quality[row, at] == Quality.GOOD
        if frozen and channel == "tide" and not bench.doubted("tide"):
            # What was taken for a surge meanwhile is the table that left the gauge behind.
            surge = readings.value[row, at] - bench.witnesses.table(np.array([since]))[0]
            bench.residual = bench.residual if isnan(surge) else float(surge)
        doubt = Doubt(channel, Reason.FROZEN, since, against="itself")
        bench.hold(doubt, bool(frozen), bool(moves), 0.0, FROZEN_ENDS_S)


def look_for_stillness(bench: Bench) -> None:
    """Judge by the samples of the last hours, kept every five minutes."""
    rows = list(bench.slow)
    for channel in bench.channels:
        if channel == "tide":
            _tide(bench, rows)
        elif channel in ("draught_fwd", "draught_aft"):
            _draught(bench, rows, channel)
        elif channel == "wind_speed":
            _wind(bench, rows)
        elif channel == "wind_from":
            _vane(bench, rows)
        elif channel.startswith("tension."):
            _cell(bench, rows, channel)


def stretch_of(rows: list[Row], at: int, within: float) -> list[Row]:
    """Return the newest rows, in order, over which column `at` was heard and kept within so much."""
    low = high = rows[-1][at] if rows else float("nan")
    count = 0
    for row in reversed(rows):
        value = row[at]
        if isnan(value):
            break
        low, high = min(low, value), max(high, value)
        if high - low > within:
            break
        count += 1
    return rows[len(rows) - count :]


def _span(rows: list[Row], says: Callable[[Row], float]) -> float:
    values = [says(row) for row in rows]
    known = [value for value in values if not isnan(value)]
    return max(known) - min(known) if len(known) > 1 else 0.0


def _hold_still(bench: Bench, channel: str, still: list[Row], fails: bool, heard: bool) -> None:
    since = still[0][0] if still else bench.now
    doubt = Doubt(channel, Reason.STILL, since, against="itself")
    # One more value apart from the others ends the stretch: then it moves again.
    bench.hold(doubt, fails, heard and len(still) < 3, 0.0, 0.0)


def _tide(bench: Bench, rows: list[Row]) -> None:
    at = bench.place["tide"]
    still = stretch_of(rows, at, STILL_M)
    surely = bench.now - (LOCK_S if bench.witnesses.is_lock else 0.0)
    moved = _span([row for row in still if row[0] <= surely], lambda row: bench.expected[row[0]][at - 1])
    needed = MOVES_M + MOVES_SHARE * bench.witnesses.range_m
    if moved >= needed and not bench.doubted("tide"):
        # What was taken for a surge meanwhile is the table that left the gauge behind.
        bench.residual = still[0][at] - bench.expected[still[0][0]][at - 1]
    _hold_still(bench, "tide", still, moved >= needed, bool(rows) and not isnan(rows[-1][at]))


def _draught(bench: Bench, rows: list[Row], channel: str) -> None:
    """Both ends that stand are a gang that stands; one that does while the other moves with the plan is a
    gauge that is stuck."""
    at = bench.place[channel]
    other = bench.place.get("draught_aft" if channel == "draught_fwd" else "draught_fwd")
    still = stretch_of(rows, at, STILL_M)
    fails = False
    if other is not None and len(still) > 1:
        by_plan = _span(still, lambda row: bench.expected[row[0]][at - 1])
        ends = [still[0][other], still[-1][other]]
        fails = by_plan >= DRAUGHT_MOVES_M and abs(ends[1] - ends[0]) >= DRAUGHT_MOVES_M
        fails = fails and _moves_anyhow(bench, channel, still)
    _hold_still(bench, channel, still, fails, bool(rows) and not isnan(rows[-1][at]))


def _moves_anyhow(bench: Bench, channel: str, still: list[Row]) -> bool:
    """Whether the plan moves this draught also where the gang is hours ahead of it or behind: in another hold
    one end may stand while the other moves."""
    time = np.array([row[0] for row in still])
    by_plan = (bench.witnesses.draughts(time + shift)[:, DRAUGHTS.index(channel)] for shift in OFF_PLAN_S)
    return all(np.ptp(each) >= DRAUGHT_MOVES_M for each in by_plan)


def _wind(bench: Bench, rows: list[Row]) -> None:
    at = bench.place["wind_speed"]
    still = stretch_of(rows, at, WIND_MS)
    lasted = still[-1][0] - still[0][0] if still else 0.0
    calm = bool(still) and still[-1][at] < CALM_MS
    _hold_still(bench, "wind_speed", still, lasted >= (CALM_S if calm else WIND_S), bool(rows))


def _vane(bench: Bench, rows: list[Row]) -> None:
    at, speed = bench.place["wind_from"], bench.place.get("wind_speed")
    still = stretch_of(rows, at, VANE_DEG)
    breeze = speed is not None and all(row[speed] > BREEZE_MS for row in still)
    lasted = still[-1][0] - still[0][0] if still else 0.0
    _hold_still(bench, "wind_from", still, breeze and lasted >= VANE_S, bool(rows))


def _cell(bench: Bench, rows: list[Row], channel: str) -> None:
    at, tide = bench.place[channel], bench.place.get("tide")
    still = stretch_of(rows, at, CELL_KN)
    fails = False
    if tide is not None and still and abs(still[-1][at]) > LEAST_CELL_KN:
        lasted = still[-1][0] - still[0][0]
        moved = max(
            _span(still, lambda row: row[tide]), _span(still, lambda row: bench.expected[row[0]][tide - 1])
        )
        fails = lasted >= CELL_S and moved >= MOVES_M
    _hold_still(bench, channel, still, fails, bool(rows) and not isnan(rows[-1][at]))
