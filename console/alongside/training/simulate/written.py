"""From a channel's value to the numbers that its gauge writes: what a feed does with them, the other way
round."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, log10
from typing import Final

import numpy as np

from alongside.feeds.inputs import LIVE_FROM_MA, LIVE_TO_MA
from alongside.feeds.raw_values import unit_factors
from alongside.readings import Floats
from alongside.stay.channels import xdr_units
from alongside.stay.model import Source
from alongside.training.simulate.sentences import xdr_kind

LOOP_SPAN_MA: Final = 16.0
LEAST_SUM: Final = 1e-9


@dataclass(frozen=True, slots=True)
class Writing:
    """How one number is made of a value in the channel's unit: number = gain (value - offset) / scale + base,
    and of a current loop the current that stands for it, in so many mA."""

    offset: float = 0.0
    scale: float = 1.0
    gain: float = 1.0
    base: float = 0.0
    loop: tuple[float, float] | None = None
    unit_ma: float = 1.0
    counts: tuple[float, float] | None = None

    def numbers(self, value: Floats) -> Floats:
        """Return the numbers (n,), not yet rounded. A current stays within what means a measured value."""
        raw = (value - self.offset) / self.scale
        if (self.gain, self.base) != (1.0, 0.0):
            raw = self.gain * raw + self.base
        if self.loop is None:
            return raw
        at_4, at_20 = self.loop
        current = 4.0 + LOOP_SPAN_MA * (raw - at_4) / (at_20 - at_4)
        current = np.clip(current, LIVE_FROM_MA, LIVE_TO_MA)
        if self.counts is None:
            return current / self.unit_ma
        low, high = self.counts
        return low + (high - low) * (current - 4.0) / LOOP_SPAN_MA

    def places(self, step: float) -> int:
        """Return how many decimals show a step of the value."""
        least = abs(step * self.gain / self.scale)
        if self.loop is not None:
            least *= LOOP_SPAN_MA / abs(self.loop[1] - self.loop[0]) / self.unit_ma
        if self.counts is not None:
            least *= abs(self.counts[1] - self.counts[0]) / LOOP_SPAN_MA
        return max(0, ceil(-log10(least) - 1e-9)) if least > 0.0 else 0

    def texts(self, value: Floats, step: float) -> list[str]:
        """Return the numbers as they are written, with decimals enough for a step of the value."""
        places = self.places(step)
        return [f"{number:.{places}f}" for number in (np.round(self.numbers(value), places) + 0.0).tolist()]


def writings(source: Source, factors: Sequence[float]) -> tuple[Writing, ...]:
    """Return how each input of a source is written, so that its feed makes the value of them again; `factors`
    bring each input's number to the channel's raw unit."""
    shares = _shares(source, len(factors))
    if source.loop is not None:
        return tuple(
            Writing(source.offset, source.scale, gain, base, source.loop, factor, source.counts)
            for (gain, base), factor in zip(shares, factors, strict=True)
        )
    return tuple(
        Writing(source.offset, source.scale * factor, gain, base / factor)
        for (gain, base), factor in zip(shares, factors, strict=True)
    )


def _shares(source: Source, count: int) -> list[tuple[float, float]]:
    """Return (gain, base) of each input. Of a sum all are alike where the weights allow it; the second of a
    difference is nothing, the second of a quotient one."""
    if count == 1 or source.combine == "mean":
        return [(1.0, 0.0)] * count
    if source.combine == "sum":
        weights = source.weights or (1.0,) * count
        total = sum(weights)
        if abs(total) > LEAST_SUM:
            return [(1.0 / total, 0.0)] * count
        squares = sum(weight * weight for weight in weights)
        return [(weight / squares, 0.0) for weight in weights]
    if source.combine == "difference":
        rest = 0.0 if source.loop is None else source.loop[0]
        return [(1.0, rest), (0.0, rest)]
    return [(1.0, 0.0), (0.0, 1.0)]


def xdr_unit(source: Source) -> tuple[str, float]:
    """Return the unit field of a transducer, and what brings its numbers to the channel's raw unit."""
    if source.unit is not None:
        known = unit_factors(source) or {}
        return source.unit, known.get(source.unit.encode(), 1.0)
    if source.loop is not None:
        return "", 1.0
    _, letter = xdr_kind(source.channel)
    return letter, xdr_units(source.channel).get(letter, 1.0) if source.checks_unit else 1.0
