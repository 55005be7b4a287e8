"""The berth: bollards and fenders. Berth frame, see `alongside.stay.model`."""

from collections.abc import Mapping
from dataclasses import dataclass

from alongside.stay.model.lines import CurveRows
from alongside.stay.model.point import Point


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
