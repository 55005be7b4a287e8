"""The berth: bollards and fenders. Berth frame, see `alongside.stay.model`."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from alongside.stay.model.lines import CurveRows
from alongside.stay.model.point import Point


@dataclass(frozen=True, slots=True)
class Bollard:
    at: Point
    swl_kn: float | None = None
    dolphin: str = ""
    """What it stands on together with others, by name; "" where nothing is known of that."""
    floats: bool = False
    """It rides with the water, by itself or on a pontoon: then `at.z` is its height over the water."""
    on: str = ""
    """The ship or barge that it stands on, by name: then `at.z` is its height over her keel."""

    @property
    def rides(self) -> bool:
        """Return whether its height over chart datum changes with the tide."""
        return self.floats or self.on != ""


@dataclass(frozen=True, slots=True)
class Fender:
    """One fender at berth station x. Exactly one of the two is given: a stiffness, or a table of
    (deflection m, reaction kN) that starts at (0, 0)."""

    x: float
    stiffness_kn_per_m: float | None = None
    table: CurveRows = ()
    stiffness_band: float = 0.0
    """Part by which it may be stiffer or softer; 0: sure."""


@dataclass(frozen=True, slots=True)
class Berth:
    name: str
    bearing_of_x: float
    """True direction of berth +x, deg."""
    charted_depth: float | None
    """Depth of the berth below chart datum, m."""
    bollards: Mapping[str, Bollard]
    fenders: tuple[Fender, ...] = ()
    dolphins: Mapping[str, float] = field(default_factory=dict)
    """SWL, kN, of what bears several bollards or hooks."""
    long_waves_s: tuple[float, float] | None = None
    """Shortest and longest period of the long waves that come here, s."""
    floats: bool = False
    """All of it is a pontoon: quay, gangway and bollards ride with the water."""

    def swl_of(self, name: str) -> float | None:
        """Return the SWL of a bollard or of a dolphin by its name, kN; None where it is not known."""
        return self.dolphins[name] if name in self.dolphins else self.bollards[name].swl_kn

    def bears(self, name: str, bollard: str) -> bool:
        """Return whether a bollard or dolphin bears what hangs on a bollard."""
        return name == bollard or (name != "" and self.bollards[bollard].dolphin == name)
