"""Stiffness of a fender by its kind and size, where its maker's table is not at hand. Pure.

Rubber of one shape is as many times as stiff as it is larger: reaction goes with the square of its size,
deflection with its size. Figures are common practice without a source, good to a factor of two.
"""

from dataclasses import dataclass
from typing import Final

SPREAD: Final = 0.50
"""Part by which a fender of a kind may be stiffer or softer."""


@dataclass(frozen=True, slots=True)
class FenderKind:
    """kN/m of a fender of `size_m`, which is its `measure`."""

    stiffness_kn_per_m: float
    size_m: float
    measure: str


KINDS: Final[dict[str, FenderKind]] = {
    "tyre": FenderKind(350.0, 1.0, "diameter"),
    "cylinder": FenderKind(800.0, 1.0, "diameter"),
    "arch": FenderKind(1200.0, 0.5, "height"),
    "cone": FenderKind(2800.0, 1.2, "height"),
    "cell": FenderKind(2800.0, 1.2, "height"),
    "foam": FenderKind(600.0, 2.0, "diameter"),
    "pneumatic": FenderKind(400.0, 2.0, "diameter"),
}
"""Hung tyres 200 to 500 kN/m, cylinders of 1.0 m 600 to 1000, cones and cells of 1.0 to 1.4 m 2000 to 4000:
common practice, no source. Arch, foam and pneumatic (1.75 diameters long) from memory."""


def fender_stiffness(kind: str, size_m: float | None = None) -> float:
    """Return kN/m of a fender of a kind; without a size that of a usual one."""
    usual = KINDS[kind]
    return usual.stiffness_kn_per_m * (1.0 if size_m is None else size_m / usual.size_m)


def in_words(kind: str, size_m: float | None = None) -> str:
    """Return `cone of 1.2 m height`."""
    usual = KINDS[kind]
    return f"{kind} of {usual.size_m if size_m is None else size_m:g} m {usual.measure}"
