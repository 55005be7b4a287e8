"""The ship: what is where on her, and what wind and water find. Ship frame, see `alongside.stay.model`."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from alongside.stay.model.point import Point
from alongside.stay.model.winch import Winch

CoefficientRows = tuple[tuple[float, float, float, float], ...]


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
    area_band: float = 0.0
    """Part by which both areas may be larger or smaller; 0: sure."""


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
class HoldPlace:
    """Where the contents of a hold or tank are, ship frame, m."""

    x: float
    y: float = 0.0


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
    holds: Mapping[str, HoldPlace] = field(default_factory=dict)
    """Holds and tanks that the cargo plan may name."""
    design_mbl_kn: float | None = None
    """Ship design MBL: the breaking load of new, dry line that fittings and their supports are designed
    for."""
    gm: float | None = None
    """Metacentric height, m; None where nobody knows it."""
    rail_z: float | None = None
    """Top of the rail amidships, m above the keel."""
    chocks: Mapping[str, float] = field(default_factory=dict)
    """SWL, kN, of fairleads, by their names, where it is known."""
    overhang_aft: float | None = None
    """From the aft perpendicular aft to the stern, m; None where the file does not say."""
