"""How fast a figure goes, and since when: a trend begins anew where the figure takes a step.

That is where a length changes (tended, run out over a brake, made fast), where the watch has a gap, and
where a gauge was doubtful, lost, set aside or expected otherwise than now. The past bears marks of all these
beside its figures, one value a row, so that a trend goes on after a restart as it was.
"""

from collections.abc import Mapping, Sequence
from typing import Final

import numpy as np

from alongside.cycle.block import Block
from alongside.cycle.chart_history import UNSEEN, Past
from alongside.forecast.basis import Basis
from alongside.readings import Codes, Floats, Quality, Readings

TREND_S: Final = 900.0
TIDE_RATE_S: Final = 600.0
STEADY_TIDE: Final = 0.03
"""m/h below which the tide is said to stand."""
MOVES_LINES: Final = ("tide", "draught_fwd", "draught_aft")
"""Channels whose rate is asked for."""
FOOTING: Final = f"{UNSEEN}footing"
"""What the loads rest on: quality of their gauges, and wind or current that is left out."""


def mark_names(lines: Sequence[str]) -> tuple[str, ...]:
    """Return the names of the series that mark where trends begin anew."""
    lengths = (_length(line) for line in lines)
    return (*lengths, *(_quality(channel) for channel in MOVES_LINES), FOOTING)


def marks(
    lines: Sequence[str], readings: Readings, unstretched: Floats, without: Codes | None, quality: Codes
) -> Mapping[str, Floats]:
    """Return (n,) of each mark, from the lengths (n, lines) of main rope, what a balance was found without
    (n,), and the quality (n,) of the situation."""
    left_out = np.zeros(len(readings)) if without is None else without
    columns = {_length(line): unstretched[:, at] for at, line in enumerate(lines)}
    for channel in MOVES_LINES:
        fitted = channel in readings.channels
        at = readings.channels.index(channel) if fitted else -1
        code = readings.quality[:, at].astype(np.float64)
        columns[_quality(channel)] = code if fitted else np.full(len(readings), np.nan)
    columns[FOOTING] = quality.astype(np.float64) + len(Quality) * left_out
    return columns


def line_trend(basis: Basis, past: Past, block: Block, line: str, quantity: str = "stretch_share") -> float:
    """Return the change of a quantity of a line an hour at the last instant of a block; NaN where it is not
    known, or rests on a doubtful gauge. Where the ship lies in balance a length that changes moves her, and
    the stretch of all lines takes a step."""
    at = basis.arrangement.ids.index(line)
    known = not np.isnan(getattr(block.hold.lines, quantity)[-1, at])
    if not known or block.situation.quality[-1] not in (Quality.GOOD, Quality.EXPECTED):
        return float("nan")
    lines = basis.arrangement.ids if basis.arrangement.balanced else (line,)
    return past.rate_per_h(f"{quantity}.{line}", TREND_S, [*(_length(each) for each in lines), FOOTING])


def channel_rate(past: Past, readings: Readings, channel: str, seconds: float) -> float:
    """Return the rate of a channel per hour; NaN where it is not fitted, or its newest value is doubtful: a
    value that stands still since its gauge fell silent would else be taken for slack water."""
    if channel not in readings.channels:
        return float("nan")
    quality = readings.quality[-1, readings.channels.index(channel)]
    rate = past.rate_per_h(channel, seconds, [_quality(channel)])
    return rate if quality == Quality.GOOD else float("nan")


def _length(line: str) -> str:
    return f"{UNSEEN}unstretched_m.{line}"


def _quality(channel: str) -> str:
    return f"{UNSEEN}quality.{channel}"
