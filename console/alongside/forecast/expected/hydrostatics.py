"""Draught survey: from the marks to what the ship draws at her perpendiculars, and what follows from it.

Textbook ship stability and draught survey practice. Metres; heel deg, starboard down +; trim by the stern +.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from alongside.errors import WrongInput
from alongside.forecast.expected.draughts import disagreements
from alongside.stay.model import HydrostaticRow

SALT: Final = 1.025
"""Density of salt water, t/m3, that hydrostatics are given for."""


@dataclass(frozen=True, slots=True)
class Survey:
    """Draughts at the perpendiculars and amidships, their mean of means, heel and hog.

    `hog` + when the ends float deeper than the middle: she hogs; - when she sags.
    """

    fwd: float
    aft: float
    midship: float
    mean_of_means: float
    heel_deg: float
    hog: float

    @property
    def trim(self) -> float:
        return self.aft - self.fwd


def survey(
    fwd: tuple[float, float],
    midship: tuple[float, float],
    aft: tuple[float, float],
    lbp: float,
    breadth: float,
    fwd_inside: float = 0.0,
    aft_inside: float = 0.0,
) -> Survey:
    """Return the survey of six readings at the marks, each (port, starboard).

    `fwd_inside` and `aft_inside`: how far the marks stand inside their perpendiculars (- outside).
    """
    at_fwd, at_mid, at_aft = (sum(pair) / 2.0 for pair in (fwd, midship, aft))
    slope = (at_aft - at_fwd) / (lbp - fwd_inside - aft_inside)
    at_fp, at_ap = at_fwd - slope * fwd_inside, at_aft + slope * aft_inside
    return Survey(
        fwd=at_fp,
        aft=at_ap,
        midship=at_mid,
        mean_of_means=mean_of_means(at_fp, at_mid, at_ap),
        heel_deg=float(np.degrees(np.arctan2(midship[1] - midship[0], breadth))),
        hog=(at_fp + at_ap) / 2.0 - at_mid,
    )


def mean_of_means(fwd: float, midship: float, aft: float) -> float:
    """Return (forward + 6 midship + aft) / 8: the draught that displacement is taken at, hog or sag allowed
    for."""
    return (fwd + 6.0 * midship + aft) / 8.0


def fresh_water_allowance(displacement: float, tpc: float) -> float:
    """Return metres by which the ship floats deeper in fresh water: displacement t / (4 TPC) millimetres."""
    return displacement / (4.0 * tpc) / 1000.0


def draught_in_water(draught: float, displacement: float, tpc: float, density: float) -> float:
    """Return draught m in water of `density` t/m3 of a ship that draws `draught` in salt water, by proportion
    of the fresh water allowance."""
    return draught + fresh_water_allowance(displacement, tpc) * (SALT - density) / (SALT - 1.0)


def box(draughts: Sequence[float], length: float, breadth: float, kg: float) -> list[HydrostaticRow]:
    """Return hydrostatics of a box in salt water, for a ship of which nothing better is known: TPC = L B
    1.025/100, MCTC = displacement GML / (100 L), GML = T/2 + L2/(12 T) - KG."""
    rows = []
    for draught in draughts:
        displacement = length * breadth * draught * SALT
        gml = draught / 2.0 + length**2 / (12.0 * draught) - kg
        mctc = displacement * gml / (100.0 * length)
        tpc = length * breadth * SALT / 100.0
        rows.append(HydrostaticRow(draught, displacement, tpc, mctc, length / 2.0))
    return rows


def accept_hydrostatics(rows: Sequence[HydrostaticRow], where: str) -> tuple[HydrostaticRow, ...]:
    """Return the table, once it is sure that it holds together; raises WrongInput, saying where in it what
    contradicts what by over 2 %."""
    if not rows:
        raise WrongInput(f"{where}: hydrostatics are empty, expected a row by draught")
    found = disagreements(rows)
    if found:
        raise WrongInput("\n".join(f"{where}: {words}, expected within 2 %" for words in found))
    return tuple(rows)
