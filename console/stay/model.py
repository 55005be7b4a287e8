"""The stay, as read from its file: what is moored where, with what, watched through which feeds.

Frozen dataclasses of plain numbers; no arrays, so that checking a file needs no numpy. Frames, signs and
units: ship frame x forward of the aft perpendicular, y to port, z up from the keel; berth frame x along
the fender face, y out to the water, z up from chart datum; metres, kilonewtons, degrees; times are UNIX
seconds. `None` means the file does not say.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

Alongside = Literal["starboard", "port"]
Role = Literal["head", "breast", "spring", "stern"]
RopeKind = Literal["synthetic", "wire"]

CurveRows = tuple[tuple[float, float], ...]
CoefficientRows = tuple[tuple[float, float, float, float], ...]


@dataclass(frozen=True, slots=True)
class Point:
    x: float
    y: float
    z: float


@dataclass(frozen=True, slots=True)
class Place:
    """Ship station `ship_x` lies abreast of berth station `berth_x`."""

    ship_x: float
    berth_x: float


@dataclass(frozen=True, slots=True)
class Marks:
    """x of the draught marks, ship frame."""

    fwd: float
    aft: float


@dataclass(frozen=True, slots=True)
class Winch:
    at: Point
    brake_kn: float | None = None
    """Holding of the brake as set, kN."""


@dataclass(frozen=True, slots=True)
class WindAreas:
    """Wind areas at a reference draught. `coefficients` names a published set or is a table of
    (angle of attack deg, cx, cy, cn)."""

    front_m2: float
    side_m2: float
    at_draught: float
    side_centroid_x: float | None = None
    coefficients: str | CoefficientRows = "rule"
    perimeter_m: float | None = None
    """Of the lateral projection, without waterline and masts; only Isherwood's regression asks for it."""
    superstructure_m2: float | None = None
    """Side area of the superstructure; the same."""
    mast_groups: int = 0
    """Groups of masts or king posts seen from the side; the same."""


@dataclass(frozen=True, slots=True)
class CurrentCoefficients:
    coefficients: str | CoefficientRows = "rule"


@dataclass(frozen=True, slots=True)
class HydrostaticRow:
    """At one mean draught m: displacement t, TPC t/cm, MCTC t m/cm, LCF m forward of AP."""

    draught: float
    displacement: float
    tpc: float
    mctc: float
    lcf: float


@dataclass(frozen=True, slots=True)
class Ship:
    name: str
    loa: float
    lbp: float
    breadth: float
    depth: float
    marks: Marks
    fairleads: Mapping[str, Point]
    winches: Mapping[str, Winch] = field(default_factory=dict)
    wind: WindAreas | None = None
    current: CurrentCoefficients | None = None
    hydrostatics: tuple[HydrostaticRow, ...] = ()


@dataclass(frozen=True, slots=True)
class Bollard:
    at: Point
    swl_kn: float | None = None


@dataclass(frozen=True, slots=True)
class Fender:
    """One fender at berth station x. Exactly one of the two is given: a stiffness, or a table of
    (deflection m, reaction kN) that starts at (0, 0)."""

    x: float
    stiffness_kn_per_m: float | None = None
    table: CurveRows = ()


@dataclass(frozen=True, slots=True)
class Berth:
    name: str
    bearing_of_x: float
    """True direction of berth +x, deg."""
    charted_depth: float | None
    """Depth of the berth below chart datum, m."""
    bollards: Mapping[str, Bollard]
    fenders: tuple[Fender, ...] = ()


@dataclass(frozen=True, slots=True)
class Rope:
    """One kind of rope. `curve` rows are (elongation %, load as a fraction of MBL), first (0, 0)."""

    name: str
    kind: RopeKind
    mbl_kn: float
    curve: CurveRows
    wll_fraction: float
    allowance_percent: float | None = None
    source: str = ""
    grade: str = ""
    certificate: str = ""


@dataclass(frozen=True, slots=True)
class Tail:
    rope: Rope
    length: float
    """Unstretched, m."""
    serial: str = ""
    """Of this very tail, as marked on it; "" where the file does not say."""


@dataclass(frozen=True, slots=True)
class MadeFast:
    """When and how hard a line was made fast. Tide and draughts that are None are taken from the first
    valid readings at or after `at`."""

    at: float
    tension_kn: float
    tide: float | None = None
    draught_fwd: float | None = None
    draught_aft: float | None = None
    heel_deg: float | None = 0.0
    """None: as measured at that moment."""


@dataclass(frozen=True, slots=True)
class Tend:
    """One tending of a line: exactly one of metres paid out (negative = hove in) or a tension to reach."""

    line: str
    at: float
    paid_out: float | None = None
    to_tension_kn: float | None = None


@dataclass(frozen=True, slots=True)
class Line:
    id: str
    role: Role
    fairlead: str
    winch: str | None
    bollard: str
    rope: Rope
    tail: Tail | None
    made_fast: MadeFast
    tended: tuple[Tend, ...] = ()
    serial: str = ""
    """Of this very rope, as marked on it; "" where the file does not say."""

    @property
    def smallest_mbl_kn(self) -> float:
        """Breaking load of the weaker of main rope and tail, kN."""
        return min(rope.mbl_kn for rope in (self.rope, *([] if self.tail is None else [self.tail.rope])))

    @property
    def smallest_wll_kn(self) -> float:
        """Working load limit of the weaker of main rope and tail, kN."""
        ropes = [self.rope] if self.tail is None else [self.rope, self.tail.rope]
        return min(rope.wll_fraction * rope.mbl_kn for rope in ropes)


@dataclass(frozen=True, slots=True)
class Source:
    """Where one channel comes from within a feed, and what its values must pass.

    `sentence` is an NMEA formatter (XDR, MWV, …); `name` the XDR transducer name, or several whose mean
    is meant; `group` the named group of the feed's `pattern` for gauges that speak no NMEA.
    A value is raw x scale + offset. Limits: `range`, `rate_per_s` (largest believable change),
    `freeze_s` (unchanged to the last digit this long is suspect; None = never), `stale_s` (older is
    suspect), `lost_s` (older is unknown), `smooth_s` (mean over this long after spikes are rejected;
    0 = newest value as it is).
    """

    channel: str
    sentence: str | None = None
    talker: str | None = None
    names: tuple[str, ...] = ()
    reference: str | None = None
    group: str | None = None
    scale: float = 1.0
    offset: float = 0.0
    range: tuple[float, float] = (float("-inf"), float("inf"))
    rate_per_s: float | None = None
    freeze_s: float | None = None
    stale_s: float = 60.0
    lost_s: float = 300.0
    smooth_s: float = 0.0


@dataclass(frozen=True, slots=True)
class Feed:
    """`port` is `serial:/dev/ttyUSB0?baud=4800`, `udp:PORT`, `udp:GROUP:PORT` or `tcp:HOST:PORT`."""

    name: str
    port: str
    channels: tuple[Source, ...]
    pattern: str | None = None


@dataclass(frozen=True, slots=True)
class StageLimits:
    """Thresholds of one cause; a stage that is None is not used. For causes where less is worse
    (slack, under-keel clearance) they fall from caution to alarm."""

    caution: float | None = None
    warning: float | None = None
    alarm: float | None = None

    def as_tuple(self) -> tuple[float, float, float]:
        """(caution, warning, alarm), NaN where a stage is not used."""
        nan = float("nan")
        caution, warning, alarm = (nan if v is None else v for v in (self.caution, self.warning, self.alarm))
        return caution, warning, alarm


@dataclass(frozen=True, slots=True)
class Limits:
    """Limits by cause. Defaults: steep from OCIMF MEG2 (25 deg, berths not above 30) with 45 deg, where
    a line pulls down as hard as in; the shares and clearances are common practice, no source."""

    steep_deg: StageLimits = StageLimits(25.0, 30.0, 45.0)
    stretch_share: StageLimits = StageLimits(0.70, 0.85, 1.00)
    load_share: StageLimits = StageLimits(0.70, 0.85, 1.00)
    slack_share: StageLimits = StageLimits(0.04, 0.01, None)
    brake_share: StageLimits = StageLimits(0.70, 0.85, 1.00)
    bollard_share: StageLimits = StageLimits(0.70, 0.85, 1.00)
    under_keel_m: StageLimits = StageLimits(1.00, 0.60, 0.30)
    surge_m: StageLimits | None = None
    """Drift along the berth, either way. None: by the cargo gear, see `console.stay.gear`."""
    sway_m: StageLimits | None = None
    off_fenders_m: StageLimits = StageLimits(0.02, 0.15, 0.50)
    """The ship's side off the nearest fender; common practice, no source: she is to lie on them."""
    holding_share: StageLimits = StageLimits(0.60, 0.75, 0.90)
    """The 30 s wind by what the set can hold from where it blows; common practice, no source."""
    tension_share: StageLimits = StageLimits(0.10, 0.25, None)
    """Measured against computed tension, either way, as a share of WLL; common practice, no source."""


@dataclass(frozen=True, slots=True)
class HoldingSettings:
    """What is kept in hand when holding power is reckoned: `gust_factor` multiplies the 30 s wind, `margin`
    is the part of every strength that is not used."""

    gust_factor: float = 1.0
    margin: float = 0.0


@dataclass(frozen=True, slots=True)
class Display:
    """Units on screen: force t or kN, speed kn or m/s, zone a fixed offset or an IANA name."""

    force: Literal["t", "kN"] = "t"
    speed: Literal["kn", "m/s"] = "kn"
    zone: str = "+00:00"


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
    is added to bring heights to chart datum, m."""

    high_low: tuple[tuple[float, float], ...] = ()
    constituents: tuple[Constituent, ...] = ()
    mean_level: float = 0.0
    to_chart_datum: float = 0.0
    datum: str = "CD"
    source: str = ""


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
class CurrentForecast:
    """Current expected at one time: m/s, and the true direction it sets to, deg."""

    at: float
    speed_ms: float
    to_deg: float


@dataclass(frozen=True, slots=True)
class GaugeFault:
    """A fault to inject into one channel of a simulated log. `kind`: silent, spike, frozen, checksum,
    nonsense."""

    channel: str
    at: float
    seconds: float
    kind: Literal["silent", "spike", "frozen", "checksum", "nonsense"]


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

    Draughts at `start` are at the marks, m; swell is the significant height and period at the gauges;
    `surge_m` is a slow departure of the tide from its table; `noise_m` the gauges' own noise;
    `gm` the metacentric height that the heel by cargo off the centreline is reckoned with, m.
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


@dataclass(frozen=True, slots=True)
class Gangway:
    """Where the gangway lies: ship station `ship_x`, its rail `rail_z` above the keel, the quay `quay_z`
    above chart datum; `lowest`, `highest` m of rail over quay between which it can be used."""

    ship_x: float
    rail_z: float
    quay_z: float
    lowest: float | None = None
    highest: float | None = None


@dataclass(frozen=True, slots=True)
class LookAhead:
    """Section `outlook:`. Rounds: `hands` on deck (None: as many as wanted), `hands_per_line` of them for
    `minutes_per_line`, `gap_min` from start to start, `largest_move` m of one line in one round, `margin` m
    kept clear of either end of a line's band; lines are kept short of the stage `keep_within`."""

    hours: float = 12.0
    every_min: float = 5.0
    members: int = 50
    soon_min: float = 60.0
    """A limit that is expected within so many minutes raises the caution `soon`."""
    keep_within: Literal["caution", "warning", "alarm"] = "warning"
    hands: int | None = None
    hands_per_line: int = 2
    minutes_per_line: float = 10.0
    gap_min: float = 0.0
    largest_move: float | None = None
    margin: float = 0.0
    gangway: Gangway | None = None


@dataclass(frozen=True, slots=True)
class Stay:
    name: str
    file: str
    alongside: Alongside
    place: Place
    ship: Ship
    berth: Berth
    ropes: Mapping[str, Rope]
    lines: tuple[Line, ...]
    feeds: tuple[Feed, ...] = ()
    limits: Limits = field(default_factory=Limits)
    gear: str = "ship_gear"
    """What works the cargo: it says how far she may move, see `console.stay.gear`."""
    balance: bool = True
    holding: HoldingSettings = field(default_factory=HoldingSettings)
    display: Display = field(default_factory=Display)
    tide: TidePlan | None = None
    current: tuple[CurrentForecast, ...] = ()
    cargo: tuple[CargoOperation, ...] = ()
    simulate: Scenario | None = None
    outlook: LookAhead = field(default_factory=LookAhead)
