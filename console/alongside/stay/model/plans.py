"""What is planned and expected: tide, cargo, current, what a simulated stay has in store, how far to look
ahead."""

from dataclasses import dataclass
from typing import Literal

from alongside.stay.model.subordinate import TideDifferences


@dataclass(frozen=True, slots=True)
class Constituent:
    """One harmonic constant: amplitude m, Greenwich phase lag deg. `compound` gives a shallow-water
    constituent as a sum of basic ones, such as (("M2", 2), ("S2", -1)); empty for a basic one."""

    name: str
    amplitude: float
    lag_deg: float
    compound: tuple[tuple[str, int], ...] = ()


@dataclass(frozen=True, slots=True)
class TidePlan:
    """What is known of the tide beforehand: times and heights of high and low waters from the port's
    tables, or harmonic constants about `mean_level` (m above the constants' own datum). `to_chart_datum`
    is added to bring heights to chart datum, m. Exactly one of the three ways is given, or `levels`."""

    high_low: tuple[tuple[float, float], ...] = ()
    constituents: tuple[Constituent, ...] = ()
    mean_level: float = 0.0
    to_chart_datum: float = 0.0
    datum: str = "CD"
    source: str = ""
    levels: tuple[tuple[float, float, float], ...] = ()
    """Of a dock or lock, which have no tide: (from when, to which level m above chart datum, within how many
    seconds); the first stands from before, the last goes on."""

    standard: tuple[tuple[float, float], ...] = ()
    """High and low waters of the standard port, m above its chart datum, from which `high_low` was made."""
    differences: TideDifferences | None = None
    """On what the constants predict, which is then a standard port; into a table they have gone already."""

    def knots(self) -> list[tuple[float, float]]:
        """Return (time, level) between which the level of a dock or lock goes straight."""
        knots: list[tuple[float, float]] = []
        for at, level, over_s in self.levels:
            if knots:
                knots.append((at, knots[-1][1]))
            knots.append((at + over_s if knots else at, level))
        return knots


@dataclass(frozen=True, slots=True)
class CargoOperation:
    """A planned operation: `tonnes` loaded (+) or discharged (-), at ship frame x, y, from `start` at
    `rate` t/h (always positive)."""

    name: str
    start: float
    tonnes: float
    rate: float
    x: float
    y: float = 0.0

    @property
    def end(self) -> float:
        """UNIX seconds at which it is done at the planned rate."""
        return self.start + abs(self.tonnes) / self.rate * 3600.0


@dataclass(frozen=True, slots=True)
class TugAlongside:
    """A tug at the ship now: kN towards the quay, negative away from it, at a station m forward of the aft
    perpendicular."""

    on_kn: float
    ship_x: float


@dataclass(frozen=True, slots=True)
class CurrentForecast:
    """Current expected at one time: m/s, and the true direction it sets to, deg."""

    at: float
    speed_ms: float
    to_deg: float


FaultKind = Literal[
    "silent",
    "frozen",
    "spike",
    "false_zero",
    "offset",
    "drift",
    "wrong_unit",
    "swapped",
    "nonsense",
    "garbled",
    "checksum",
    "clock",
    "second_sender",
]
"""What may befall a gauge. The first seven change its values, `swapped` exchanges two gauges, the others
change what is sent."""


@dataclass(frozen=True, slots=True)
class GaugeFault:
    """Trouble of the gauge of one channel, or of a whole feed, from `at` on for `seconds`.

    `by` is in the channel's unit: how far a spike, an offset or a second sender's value is off, how far a
    drift goes in an hour; of a clock, seconds. None: what is usual for the channel. Every `every`-th value is
    a spike, None: one in six at random. `shows`: so many of the channel's unit are one of the unit that the
    gauge shows. `other` is the channel that it is swapped with. `feed` in place of the channel: all of it is
    silent, or its clock is off.
    """

    channel: str
    at: float
    seconds: float
    kind: FaultKind
    by: float | None = None
    every: int | None = None
    shows: float = 1.0
    other: str = ""
    feed: str = ""

    @property
    def end(self) -> float:
        return self.at + self.seconds


@dataclass(frozen=True, slots=True)
class LongWave:
    """A slow surge of the water at the berth, from `at` to `until`: period s; slope of the water, its
    amplitude in m a m, along `axis_deg` (true; None: along the berth); `level_m` amplitude of the level
    there, in step with the slope: 0 at a node."""

    at: float
    until: float
    period_s: float
    slope: float
    axis_deg: float | None = None
    level_m: float = 0.0


@dataclass(frozen=True, slots=True)
class SwellSpell:
    """Swell that moves the ship from `at` to `until`: significant height m, mean period s, true direction it
    comes from, deg."""

    at: float
    until: float
    height: float
    period_s: float
    from_deg: float


@dataclass(frozen=True, slots=True)
class PassingShip:
    """A ship that passes on a course parallel to the berth: abreast, midships by midships, at `at`; m;
    `distance_m` from centreline to centreline; m/s through the water; `goes` the way in which the bow of the
    moored ship points, or her stern."""

    at: float
    length: float
    breadth: float
    draught: float
    distance_m: float
    speed_ms: float
    goes: Literal["ahead", "astern"] = "ahead"


@dataclass(frozen=True, slots=True)
class WindChange:
    """Wind from this time on: mean m/s, gust m/s (highest 3 s mean), true direction it comes from, deg. It
    comes in over `over_min` minutes."""

    at: float
    mean_ms: float
    gust_ms: float
    from_deg: float
    over_min: float = 20.0


@dataclass(frozen=True, slots=True)
class LateEntry:
    """The tending of `line` that the stay file has at `entered` was done on deck at `done`."""

    line: str
    entered: float
    done: float


@dataclass(frozen=True, slots=True)
class Scenario:
    """Section `simulate:`, what a simulated log of the stay shows beyond tide and cargo plan.

    Draughts at `start` are at the marks, m; `swell_height` and `swell_period` are at the gauges alone;
    `surge_m` is a slow departure of the tide from its table; `noise_m` the gauges' own noise;
    `gm` the metacentric height that the heel by cargo off the centreline is calculated with, m.
    """

    start: float
    hours: float
    draught_fwd: float
    draught_aft: float
    seed: int = 1
    swell_height: float = 0.0
    swell_period: float = 9.0
    noise_m: float = 0.01
    surge_m: float = 0.0
    interval_s: float = 1.0
    gm: float = 2.0
    wind: tuple[WindChange, ...] = ()
    faults: tuple[GaugeFault, ...] = ()
    entered_late: tuple[LateEntry, ...] = ()
    cell_noise_kn: float = 0.5
    """Standard deviation of a load cell's noise."""
    cell_drift_kn: float = 0.0
    """Standard deviation, over all cells, of how far the zero of each drifts in a day."""
    swell: tuple[SwellSpell, ...] = ()
    long_waves: tuple[LongWave, ...] = ()
    passing_ships: tuple[PassingShip, ...] = ()

    @property
    def moves_her(self) -> bool:
        """Return whether anything beyond tide, cargo and wind moves the ship."""
        return bool(self.swell or self.long_waves or self.passing_ships)


GangwayKind = Literal["gangway", "ladder", "ramp"]
"""A gangway, an accommodation ladder, or a ramp that vehicles take."""


@dataclass(frozen=True, slots=True)
class Gangway:
    """Where the gangway lies: ship station `ship_x`, its rail `rail_z` above the keel, the quay `quay_z`
    above chart datum (of a pontoon over the water); `lowest`, `highest` m of rail over quay between which
    it can be used. With its `length`, m from rail to foot, its slope is watched: by `steepest_deg`, or what
    its `kind` allows."""

    ship_x: float
    rail_z: float
    quay_z: float
    lowest: float | None = None
    highest: float | None = None
    kind: GangwayKind = "gangway"
    length: float | None = None
    steepest_deg: float | None = None


@dataclass(frozen=True, slots=True)
class LookAhead:
    """Section `outlook:`. Rounds: `hands` on deck (None: as many as wanted), `hands_per_line` of them for
    `minutes_per_line`, `gap_min` from start to start, `largest_move` m of one line in one round, `margin` m
    kept clear of either end of a line's band; lines are kept short of the stage `keep_within`."""

    hours: float = 12.0
    every_min: float = 5.0
    members: int = 50
    soon_min: float = 60.0
    """A limit that is expected within so many minutes raises the caution `ahead`."""
    keep_within: Literal["caution", "warning", "alarm"] = "warning"
    hands: int | None = None
    hands_per_line: int = 2
    minutes_per_line: float = 10.0
    gap_min: float = 0.0
    largest_move: float | None = None
    margin: float = 0.0
    gangway: Gangway | None = None
