"""What must not be overlooked in a stay, the worst first: what a reader asks about who reads no further."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import inf, isfinite, nan
from typing import Final

import numpy as np
from numpy.typing import NDArray

from alongside.reports.stay.alert_history import AlertHistory
from alongside.reports.stay.record_arrays import RecordArrays
from alongside.stay.stage import Stage
from alongside.wording.times import span

MOST: Final = 12
"""Rows shown; all alerts stand in their own table."""
BLIND_S: Final = 300.0
"""Without levels or wind for less than this nothing is said of it; common practice, no source."""
HAPPENED: Final = ("parted", "brake_slipped")
"""Events that come before any alert, in this order."""
FIRST: Final = ("off_fenders", "holding", "under_keel", "gangway", "drift")
"""Causes of the ship as a whole: their alarms come before those of one line."""


@dataclass(frozen=True, slots=True)
class Worst:
    """One row. `lasted_s` is NaN for what happens at once, and for what still `stands` as the record ends."""

    time: float
    stage: Stage | None
    text: str
    lasted_s: float = nan
    note: str = ""
    stands: bool = False


def worst_first(arrays: RecordArrays, alerts: Sequence[AlertHistory]) -> tuple[tuple[Worst, ...], int]:
    """Return the worst rows, and how many more there are: what parted or slipped, alarms and warnings that
    the ship came off her fenders or used up what her lines hold, alarms of lines, then gaps in the watch and
    times without levels or wind."""
    ranked = [*_happened(arrays), *_alerts(alerts), *_not_watched(arrays)]
    rows = [row for _, row in sorted(ranked, key=lambda each: (each[0], each[1].time))]
    return tuple(rows[:MOST]), max(0, len(rows) - MOST)


Ranked = tuple[tuple[float, ...], Worst]


def _happened(arrays: RecordArrays) -> Iterator[Ranked]:
    for event in arrays.events:
        if event.event in HAPPENED:
            stage = Stage.ALARM if event.event == "parted" else event.stage
            yield (0.0, HAPPENED.index(event.event)), Worst(event.time, stage, event.text)


def _alerts(alerts: Sequence[AlertHistory]) -> Iterator[Ranked]:
    """Alarms, and warnings of the ship as a whole."""
    for one in alerts:
        cause = one.episode.key[0]
        of_ship = cause in FIRST
        if one.worst < (Stage.WARNING if of_ship else Stage.ALARM):
            continue
        ends = one.ended if isfinite(one.ended) else one.rectified
        answered = f"acknowledged by {one.by}" if one.by else "not acknowledged"
        place = float(FIRST.index(cause)) if of_ship else float(len(FIRST))
        yield (
            (1.0, -float(one.worst), place),
            Worst(one.raised, one.worst, one.text, ends - one.raised, answered, stands=not isfinite(ends)),
        )


def _not_watched(arrays: RecordArrays) -> Iterator[Ranked]:
    for event in arrays.events:
        if event.event == "gap" and (event.value or 0.0) > 0.0:
            length = event.value or 0.0
            yield (2.0, -length), Worst(event.time - length, None, "Nobody watched: no states", length)
    yield from (((2.5, -row.lasted_s), row) for row in _without_levels(arrays))
    yield from (((3.0, -row.lasted_s), row) for row in _without_wind(arrays))


def _without_levels(arrays: RecordArrays) -> Iterator[Worst]:
    """Spells in which nothing was computed, for want of tide or draughts."""
    levels = [arrays.number[name] for name in ("tide", "draught_fwd", "draught_aft")]
    text = "Watch without tide or draughts: nothing was known of any line"
    yield from _spells(arrays, ~np.isfinite(np.sum(levels, axis=0)), text)


def _without_wind(arrays: RecordArrays) -> Iterator[Worst]:
    """Spells without any wind, where a gauge gives it or it is on record at all."""
    unknown = ~np.isfinite(arrays.number["wind_ms"])
    has_gauge = any(source.channel == "wind_speed" for feed in arrays.stay.feeds for source in feed.channels)
    if has_gauge or not unknown.all():
        yield from _spells(arrays, unknown, "Watch without wind: none was heard")


def _spells(arrays: RecordArrays, unknown: NDArray[np.bool_], text: str) -> Iterator[Worst]:
    """Yield spells (n,) that are not short."""
    ends = np.flatnonzero(np.diff(np.concatenate([[False], unknown, [False]]).astype(np.int8)))
    for begin, end in zip(ends[::2], ends[1::2], strict=True):
        lasted = float(arrays.stands[begin:end].sum())
        if BLIND_S <= lasted < inf:
            yield Worst(float(arrays.time[begin]), None, text, lasted)


def lasted_words(row: Worst) -> str:
    """Return for how long it lasted, in words; "" for what happens at once."""
    if isfinite(row.lasted_s):
        return span(row.lasted_s)
    return "still standing" if row.stands else ""
