"""Wind with gusts and swell at the gauges, as seeded random processes."""

from collections.abc import Sequence
from itertools import accumulate

import numpy as np

from alongside.readings import Floats
from alongside.stay.model import WindChange

GUST_S = 10.0
"""Correlation time of gusts."""
VEER_S = 150.0
"""Correlation time of the wander of wind direction."""
WANDER_DEG = 5.0
"""Standard deviation of that wander."""
PEAK = 2.4
"""Highest 3 s mean in ten minutes above the mean, in standard deviations of the process (ours, measured
on the process itself)."""
COMPONENTS = 24
"""Sinusoids that make the swell at one gauge."""


def stream(seed: int, name: str) -> np.random.Generator:
    """A random stream of its own for each name, so that one more gauge leaves all the others as they were."""
    return np.random.Generator(np.random.PCG64(np.random.SeedSequence([seed, *name.encode()])))


class Gusts:
    """First-order autoregressive process of unit variance, continued from one block to the next."""

    def __init__(self, random: np.random.Generator, interval_s: float, correlation_s: float) -> None:
        self._random = random
        self._keep = float(np.exp(-interval_s / correlation_s))
        self._last = float(random.standard_normal())

    def next_block(self, n: int) -> Floats:
        """The next n values, (n,)."""
        keep = self._keep
        shocks = self._random.standard_normal(n) * np.sqrt(1.0 - keep * keep)
        series = list(accumulate(shocks.tolist(), lambda x, e: keep * x + e, initial=self._last))
        self._last = series[-1]
        return np.array(series[1:])


class Wind:
    """Wind at the berth: mean and gust ramped from each `WindChange` to the next, gusts on top."""

    def __init__(self, changes: Sequence[WindChange], seed: int, interval_s: float) -> None:
        self._at, self._mean, self._gust, self._from = _ramps(sorted(changes, key=lambda c: c.at))
        self._speed = Gusts(stream(seed, "wind speed"), interval_s, GUST_S)
        self._veer = Gusts(stream(seed, "wind direction"), interval_s, VEER_S)

    def next_block(self, time: Floats) -> tuple[Floats, Floats]:
        """Speed m/s and true direction it comes from, deg 0..360, at the next instants `time` (n,)."""
        mean = np.interp(time, self._at, self._mean)
        spread = (np.interp(time, self._at, self._gust) - mean) / PEAK
        speed = np.maximum(mean + spread * self._speed.next_block(time.size), 0.0)
        wander = WANDER_DEG * self._veer.next_block(time.size)
        return speed, (np.interp(time, self._at, self._from) + wander) % 360.0


class TrailingMean:
    """Mean wind over the last few instants, continued from one block to the next; over fewer at the start."""

    def __init__(self, instants: int) -> None:
        self._instants = max(1, instants)
        self._before = np.empty((3, 0))

    def next_block(self, speed: Floats, from_deg: Floats) -> tuple[Floats, Floats]:
        """Mean speed m/s, and the mean direction deg 0..360 by unit vectors, at the next instants (n,)."""
        turn = np.radians(from_deg)
        now = np.array([speed, np.cos(turn), np.sin(turn)])
        whole = np.concatenate([self._before, now], axis=1)
        kept = self._before.shape[1]
        self._before = whole[:, max(0, whole.shape[1] - self._instants + 1) :]
        upto = np.concatenate([np.zeros((3, 1)), whole.cumsum(axis=1)], axis=1)
        last = np.arange(kept, whole.shape[1]) + 1
        first = np.maximum(last - self._instants, 0)
        mean, north, east = (upto[:, last] - upto[:, first]) / (last - first)
        return mean, np.degrees(np.arctan2(east, north)) % 360.0


def _ramps(changes: Sequence[WindChange]) -> tuple[Floats, Floats, Floats, Floats]:
    """Corner points of the ramps: times, means, gusts, directions (unwrapped, the short way round)."""
    direction = np.unwrap([change.from_deg for change in changes], period=360.0)
    corners = [(changes[0].at, changes[0].mean_ms, changes[0].gust_ms, float(direction[0]))]
    for index in range(1, len(changes)):
        change = changes[index]
        until = changes[index + 1].at if index + 1 < len(changes) else np.inf
        corners.append((change.at, *corners[-1][1:]))
        done = min(change.at + change.over_min * 60.0, until)
        corners.append((done, change.mean_ms, change.gust_ms, float(direction[index])))
    at, mean, gust, from_deg = np.array(corners, dtype=np.float64).T
    return at, mean, gust, from_deg


def sinusoids(height: float, period: float, random: np.random.Generator) -> tuple[Floats, Floats, Floats]:
    """Return frequencies 1/s, amplitudes m and phases rad of a swell: a narrow bell about 1/period, scaled so
    that the significant height (4 standard deviations) is the one asked for, phases at random."""
    spread = np.linspace(-2.5, 2.5, COMPONENTS)
    jitter = random.uniform(-0.05, 0.05, COMPONENTS)
    frequency = (1.0 + 0.12 * (spread + jitter)) / period
    power = np.exp(-0.5 * spread**2)
    amplitude = np.sqrt(2.0 * power / power.sum()) * height / 4.0
    return frequency, amplitude, random.uniform(0.0, 2.0 * np.pi, COMPONENTS)


class Swell:
    """Rise and fall of the water at one gauge: `sinusoids`."""

    def __init__(self, height: float, period: float, random: np.random.Generator) -> None:
        self._frequency, self._amplitude, self._phase = sinusoids(height, period, random)

    def at(self, seconds: Floats) -> Floats:
        """Elevation (n,) m at seconds since the start of the log."""
        angles = 2.0 * np.pi * np.outer(seconds, self._frequency) + self._phase
        elevation: Floats = np.cos(angles) @ self._amplitude
        return elevation
