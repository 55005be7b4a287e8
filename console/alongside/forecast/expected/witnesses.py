"""What a stay file says of its gauges: tide table, cargo plan, bearing, charted depth; made ready."""

from dataclasses import dataclass
from functools import lru_cache
from math import nan
from typing import Final

import numpy as np

from alongside.forecast.expected.draughts import draughts_with_masses, masses_on_board
from alongside.forecast.tide.stand_in import Tide
from alongside.readings import Floats
from alongside.stay.heading import ship_heading
from alongside.stay.model import Stay

LEVEL_M: Final = 0.05
"""One sigma of a mean level, and of a harmonic prediction beside what it leaves out."""
SHAPE: Final = 0.12
"""One sigma of the cosine between high and low water at half tide, as a share of the range: ports with a
stand or a double tide are 1.7 m of 4.5 m off at worst. At high and low water it is exact."""
LOCK_S: Final = 1800.0
"""By so much a lock may be worked before or after its time."""
GRID_S: Final = 300.0
Ends = tuple[float, float]
"""Forward and aft."""
DRAUGHTS: Final = ("draught_fwd", "draught_aft", "draught_mid_port", "draught_mid_stbd")


@dataclass(frozen=True, slots=True, eq=False)
class Witnesses:
    """Compiled once for a stay. Draughts by plan are those of a ship that begins at `reference`."""

    stay: Stay
    tide: Tide | None
    high_low: Floats
    """(k, 2) times and heights of the table; (0, 2) where the tide is predicted from constituents."""
    range_m: float
    """Largest range of the table, m; 0 where it has none."""
    reference: tuple[float, float, float] | None
    """(time, draught forward, aft) at the marks as the stay file states them; None where it does not."""
    plan_time: Floats
    """(g,) instants of the plan, evenly `GRID_S` apart; (0,) where there is no plan that can be followed."""
    plan_draught: Floats
    """(g, 2) draughts forward and aft by the plan."""
    heading: float
    depth_from: str
    """What the sounder measures from: `waterline`, `keel` or `transducer`; "" where there is none."""
    relative_wind: bool
    """Whether the wind's direction is measured off the bow and turned by the gyro."""

    @classmethod
    def of(cls, stay: Stay, tide: Tide | None) -> "Witnesses":
        """Return the witnesses of a stay."""
        high_low = np.array(stay.tide.high_low if stay.tide else ()).reshape(-1, 2)
        if tide is not None and tide.table.harmonics is not None:
            high_low = np.empty((0, 2))
        span = float(np.abs(np.diff(high_low[:, 1])).max(initial=0.0))
        reference = _stated(stay)
        time, draught = _plan(stay, reference)
        sources = {source.channel: source for feed in stay.feeds for source in feed.channels}
        depth, wind = sources.get("depth"), sources.get("wind_from")
        return cls(
            stay=stay,
            tide=tide,
            high_low=high_low,
            range_m=span,
            reference=reference,
            plan_time=time,
            plan_draught=draught,
            heading=ship_heading(stay),
            depth_from="" if depth is None else depth.reference or "waterline",
            relative_wind=wind is not None and wind.sentence == "MWV" and "heading" in sources,
        )

    def freeze_s(self, channel: str) -> float:
        """Return how long a gauge may say the same to the last digit, s; 0 where there is no limit."""
        sources = (source for feed in self.stay.feeds for source in feed.channels)
        return next((source.freeze_s or 0.0 for source in sources if source.channel == channel), 0.0)

    def table(self, time: Floats) -> Floats:
        """Return the level by table or constituents, m (n,); NaN where there is none."""
        return np.full(time.size, nan) if self.tide is None else self.tide.at(time)

    def shape(self, time: Floats) -> Floats:
        """Return one sigma, m (n,), of the table's own level, weather left out."""
        if self.is_lock and self.tide is not None:
            return np.hypot(LEVEL_M, np.abs(self._steps_near(time)))
        if self.tide is None or len(self.high_low) < 2:
            left_out = 0.0 if self.tide is None else self.tide.table.left_out
            return np.full(time.size, float(np.hypot(LEVEL_M, left_out)))
        at, height = self.high_low.T
        before = np.clip(np.searchsorted(at, time, side="right") - 1, 0, at.size - 2)
        share = np.clip((time - at[before]) / (at[before + 1] - at[before]), 0.0, 1.0)
        rise = np.abs(height[before + 1] - height[before])
        sigma: Floats = np.hypot(LEVEL_M, SHAPE * rise * np.sin(np.pi * share))
        return sigma

    @property
    def is_lock(self) -> bool:
        """Return whether the level is changed in steps."""
        return self.stay.tide is not None and len(self.stay.tide.levels) > 1

    def _steps_near(self, time: Floats) -> Floats:
        """Return by how much the level changes, m (n,), within half an hour: no lock works to the minute."""
        levels = [self.table(time + shift) for shift in np.linspace(-LOCK_S, LOCK_S, 13)]
        return np.asarray(np.ptp(levels, axis=0), dtype=np.float64)

    def draughts(self, time: Floats) -> Floats:
        """Return draughts by the plan, m (n, 4): forward, aft, midship port, starboard; NaN without one."""
        if not self.plan_time.size:
            return np.full((time.size, 4), nan)
        fwd, aft = (np.interp(time, self.plan_time, column) for column in self.plan_draught.T)
        marks, middle = self.stay.ship.marks, self.stay.ship.lbp / 2.0
        amidships = aft + (fwd - aft) * (middle - marks.aft) / (marks.fwd - marks.aft)
        return np.column_stack([fwd, aft, amidships, amidships])

    def plan_bounds(self, begin: float, until: float) -> tuple[Ends, Ends, Ends] | None:
        """Return draughts (forward, aft) by the plan at `begin`, and the least and largest by it from then
        to `until`; None without a plan."""
        if not self.plan_time.size:
            return None
        then, least, most = _extremes(self, begin)
        at = int((until - begin) // GRID_S) + 1
        at = max(0, min(at, len(least) - 1))
        return then, least[at], most[at]


@lru_cache(maxsize=16)
def _extremes(witnesses: Witnesses, begin: float) -> tuple[Ends, list[Ends], list[Ends]]:
    """Draughts by the plan at one instant, and the least and largest up to every `GRID_S` after it."""
    end = max(float(witnesses.plan_time[-1]), begin) + GRID_S
    by_plan = witnesses.draughts(np.arange(begin, end + GRID_S, GRID_S))[:, :2]
    least, most = np.minimum.accumulate(by_plan), np.maximum.accumulate(by_plan)
    pairs = [[(fwd, aft) for fwd, aft in each.tolist()] for each in (by_plan[:1], least, most)]
    return pairs[0][0], pairs[1], pairs[2]


def _stated(stay: Stay) -> tuple[float, float, float] | None:
    """Time and draughts of the last line that was made fast at draughts which the file states."""
    stated = [
        (line.made_fast.at, line.made_fast.draught_fwd, line.made_fast.draught_aft)
        for line in stay.lines
        if line.made_fast.draught_fwd is not None and line.made_fast.draught_aft is not None
    ]
    return max(stated, default=None)


def _plan(stay: Stay, reference: tuple[float, float, float] | None) -> tuple[Floats, Floats]:
    """Instants and draughts of the plan as far as the table of hydrostatics reaches."""
    if not stay.cargo or not stay.ship.hydrostatics:
        return np.empty(0), np.empty((0, 2))
    begin = min(operation.start for operation in stay.cargo) - GRID_S
    end = max(operation.end for operation in stay.cargo) + GRID_S
    if reference is not None:
        begin = min(begin, reference[0])
    time = np.arange(begin, end + GRID_S, GRID_S)
    if reference is None:
        middle = stay.ship.hydrostatics[len(stay.ship.hydrostatics) // 2].draught
        fwd, aft, moved = middle, middle, masses_on_board(stay.cargo, time)
    else:
        at, fwd, aft = reference
        moved = masses_on_board(stay.cargo, time) - masses_on_board(stay.cargo, [at])
    x = [operation.x for operation in stay.cargo]
    draught = np.column_stack(draughts_with_masses(stay.ship, fwd, aft, moved, x))
    known = ~np.isnan(draught).any(axis=1)
    return (time, draught) if known.all() else (time[known], draught[known])
