"""Readings by hand beside gauges: where no gauge is, or the hand's spread is the smaller and neither is in
doubt, the reading by hand stands for the channel, carried on by table or plan."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from alongside.cycle.plausibility.by_hand import CarriedByHand, HandReadings, carried_by_hand, with_stated
from alongside.cycle.plausibility.judge import Verdict
from alongside.cycle.plausibility.sigmas import GAUGE, SIGMAS, WEATHER_M
from alongside.forecast.expected.witnesses import Witnesses
from alongside.readings import READ_BY_HAND, Codes, Floats, Quality, Readings, Reason
from alongside.stay.model import Display
from alongside.wording.by_hand import by_hand_words

ONLY_WHERE_LOST: Final = ("wind_speed", "wind_from")
"""Wind changes within minutes: what somebody felt says nothing against a gauge."""


def with_readings_by_hand(
    witnesses: Witnesses, readings: Readings, by_hand: HandReadings, verdicts: Sequence[Verdict]
) -> Readings:
    """Return n instants of readings, with what was read by hand wherever it serves. A tide that no feed
    gives is by table until somebody reads the board, a draught by the stay file's own at making fast and the
    plan."""
    if not _may_serve(witnesses, readings, by_hand):
        return readings
    value, age = readings.value.copy(), readings.age.copy()
    quality, reason = readings.quality.copy(), readings.reason.copy()
    spread = np.full(value.shape, np.nan) if readings.spread is None else readings.spread.copy()
    stated = with_stated(witnesses, by_hand)
    for channel in READ_BY_HAND:
        if channel not in readings.channels:
            continue
        at = readings.channels.index(channel)
        fitted = readings.reason[:, at] != Reason.NOT_FITTED
        carried = carried_by_hand(witnesses, by_hand if fitted.any() else stated, channel, readings.time)
        known = ~np.isnan(carried.level)
        rows = known & np.where(fitted, _better(readings, at, carried, verdicts), True)
        value[rows, at], age[rows, at] = carried.level[rows], carried.age[rows]
        spread[rows, at] = carried.sigma[rows]
        quality[rows, at], reason[rows, at] = Quality.EXPECTED, Reason.BY_HAND
        if not fitted.any():
            _without_gauge(
                witnesses, channel, by_hand, readings.time, rows, at, (value, quality, reason, spread)
            )
    spread_known = None if np.isnan(spread).all() else spread
    with_hand = replace(readings, value=value, quality=quality, reason=reason, age=age, spread=spread_known)
    return replace(with_hand, heard=readings)


def _may_serve(witnesses: Witnesses, readings: Readings, by_hand: HandReadings) -> bool:
    """Whether anything was read by hand, or stands for a channel that no feed gives."""
    if by_hand:
        return True
    tide = witnesses.tide is not None and not readings.is_fitted("tide")
    draughts = witnesses.reference is not None and not readings.is_fitted("draught_fwd")
    return tide or draughts


def _without_gauge(
    witnesses: Witnesses,
    channel: str,
    by_hand: HandReadings,
    time: Floats,
    served: NDArray[np.bool_],
    at: int,
    columns: tuple[Floats, Codes, Codes, Floats],
) -> None:
    """Fill in a channel without a gauge where no reading of the watch serves: the table; draughts that the
    stay file states are expected, not read by hand."""
    value, quality, reason, spread = columns
    if channel == "tide":
        table = witnesses.table(time)
        rows = ~served & ~np.isnan(table)
        value[rows, at], spread[rows, at] = table[rows], np.hypot(WEATHER_M, witnesses.shape(time))[rows]
        quality[rows, at], reason[rows, at] = Quality.EXPECTED, Reason.EXPECTED
        return
    read_first = min((each.at for each in by_hand if each.channel == channel), default=np.inf)
    reason[served & (time < read_first), at] = Reason.EXPECTED


def _better(
    readings: Readings, at: int, carried: CarriedByHand, verdicts: Sequence[Verdict]
) -> NDArray[np.bool_]:
    """Return (n,) where a reading by hand goes before the gauge of a channel."""
    channel = readings.channels[at]
    quality = readings.quality[:, at]
    lost: NDArray[np.bool_] = quality == Quality.LOST
    if channel in ONLY_WHERE_LOST:
        return lost
    expected = quality == Quality.EXPECTED
    if readings.spread is not None:
        of_gauge = readings.spread[:, at]
        expected &= np.isnan(of_gauge) | (carried.sigma < of_gauge)
    # Where the two stand apart they are both in doubt from the next minute on: until then the gauge stays.
    apart = np.abs(readings.value[:, at] - carried.level) > SIGMAS * np.hypot(GAUGE[channel], carried.sigma)
    good = (quality == Quality.GOOD) & (carried.sigma < GAUGE[channel]) & ~apart
    better = lost | expected | good | (quality == Quality.SUSPECT)
    until = len(readings)
    for verdict in reversed(verdicts):
        rows = slice(verdict.row, until)
        until = verdict.row
        if channel in verdict.set_aside:
            better[rows] = True
        elif any(each.channel == channel and each.reason is Reason.APART for each in verdict.doubts):
            better[rows] = lost[rows]
    return np.asarray(better, dtype=bool)


def with_hand_words(display: Display, readings: Readings) -> Readings:
    """Return the readings with `by hand 06:30` as the reason in words of each channel that goes by hand."""
    columns = (readings.reason == Reason.BY_HAND).any(axis=0)
    channels = [channel for channel, by in zip(readings.channels, columns.tolist(), strict=True) if by]
    if not channels:
        return readings
    begins = {0}
    for channel in channels:
        at = readings.channels.index(channel)
        # Anew wherever another reading serves, or the gauge does.
        when = np.where(readings.reason[:, at] == Reason.BY_HAND, readings.time - readings.age[:, at], -1.0)
        begins |= {int(row) + 1 for row in np.flatnonzero(np.abs(np.diff(when)) > 1e-3)}
    whys = []
    for row in sorted(begins | {row for row, _ in readings.whys}):
        words = dict(next((why for begin, why in reversed(readings.whys) if begin <= row), {}))
        for channel in channels:
            at = readings.channels.index(channel)
            if readings.reason[row, at] == Reason.BY_HAND:
                read_at = float(readings.time[row] - readings.age[row, at])
                words[channel] = by_hand_words(read_at, display)
        whys.append((row, words))
    return replace(readings, whys=tuple(whys))
