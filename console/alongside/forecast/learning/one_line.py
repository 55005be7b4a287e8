"""One line along paths that are known: what it carries if its rope is stiffer, or more of it is out, than the
stay has it.

A rope s times as stiff carries at a strain e what its curve has at s e, so rope and tail together stretch 1/s
of what the curves have at each load. With another stiffness the line was made fast with another length:
that with which it carries the load of making fast along the same path. `more_m` is what is
out beyond that. Each tending begins a new length with a `more_m` of its own; the stiffness goes on.
"""

from dataclasses import dataclass, replace
from math import log
from typing import Final

import numpy as np

from alongside.forecast.learning.robust import followed, robust_sd
from alongside.mechanics.cells import Part
from alongside.mechanics.rope import elongation_pct, rope_curve
from alongside.mechanics.series import Series, pull, series_of
from alongside.readings import Codes, Floats
from alongside.stay.model import Line

SD: Final = 1.645
"""Standard deviations of a band that holds 9 of 10."""
GEOMETRY_M: Final = 0.03
"""One standard deviation, m, of a path by fairlead, bollard and draught marks as they are given; ours."""
SHARE_SD: Final = 0.15
"""One standard deviation of a load read on a winch, as a part of it: friction in chock and gears, layers on
the drum. Common practice, no source."""
LIMIT_SD: Final = 0.02
"""The least, over the line's working limit: so much a line may carry that looks slack. Ours."""
FEW: Final = 6
"""Readings below which the noise of a cell is not known by them."""
LEAST_SHARE: Final = 0.01
LEAST_OF_LIMIT: Final = 0.003
"""A cell's noise is at least so much of its mean load, and of the line's working limit."""
LEAST_SD: Final = 0.02
"""Of a stiffness: a curve is never surer."""


@dataclass(frozen=True, slots=True, eq=False)
class RopeOfLine:
    """A line made ready: its parts, their strains at the load with which it was made fast, and standard
    deviations of the logarithm of its stiffness and of its length, m, as they are expected beforehand."""

    series: Series
    tail_m: float
    main_strain: float
    tail_strain: float
    stiffness_sd: float
    length_sd: float

    @classmethod
    def of(cls, line: Line, unstretched_m: float) -> "RopeOfLine":
        """Return a line of the stay with about so much main rope out, m."""
        (known, load_band), made = line.known_kn, line.made_fast.tension_kn
        parts = [(line.rope, 0.0), *([] if line.tail is None else [(line.tail.rope, line.tail.length)])]
        of_rope = [Part(rope_curve(rope.curve), rope.mbl_kn, length) for rope, length in parts]
        main, tail = of_rope[0], of_rope[1] if len(of_rope) > 1 else None
        series, tail_m = series_of([main], [tail]), tail.length if tail else 0.0

        def strains_at(load_kn: float) -> tuple[float, float]:
            each = [float(elongation_pct(part.curve, load_kn / part.mbl_kn)) / 100.0 for part in of_rope]
            return each[0], each[1] if tail else 0.0

        main_known, tail_known = strains_at(known)
        stretched = unstretched_m * (1.0 + main_known) + tail_m * (1.0 + tail_known)
        at_known = pull(series, np.array([[stretched]]), np.array([[unstretched_m]]))
        stiffness = max(float(at_known.stiffness[0, 0]), 1e-9)
        bands = [rope.stiffness_band for rope, _ in parts]
        return cls(
            series,
            tail_m,
            *strains_at(made),
            max(log(1.0 + max(bands)) / SD, LEAST_SD),
            float(np.hypot(load_band * known / SD / stiffness, GEOMETRY_M)),
        )

    def length(self, unstretched: Floats, softness: float) -> Floats:
        """Return the main rope out, m (n,), of a rope with `softness` 1/s that was made fast alike."""
        other: Floats = (
            unstretched * (1.0 + self.main_strain) + self.tail_m * self.tail_strain * (1.0 - softness)
        ) / (1.0 + softness * self.main_strain)
        return other

    def load(self, path: Floats, length: Floats, softness: float) -> Floats:
        """Return what it carries along paths (n,) m with so much main rope out, kN (n,)."""
        slack = length + self.tail_m
        stretch = (path - slack) / softness
        tension: Floats = pull(self.series, (slack + stretch)[np.newaxis], length[np.newaxis]).tension[0]
        return tension

    def softer_over_longer(
        self, path: Floats, unstretched: Floats, more: Floats, softness_log: float
    ) -> Floats:
        """Return (n,) how many metres longer it must be for its load along paths (n,) m to change as it does
        with the logarithm of its softness; `more` m are out beyond the length with that softness."""
        step = 1e-5

        def load(softness_log: float, longer: float) -> Floats:
            softness = float(np.exp(softness_log))
            return self.load(path, self.length(unstretched, softness) + more + longer, softness)

        by_softness = load(softness_log + step, 0.0) - load(softness_log - step, 0.0)
        by_length = load(softness_log, step) - load(softness_log, -step)
        taut = np.abs(by_length) > 1e-12
        ratio: Floats = np.where(taut, by_softness / np.where(taut, by_length, 1.0), 0.0)
        return ratio

    def length_for(self, path: Floats, load_kn: Floats) -> Floats:
        """Return the main rope, m (n,), with which it carries loads above 0 along paths; NaN where it cannot
        be had."""
        low, high = np.full_like(path, 1e-3), np.maximum(path - self.tail_m, 1e-3)
        for _ in range(60):
            middle = (low + high) / 2.0
            heavier = self.load(path, middle, 1.0) > load_kn
            low, high = np.where(heavier, middle, low), np.where(heavier, high, middle)
        found: Floats = np.where((load_kn > 0.0) & (path > self.tail_m), (low + high) / 2.0, np.nan)
        return found


@dataclass(frozen=True, slots=True, eq=False)
class LineSeen:
    """Loads measured of one line, (n,) each: path m, main rope as the stay has it m, load kN, its standard
    deviation kN, and that which was stated, 0 for none, the time in UNIX s, which stretch of one length it
    belongs to, and whether somebody has read it. `limit_kn` is its working limit."""

    rope: RopeOfLine
    path: Floats
    unstretched: Floats
    load_kn: Floats
    sigma_kn: Floats
    stated_kn: Floats
    time: Floats
    epoch: Codes
    by_hand: Codes
    limit_kn: float

    @property
    def has_cell(self) -> bool:
        """Return whether any load is of a cell."""
        return bool((self.by_hand == 0).any())

    @property
    def epochs(self) -> tuple[int, ...]:
        """Return the stretches of one length, in order."""
        return tuple(np.unique(self.epoch).tolist())


def with_noise(seen: LineSeen, residual: Floats) -> LineSeen:
    """Return a line with the noise of its loads as it is known once `residual` (n,) kN is left of them: of a
    cell by what is left; of loads read by hand as stated, else by the load that is expected: a share of what
    was read would trust those most that were read too low."""
    of_cell = seen.by_hand == 0
    by_hand = np.maximum(SHARE_SD * (seen.load_kn - residual), LIMIT_SD * seen.limit_kn)
    sigma = np.where(of_cell, cell_noise(residual[of_cell], seen), by_hand)
    return replace(seen, sigma_kn=np.where(seen.stated_kn > 0.0, seen.stated_kn, sigma))


def start_more(seen: LineSeen) -> Floats:
    """Return about how much more is out in each stretch of one length, m (epochs,), the stiffness being that
    of the curve: the median of what each load says."""
    by_load = seen.rope.length_for(seen.path, seen.load_kn) - seen.unstretched
    starts = []
    for epoch in seen.epochs:
        known = by_load[(seen.epoch == epoch) & ~np.isnan(by_load)]
        starts.append(float(np.median(known)) if known.size else 0.0)
    return np.array(starts)


def cell_noise(residual: Floats, seen: LineSeen) -> float:
    """Return one standard deviation, kN, of what is left of the loads of a cell, in order of time; more where
    one follows the other."""
    least = max(LEAST_SHARE * float(np.mean(seen.load_kn)), LEAST_OF_LIMIT * seen.limit_kn)
    if residual.size < FEW or not residual.any():
        return least
    spread = robust_sd(residual)
    even = np.clip(residual, -3.0 * spread, 3.0 * spread)
    return max(spread * float(np.sqrt(followed(even))), least)
