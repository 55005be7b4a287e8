"""First figures of a hull whose booklet is not at hand: hydrostatics from length, breadth and block
coefficient, wind areas from freeboard and what stands on deck. Pure; metres, tonnes, salt water.

Riddlesworth's block coefficient at another draught, 1 - (1 - Cb)(T0/T)^(1/3), and the waterplane coefficient
2/3 Cb + 1/3 belong together: the first makes displacement rise with draught by just the second, so that
displacement and TPC of the rows agree. Both from memory of textbooks.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from alongside.stay.model import HydrostaticRow
from alongside.units import SEA_WATER

BLOCK_BY_TYPE: Final[dict[str, tuple[float, float]]] = {
    "general_cargo": (0.804, 0.071),
    "container": (0.668, 0.047),
    "oil_tanker": (0.824, 0.038),
    "ro_ro": (0.670, 0.114),
    "car_carrier": (0.594, 0.067),
    "lpg": (0.737, 0.062),
    "lng": (0.716, 0.040),
    "passenger": (0.591, 0.060),
}
"""Block coefficient, mean and standard deviation, of ships by type: NILIM technical note 309."""

TPC_SPREAD: Final = 0.04
"""Part by which TPC and MCTC may be more or less, the block coefficient known; common practice, no source."""
LCF_SPREAD: Final = 0.02
"""Of LBP, about midships: ships lie within it from light to laden; common practice, no source."""
DRAUGHTS: Final = (0.35, 0.5, 0.65, 0.8, 0.9, 1.0, 1.1)
"""Of the draught that is known: the rows of an estimated table."""
SHORTER_FRONT: Final = 0.85
"""Of breadth times height: houses are narrower than the ship; common practice, no source."""
AREA_SPREAD: Final = 0.20
"""Part by which a first guess of a wind area may be wrong; common practice, no source."""


def block_coefficient(displacement: float, lbp: float, breadth: float, draught: float) -> float:
    """Return displacement t over that of a box of the same length, breadth and draught."""
    return displacement / (SEA_WATER / 1000.0 * lbp * breadth * draught)


def block_at(block: float, draught: float, other: float) -> float:
    """Return the block coefficient at another draught (Riddlesworth)."""
    short: float = (1.0 - block) * (draught / other) ** (1.0 / 3.0)
    return 1.0 - short


def waterplane_coefficient(block: float) -> float:
    return 2.0 / 3.0 * block + 1.0 / 3.0


def tpc_of(lbp: float, breadth: float, waterplane: float) -> float:
    """Return tonnes for a centimetre of draught."""
    return SEA_WATER / 1000.0 * lbp * breadth * waterplane / 100.0


def mctc_of(lbp: float, breadth: float, waterplane: float) -> float:
    """Return t m to change trim by a centimetre, with the longitudinal metacentric radius for the height.

    A waterplane of half breadths 1 - |2x/L|^n has the coefficient Cw = n/(n + 1) and the second moment
    B L^3 Cw / (12 (3 - 2 Cw)): 1/12 of B L^3 for a box, 1/30 for a parabola.
    """
    moment = waterplane / (12.0 * (3.0 - 2.0 * waterplane)) * breadth * lbp**3
    return SEA_WATER / 1000.0 * moment / (100.0 * lbp)


def estimated_rows(
    lbp: float, breadth: float, draught: float, block: float, lcf: float, by_tpc: float = 1.0
) -> tuple[HydrostaticRow, ...]:
    """Return a table of hydrostatics through the block coefficient at one draught, the same LCF, m forward of
    AP, throughout; TPC, MCTC and the rise of displacement `by_tpc` times the estimate."""
    known = SEA_WATER / 1000.0 * lbp * breadth * draught * block

    def row(share: float) -> HydrostaticRow:
        at = share * draught
        here = block_at(block, draught, at)
        plane = waterplane_coefficient(here)
        displacement = SEA_WATER / 1000.0 * lbp * breadth * at * here
        return HydrostaticRow(
            draught=at,
            displacement=known + by_tpc * (displacement - known),
            tpc=by_tpc * tpc_of(lbp, breadth, plane),
            mctc=by_tpc * mctc_of(lbp, breadth, plane),
            lcf=lcf,
        )

    return tuple(row(share) for share in DRAUGHTS)


@dataclass(frozen=True, slots=True)
class OnDeck:
    """What stands on deck, seen from the side: its middle at x, length and height above the deck, m."""

    x: float
    length: float
    height: float


@dataclass(frozen=True, slots=True)
class FirstAreas:
    """Wind areas, m2, and the x of the centroid of the side area, m forward of AP."""

    side_m2: float
    front_m2: float
    side_centroid_x: float


def first_areas(
    loa: float, lbp: float, breadth: float, freeboard: float, on_deck: Sequence[OnDeck]
) -> FirstAreas:
    """Return length times freeboard and what stands on deck; from ahead breadth times the highest of it, less
    15 %. The hull's own side is taken about midships."""
    hull = loa * freeboard
    boxes = [each.length * each.height for each in on_deck]
    side = hull + sum(boxes)
    moment = hull * lbp / 2.0 + sum(area * each.x for area, each in zip(boxes, on_deck, strict=True))
    highest = max((each.height for each in on_deck), default=0.0)
    return FirstAreas(side, breadth * (freeboard + highest) * SHORTER_FRONT, moment / side)
