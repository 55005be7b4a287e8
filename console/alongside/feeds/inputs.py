"""From the texts of one line to one raw value of a channel: its unit, its current loop, its sign, and what
becomes of several inputs."""

from collections.abc import Sequence
from math import atan2, cos, degrees, fsum, inf, isfinite, radians, sin
from typing import Final

from alongside.feeds.flaws import Flaw, Tally
from alongside.feeds.sentence import NAN
from alongside.stay.channels import DIRECTIONS
from alongside.stay.model import Source

LIVE_FROM_MA: Final = 3.8
LIVE_TO_MA: Final = 20.5
"""NAMUR NE 43, from memory: a current from here to there is a measured value; a broken wire, a short or a
fault that the transmitter itself reports lies outside."""

PAIRED_WITHIN_S: Final = 5.0
"""Inputs that come in lines of their own belong together when they are no farther apart."""


def of_current(raw: float, source: Source, tally: Tally) -> float:
    """Return what a raw value stands for: of a current loop, in mA or in counts of its converter, the value
    of the current; any other as it is. NaN, and counted, where the loop is broken or says that it is at
    fault."""
    if source.loop is None:
        return raw
    milliamperes = raw
    if source.counts is not None:
        at_4, at_20 = source.counts
        milliamperes = 4.0 + 16.0 * (raw - at_4) / (at_20 - at_4)
    if milliamperes != milliamperes:
        return NAN
    if not LIVE_FROM_MA <= milliamperes <= LIVE_TO_MA:
        tally.count(Flaw.LOOP)
        return NAN
    at_4, at_20 = source.loop
    return at_4 + (at_20 - at_4) * (milliamperes - 4.0) / 16.0


def combined(source: Source, values: Sequence[float]) -> float:
    """Return what a channel makes of its inputs: NaN where one has no value, infinite where one has no
    unit."""
    if len(values) == 1:
        return values[0]
    if not all(map(isfinite, values)):
        return inf if inf in values else NAN
    if source.combine == "sum":
        return fsum(
            by * value for by, value in zip(source.weights or [1.0] * len(values), values, strict=True)
        )
    if source.combine == "difference":
        return values[0] - values[1]
    if source.combine == "quotient":
        return values[0] / values[1] if values[1] else NAN
    return _mean_direction(values) if source.channel in DIRECTIONS else fsum(values) / len(values)


def _mean_direction(values: Sequence[float]) -> float:
    """Return the mean on the circle; NaN of directions that cancel."""
    north, east = fsum(cos(radians(v)) for v in values), fsum(sin(radians(v)) for v in values)
    return degrees(atan2(east, north)) % 360.0 if abs(north) + abs(east) > 1e-6 else NAN


class Inputs:
    """Inputs of one channel, until all of them have come: in one line, or in lines of their own."""

    def __init__(self, source: Source, count: int) -> None:
        self._source = source
        self._values: list[float | None] = [None] * count
        self._first = -inf

    def complete(self, time: float, values: Sequence[float | None]) -> float | None:
        """Return the value of the channel once each input has come; None before. `values` are those of the
        line at hand, None for an input that it does not bear. One without a value leaves the channel
        without."""
        if len(values) == 1:
            return values[0]
        if time - self._first > PAIRED_WITHIN_S or all(value is None for value in self._values):
            self._values = [None] * len(values)
            self._first = time
        self._values = [
            before if value is None else value for before, value in zip(self._values, values, strict=True)
        ]
        whole = [value for value in self._values if value is not None]
        if len(whole) < len(values) and all(map(isfinite, whole)):
            return None
        self._values = [None] * len(values)
        return combined(self._source, whole) if len(whole) == len(values) else (inf if inf in whole else NAN)
