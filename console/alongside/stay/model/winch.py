"""A winch: where it stands, and what its brake holds. Ship frame."""

from dataclasses import dataclass

from alongside.stay.model.point import Point

RATED_LAYER = {"split": 1, "undivided": 3}
"""The layer on which a brake's holding is stated where nothing else is: split drum the first, undivided the
third. Public guidance on mooring equipment, read in digests."""


@dataclass(frozen=True, slots=True)
class BrakeTest:
    """The last test of a brake: when (UNIX s), and the load that it held, kN, on a layer of rope (None: that
    on which the holding is stated)."""

    at: float
    load_kn: float | None = None
    layer: int | None = None


@dataclass(frozen=True, slots=True)
class Winch:
    at: Point
    brake_kn: float | None = None
    """Holding of the brake as set, kN, on the layer `rated_layer`."""
    drum_mm: float | None = None
    """Diameter of the bare drum."""
    rope_mm: float | None = None
    """Diameter of the rope on it."""
    layer: int | None = None
    """The layer of rope that bears the load now, 1 on the bare drum."""
    drum: str = "split"
    """`split` or `undivided`."""
    tested: BrakeTest | None = None
    brake_set: float | None = None
    """What it is set to hold, as a share of the ship design MBL."""
    brake_design: float | None = None
    """What the gear is designed to hold, the same."""
    swl_kn: float | None = None
    """Of bitts, which stand here where a line is on them instead of a winch."""
    recovery_kn: float | None = None
    """On automatic: the load below which it heaves in, kN, on the first layer; None where it is not."""
    rendering_kn: float | None = None
    """The load above which it pays out, the same."""

    @property
    def automatic_kn(self) -> tuple[float, float] | None:
        """Return recovery and rendering load on the layer that bears the load now, kN; None where the
        winch is not on automatic."""
        if self.recovery_kn is None or self.rendering_kn is None:
            return None
        layer = self.layer or 1
        return self.holding_on(layer, self.recovery_kn, 1), self.holding_on(layer, self.rendering_kn, 1)

    @property
    def rated_layer(self) -> int:
        """Return the layer of rope on which its holding is stated."""
        return RATED_LAYER[self.drum]

    def holding_on(self, layer: int, brake_kn: float, stated_on: int) -> float:
        """Return what the brake holds on another layer of rope, kN; the same where the drum is not known."""
        if self.drum_mm is None or self.rope_mm is None:
            return brake_kn
        stated, here = (layer_radius_mm(self.drum_mm, self.rope_mm, at) for at in (stated_on, layer))
        return brake_kn * stated / here

    @property
    def holding_kn(self) -> float | None:
        """Return what the brake holds on the layer that bears the load now, kN; None where not known."""
        if self.brake_kn is None:
            return None
        layer = self.rated_layer if self.layer is None else self.layer
        return self.holding_on(layer, self.brake_kn, self.rated_layer)


def layer_radius_mm(drum_mm: float, rope_mm: float, layer: int) -> float:
    """Return the radius of a layer to the rope's centre: d/2 + (n - 1/2) rope d. What a brake holds goes with
    its inverse."""
    return drum_mm / 2.0 + (layer - 0.5) * rope_mm
