"""Tidal constituents by name: the basic ones, and the shallow-water ones as sums of them.

A constituent's argument V is a sum of the angles of `alongside.forecast.tide.astronomy`; its node correction
belongs to a family of `alongside.forecast.tide.nodes`. After P. Schureman, "Manual of Harmonic Analysis and
Prediction of Tides", US Coast and Geodetic Survey Special Publication 98 (1940); names of compounds as the
International Hydrographic Organization lists them.
"""

from dataclasses import dataclass
from typing import Final

from alongside.stay.model import Constituent
from alongside.stay.station import terms_of

Terms = tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True)
class Basic:
    """V = T t + s s + h h + p p + p1 p1 + degrees, and the family of its node factors."""

    name: str
    family: str
    t: int
    s: int = 0
    h: int = 0
    p: int = 0
    p1: int = 0
    degrees: int = 0


BASICS: Final = (
    Basic("SA", "sun", 0, h=1),
    Basic("SSA", "sun", 0, h=2),
    Basic("MM", "MM", 0, s=1, p=-1),
    Basic("MF", "MF", 0, s=2),
    Basic("MSF", "MM", 0, s=2, h=-2),
    Basic("2Q1", "O1", 1, s=-4, h=1, p=2, degrees=90),
    Basic("Q1", "O1", 1, s=-3, h=1, p=1, degrees=90),
    Basic("RHO", "O1", 1, s=-3, h=3, p=-1, degrees=90),
    Basic("O1", "O1", 1, s=-2, h=1, degrees=90),
    Basic("M1", "M1", 1, s=-1, h=1, p=1, degrees=-90),
    Basic("M1C", "M1C", 1, s=-1, h=1),
    Basic("P1", "sun", 1, h=-1, degrees=90),
    Basic("S1", "sun", 1),
    Basic("K1", "K1", 1, h=1, degrees=-90),
    Basic("J1", "J1", 1, s=1, h=1, p=-1, degrees=-90),
    Basic("OO1", "OO1", 1, s=2, h=1, degrees=-90),
    Basic("2N2", "M2", 2, s=-4, h=2, p=2),
    Basic("MU2", "M2", 2, s=-4, h=4),
    Basic("N2", "M2", 2, s=-3, h=2, p=1),
    Basic("NU2", "M2", 2, s=-3, h=4, p=-1),
    Basic("M2", "M2", 2, s=-2, h=2),
    Basic("LAM2", "M2", 2, s=-1, p=1, degrees=180),
    Basic("L2", "L2", 2, s=-1, h=2, p=-1, degrees=180),
    Basic("T2", "sun", 2, h=-1, p1=1),
    Basic("S2", "sun", 2),
    Basic("R2", "sun", 2, h=1, p1=-1, degrees=180),
    Basic("K2", "K2", 2, h=2),
    Basic("M3", "M3", 3, s=-3, h=3),
)

BASIC_NAMES: Final = {basic.name: index for index, basic in enumerate(BASICS)}

OTHER_NAMES: Final = {"RHO1": "RHO", "LAMBDA2": "LAM2", "LABDA2": "LAM2", "LDA2": "LAM2"}

_SUMS: Final = """
SM=S2-M2 2ML2S2=2*M2+L2-2*S2 2MN2=2*M2-N2 2SM2=2*S2-M2 3MKS2=3*M2-K2-S2 3MS2=3*M2-2*S2 MKS2=M2+K2-S2
MNS2=M2+N2-S2 MPS2=M2+P1-S1 MSK2=M2+S2-K2 MSN2=M2+S2-N2 MSP2=M2+S1-P1 NLK2=N2+L2-K2 OQ2=O1+Q1 SKM2=S2+K2-M2
2MK3=2*M2-K1 2MP3=2*M2-P1 MK3=M2+K1 MO3=M2+O1 NO3=N2+O1 SK3=S2+K1 SO3=S2+O1 2MLS4=2*M2+L2-S2
2MNS4=2*M2+N2-S2 2MSK4=2*M2+S2-K2 2MSN4=2*M2+S2-N2 3MN4=3*M2-N2 3MS4=3*M2-S2 4MS4=4*M2-2*S2 K4=2*K2 M4=2*M2
MK4=M2+K2 MN4=M2+N2 MS4=M2+S2 N4=2*N2 S4=2*S2 SK4=S2+K2 SN4=S2+N2 2MK5=2*M2+K1 2MO5=2*M2+O1 2MP5=2*M2+P1
3KM5=3*K1+M2 3MK5=3*M2-K1 3MO5=3*M2-O1 MNO5=M2+N2+O1 MSK5=M2+S2+K1 2MK6=2*M2+K2 2MN6=2*M2+N2 2MNU6=2*M2+NU2
2MS6=2*M2+S2 2NM6=2*N2+M2 2SM6=2*S2+M2 2SN6=2*S2+N2 3MNS6=3*M2+N2-S2 3MSK6=3*M2+S2-K2 3MSN6=3*M2+S2-N2
4MS6=4*M2-S2 M6=3*M2 MKNU6=M2+K2+NU2 MSK6=M2+S2+K2 MSN6=M2+S2+N2 S6=3*S2 2MNO7=2*M2+N2+O1 2MSO7=2*M2+S2+O1
M7=3*M2+M1 2(MN)8=2*M2+2*N2 2(MS)8=2*M2+2*S2 2MNK8=2*M2+N2+K2 2MSK8=2*M2+S2+K2 2MSN8=2*M2+S2+N2 3MK8=3*M2+K2
3MN8=3*M2+N2 3MS8=3*M2+S2 M8=4*M2 S8=4*S2 3MNK9=3*M2+N2+K1 3MSK9=3*M2+S2+K1 4MK9=4*M2+K1
2(MS)N10=2*M2+2*S2+N2 3M2S10=3*M2+2*S2 3MSN10=3*M2+S2+N2 4MN10=4*M2+N2 4MS10=4*M2+S2 M10=5*M2
4MSK11=4*M2+S2+K1 4M2S12=4*M2+2*S2 4MSN12=4*M2+S2+N2 5MS12=5*M2+S2 M12=6*M2
"""

COMPOUNDS: Final[dict[str, Terms]] = {
    name: terms_of(sum_of_basics) for name, sum_of_basics in (item.split("=") for item in _SUMS.split())
}


def made_of(constituent: Constituent) -> Terms | None:
    """Return the basic constituents that one is the sum of; None where its name, or a part of it, is not
    known."""
    name = constituent.name.upper()
    terms = constituent.compound or COMPOUNDS.get(name) or ((name, 1),)
    basic = tuple((OTHER_NAMES.get(part, part), times) for part, times in terms)
    return basic if all(part in BASIC_NAMES for part, _ in basic) else None
