"""Whether a raw value can be believed: range, rate and freeze. Values of one channel, in order of time.

All that is remembered from one block of values to the next is in `Judge`, so that blocks of any size give
the same verdicts.
"""

from dataclasses import dataclass, field
from typing import Any, Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from alongside.feeds.spikes import SpikeFilter
from alongside.readings import Codes, Floats, Reason
from alongside.stay.channels import DIRECTIONS
from alongside.stay.model import Source

LEVELS: Final = frozenset(
    {"tide", "draught_fwd", "draught_aft", "draught_mid_port", "draught_mid_stbd", "heel", "depth"}
)
"""Channels that move slowly, so that a lone peak is a fault of the gauge. In wind, current and tension a
peak may be true; there nothing is taken for a spike."""

STEP_AFTER: Final = 5
"""So many values in a row that agree with each other are a new level, however far from the old one."""

LEAST_DT: Final = 1.0
"""Times in logs are often whole seconds; no two values are taken to be closer than this."""

Flags = NDArray[np.bool_]

_NONE, _INVALID, _WRONG_UNIT = int(Reason.NONE), int(Reason.INVALID), int(Reason.WRONG_UNIT)
_OUT_OF_RANGE, _TOO_FAST, _SPIKES = int(Reason.OUT_OF_RANGE), int(Reason.TOO_FAST), int(Reason.SPIKES)
"""Plain numbers: an array is compared with them four times as fast as with the members."""


class Rows(NamedTuple):
    """Judged values, (k,) each."""

    time: Floats
    value: Floats
    reason: Codes
    """Reason.NONE for a believed value, or why it is refused."""
    refused: NDArray[np.int64]
    """How many in a row were refused, up to this one."""
    frozen: Flags
    level: NDArray[np.int64]
    """Grows by one where the channel took up a new level; nothing is averaged across."""

    def select(self, which: Flags | NDArray[np.int64]) -> "Rows":
        return Rows._make(column[which] for column in self)

    def joined(self, later: "Rows") -> "Rows":
        pairs: list[Any] = list(zip(self, later, strict=True))
        return Rows._make(np.concatenate(pair) for pair in pairs)


def no_rows() -> Rows:
    whole = np.zeros(0, dtype=np.int64)
    nothing = np.zeros(0)
    return Rows(nothing, nothing, whole.astype(np.int8), whole, whole.astype(np.bool_), whole)


@dataclass(slots=True)
class RateCheck:
    """Refuses what changes faster than `per_s` from the last accepted value, until STEP_AFTER values in a
    row agree among themselves. After `forget_s` without an accepted value anything goes."""

    per_s: float
    forget_s: float
    circular: bool
    time: float = float("-inf")
    value: float = 0.0
    run: int = 0
    run_time: float = 0.0
    run_value: float = 0.0

    def judge(self, time: Floats, value: Floats) -> tuple[Flags, Flags]:
        """Return (accepted, starts a new level) of finite values."""
        accepted = np.ones(time.size, dtype=np.bool_)
        fresh = np.zeros(time.size, dtype=np.bool_)
        if not time.size:
            return accepted, fresh
        dt = np.diff(time, prepend=self.time)
        change = self._change(np.diff(value, prepend=self.value))
        fresh |= dt > self.forget_s
        suspects = np.flatnonzero((change > self.per_s * np.maximum(dt, LEAST_DT)) & ~fresh)
        settled = self._resume(time, value, accepted, fresh) if self.run else 0
        for suspect in suspects.tolist():
            if suspect >= settled:
                if suspect:
                    self.time, self.value = float(time[suspect - 1]), float(value[suspect - 1])
                settled = self._refuse_from(suspect, time, value, accepted, fresh)
        if not self.run:
            self.time, self.value = float(time[-1]), float(value[-1])
        return accepted, fresh

    def _change(self, difference: Floats) -> Floats:
        if self.circular:
            difference = (difference + 180.0) % 360.0 - 180.0
        change: Floats = np.abs(difference)
        return change

    def _resume(self, time: Floats, value: Floats, accepted: Flags, fresh: Flags) -> int:
        """Go on with values that were being refused when the last block ended."""
        fresh[0] = False
        return self._refuse_from(0, time, value, accepted, fresh)

    def _refuse_from(self, at: int, time: Floats, value: Floats, accepted: Flags, fresh: Flags) -> int:
        """Refuse values from `at` on until one is accepted; the index behind that one."""
        for i in range(at, time.size):
            t, v = float(time[i]), float(value[i])
            forgotten = t - self.time > self.forget_s
            if forgotten or self._reaches(self.time, self.value, t, v):
                self.run, fresh[i] = 0, forgotten
                return i + 1
            agrees = self.run > 0 and self._reaches(self.run_time, self.run_value, t, v)
            self.run = self.run + 1 if agrees else 1
            self.run_time, self.run_value = t, v
            if self.run >= STEP_AFTER:
                self.run, fresh[i] = 0, True
                return i + 1
            accepted[i] = fresh[i] = False
        return int(time.size)

    def _reaches(self, t0: float, v0: float, t1: float, v1: float) -> bool:
        change = abs((v1 - v0 + 180.0) % 360.0 - 180.0) if self.circular else abs(v1 - v0)
        return change <= self.per_s * max(t1 - t0, LEAST_DT)


@dataclass(slots=True)
class FreezeCheck:
    """Finds raw values that stay the same to the last bit."""

    after_s: float
    value: float = float("nan")
    since: float = 0.0

    def judge(self, time: Floats, raw: Floats) -> Flags:
        """Return True where the value has not changed for `after_s`; an empty value neither changes nor
        freezes."""
        frozen = np.zeros(time.size, dtype=np.bool_)
        heard = np.flatnonzero(~np.isnan(raw))
        if not heard.size:
            return frozen
        t, v = time[heard], raw[heard]
        changed = np.diff(v, prepend=self.value) != 0.0
        start = np.maximum.accumulate(np.where(changed, np.arange(t.size), -1))
        since = np.where(start < 0, self.since, t[np.maximum(start, 0)])
        frozen[heard] = t - since >= self.after_s
        self.value, self.since = float(v[-1]), float(since[-1])
        return frozen


@dataclass(slots=True)
class Judge:
    """All checks of one channel. `source` says the limits."""

    source: Source
    rate: RateCheck = field(init=False)
    freeze: FreezeCheck = field(init=False)
    spikes: SpikeFilter | None = field(init=False)
    refused: int = 0
    level: int = 0

    def __post_init__(self) -> None:
        source = self.source
        limit = float("inf") if source.rate_per_s is None else source.rate_per_s
        self.rate = RateCheck(limit, source.lost_s, source.channel in DIRECTIONS)
        self.freeze = FreezeCheck(float("inf") if source.freeze_s is None else source.freeze_s)
        smoothed = source.channel in LEVELS and source.smooth_s > 0.0
        self.spikes = SpikeFilter.of(source.channel) if smoothed else None

    def judge(self, time: Floats, raw: Floats, heading: Floats | None) -> Rows:
        """Return rows of new values; a raw one that is infinite came in a wrong unit. `heading` (k,) is added
        to angles off the bow; None for all else."""
        wrong_unit = np.isinf(raw)
        raw = np.where(wrong_unit, np.nan, raw)
        value = raw * self.source.scale + self.source.offset
        reason = np.zeros(time.size, dtype=np.int8)
        reason[~np.isfinite(value)] = _INVALID
        reason[wrong_unit] = _WRONG_UNIT
        value = self._on_the_circle(value, heading, reason)
        low, high = self.source.range
        with np.errstate(invalid="ignore"):
            reason[(reason == _NONE) & ~((value >= low) & (value <= high))] = _OUT_OF_RANGE
        level = self._judge_changes(time, value, reason)
        return Rows(time, value, reason, self._run(reason), self.freeze.judge(time, raw), level)

    def _on_the_circle(self, value: Floats, heading: Floats | None, reason: Codes) -> Floats:
        if self.source.channel not in DIRECTIONS:
            return value
        with np.errstate(invalid="ignore"):
            reason[(reason == _NONE) & (np.abs(value) > 360.0)] = _OUT_OF_RANGE
            true: Floats = (value if heading is None else value + heading) % 360.0
        return true

    def _judge_changes(self, time: Floats, value: Floats, reason: Codes) -> NDArray[np.int64]:
        """Mark what is too fast and what is a spike; the level of every row."""
        restarts = np.zeros(time.size, dtype=np.int64)
        inside = np.flatnonzero(reason == _NONE)
        accepted, fresh = self.rate.judge(time[inside], value[inside])
        reason[inside[~accepted]] = _TOO_FAST
        restarts[inside[fresh]] = 1
        level: NDArray[np.int64] = self.level + np.cumsum(restarts)
        if time.size:
            self.level = int(level[-1])
        if self.spikes is not None:
            kept = inside[accepted]
            spike = self.spikes.judge(time[kept], value[kept], level[kept])
            reason[kept[spike]] = _SPIKES
        return level

    def _run(self, reason: Codes) -> NDArray[np.int64]:
        """Return how many were refused in a row, up to each (k,)."""
        at = np.arange(reason.size)
        last = np.maximum.accumulate(np.where(reason == _NONE, at, -1)) if reason.size else at
        run: NDArray[np.int64] = np.where(last < 0, at + 1 + self.refused, at - last)
        if run.size:
            self.refused = int(run[-1])
        return run
