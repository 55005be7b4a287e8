"""Readings of recorded and simulated stays, with faults put into the raw values of their gauges."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

import numpy as np

from alongside.actions import Action
from alongside.cycle.plausibility.believed import believed
from alongside.cycle.plausibility.model import NOTHING_KNOWN, Doubt, Plausibility
from alongside.feeds.intake import Intake, Spoil
from alongside.feeds.log import FeedLog
from alongside.feeds.raw_values import RawValues
from alongside.forecast.expected.witnesses import Witnesses
from alongside.forecast.tide.stand_in import Samples, Tide
from alongside.readings import Floats, Readings
from alongside.stay.model import Stay
from alongside.stay.read import read_stay

ROOT = Path(__file__).parents[3]
EXAMPLES = ("coal_berth", "coaster_quay", "product_jetty")

Fault = Callable[[Floats, Floats], Floats]
"""What a gauge makes of its values (k,) at times (k,), UNIX seconds."""


def example(name: str) -> tuple[Stay, Path]:
    return read_stay(ROOT / "configs" / f"{name}.yaml"), ROOT / "replay_logs" / f"{name}.log.gz"


def spoilt(faults: dict[str, Fault]) -> Spoil:
    """Faults by channel, on values in the channel's unit."""

    def spoil(tap: RawValues, time: Floats, raw: Floats) -> tuple[Floats, Floats]:
        fault, source = faults.get(tap.source.channel), tap.source
        if fault is None or not time.size:
            return time, raw
        return time, (fault(time, raw * source.scale + source.offset) - source.offset) / source.scale

    return spoil


def readings_of(stay: Stay, log: Path, faults: dict[str, Fault] | None = None) -> Readings:
    """All readings of a log at 1 Hz."""
    intake = Intake(stay, spoilt(faults or {}))
    begin = end = float("nan")
    parts: list[Readings] = []
    for batch in FeedLog(log, None):
        if not len(batch):
            continue
        intake.take_batch(batch)
        begin = np.ceil(batch.time[0]) if np.isnan(begin) else end
        end = np.floor(batch.time[-1])
        if end > begin:
            parts.append(intake.readings(np.arange(begin, end)))
        else:
            end = begin
    return Readings(
        np.concatenate([part.time for part in parts]),
        parts[0].channels,
        *(
            np.concatenate([getattr(part, name) for part in parts])
            for name in ("value", "quality", "reason", "age")
        ),
    )


@dataclass
class Heard:
    """What was found in a stay: every doubt with the time at which it was first seen, and what stood last."""

    first: dict[tuple[str, str], tuple[float, Doubt]]
    last: tuple[Doubt, ...]
    readings: Readings
    memory: Plausibility

    def of(self, channel: str) -> list[tuple[float, Doubt]]:
        return [seen for (name, _), seen in self.first.items() if name == channel]


def hear(
    stay: Stay,
    readings: Readings,
    cuts: Sequence[int] | None = None,
    actions: dict[int, Sequence[Action]] | None = None,
) -> Heard:
    """Judge readings in blocks of an hour, or cut where told; `actions` by the row at which they take
    effect, each the first of a block."""
    witnesses = Witnesses.of(stay, Tide.of(stay))
    memory, residuals = NOTHING_KNOWN, Samples()
    first: dict[tuple[str, str], tuple[float, Doubt]] = {}
    parts, doubts = [], ()
    edges = sorted(
        {0, len(readings), *(range(0, len(readings), 3600) if cuts is None else cuts), *(actions or {})}
    )
    for start, stop in pairwise(edges):
        block = readings.rows(start, stop)
        done = (actions or {}).get(start, ())
        belief = believed(witnesses, memory, residuals, block, done)
        memory, residuals = belief.memory, belief.residuals
        parts.append(belief.readings)
        for verdict in belief.verdicts:
            for doubt in verdict.doubts:
                key = doubt.channel, f"{doubt.reason.name} {doubt.against} {doubt.likely}"
                first.setdefault(key, (float(block.time[verdict.row]), doubt))
        doubts = belief.doubts(len(block) - 1)
    whole = Readings(
        readings.time,
        readings.channels,
        *(
            np.concatenate([getattr(part, name) for part in parts])
            for name in ("value", "quality", "reason", "age")
        ),
        spread=np.concatenate(
            [np.full(part.value.shape, np.nan) if part.spread is None else part.spread for part in parts]
        ),
    )
    return Heard(first, doubts, whole, memory)
