"""A rope's curve from what its certificate or its label says: one point, two, five, or material and
construction alone. Pure; elongations in per cent, loads as fractions of the breaking load."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import log
from typing import Final

from alongside.stay.model import CurveRows

CONSTRUCTIONS: Final = ("three_strand", "eight_strand", "twelve_strand", "double_braid", "six_strand")
"""Six strands are those of a wire."""

LOADS: Final = (0.10, 0.20, 0.30, 0.40, 0.50, 0.75, 1.00)
CERTIFICATE: Final = (0.10, 0.20, 0.30, 0.40, 0.50)
"""Loads of the five points of a certificate."""
POWER: Final = (1.0, 2.5)
"""Of F/MBL = (e/e_break)^p: outside of it the two points are not what they are said to be."""
HALF_OF_BREAK: Final = 0.55
"""Elongation at half strength over that at break: fibre ropes; common practice, no source."""
HALF_OF_BREAK_STIFF: Final = 0.50
"""The same of wire, HMPE and aramid, which are nearly straight."""
STIFF: Final = ("steel", "hmpe", "aramid")
BREAK_BAND: Final = 0.30
"""Part by which a rope may be stiffer or softer than a curve from its elongation at break."""
LIKE_BAND: Final = 0.40
"""The same of a curve by material and construction alone: ropes of one material differ by half."""


@dataclass(frozen=True, slots=True)
class Like:
    """An example curve by name, its elongations times `factor`."""

    example: str
    factor: float = 1.0


_LIKE: Final[dict[str, dict[str, Like]]] = {
    "nylon": {
        "eight_strand": Like("nylon_tail"),
        "double_braid": Like("nylon_double_braid"),
        "three_strand": Like("nylon_tail", 55.0 / 65.0),
    },
    "polyester": {
        "eight_strand": Like("polyester_8"),
        "double_braid": Like("polyester_8", 30.0 / 45.0),
        "three_strand": Like("polyester_8", 35.0 / 45.0),
    },
    "polypropylene": {"eight_strand": Like("polypropylene_8")},
    "mixed": {"eight_strand": Like("polyester_polypropylene"), "double_braid": Like("nylon_polyester_braid")},
    "hmpe": {"twelve_strand": Like("hmpe_12")},
    "aramid": {"twelve_strand": Like("aramid")},
    "steel": {"six_strand": Like("wire_6x36")},
}
"""The first of each material serves for constructions it does not name. Constructions of nylon and polyester
differ as their elongations at break do in a training table of the US Navy: three-strand 55 and 35 %, plaited
65 and 45 %, double braid polyester 30 %."""


def like(material: str, construction: str | None = None) -> Like:
    """Return the example curve that stands for a material and construction."""
    known = _LIKE[material]
    return known.get(construction or "", next(iter(known.values())))


def scaled(curve: CurveRows, factor: float) -> CurveRows:
    """Return a curve with its elongations times `factor`."""
    return tuple((elongation * factor, load) for elongation, load in curve)


def at_half(curve: CurveRows) -> float:
    """Return the elongation at half strength, straight between rows, beyond the last on the line to it."""
    for (e0, f0), (e1, f1) in pairwise(curve):
        if f0 <= 0.5 <= f1:
            return e0 + (e1 - e0) * (0.5 - f0) / (f1 - f0)
    last_e, last_f = curve[-1]
    return last_e * 0.5 / last_f


def through_half(example: CurveRows, elongation: float) -> CurveRows:
    """Return the example curve stretched along its elongations so that half strength lies at `elongation`."""
    return scaled(example, elongation / at_half(example))


def power_of(half: float, whole: float) -> float:
    """Return p of F/MBL = (e/e_break)^p through the elongations at half strength and at break; NaN where half
    is not below whole."""
    return log(0.5) / log(half / whole) if 0.0 < half < whole else float("nan")


def through_break(whole: float, power: float) -> CurveRows:
    """Return the curve F/MBL = (e/e_break)^p."""
    return ((0.0, 0.0), *((whole * load ** (1.0 / power), load) for load in LOADS))


def half_from_break(whole: float, material: str | None) -> float:
    """Return the elongation at half strength to be expected of a rope where only that at break is known."""
    return whole * (HALF_OF_BREAK_STIFF if material in STIFF else HALF_OF_BREAK)


def through_certificate(elongations: Sequence[float]) -> CurveRows:
    """Return the rows of a certificate's five elongations, at 10, 20, 30, 40 and 50 % of its break force."""
    return ((0.0, 0.0), *zip(elongations, CERTIFICATE, strict=True))
