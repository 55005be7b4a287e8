"""Angles at which lines serve well, and what a chock bears that turns one.

The angles are those of the simplified procedure for mooring of California Building Code 3105F, read.
"""

from math import acos, degrees, hypot, radians, sin
from typing import Final

from alongside.stay.model import Role

Vector = tuple[float, float, float]

FROM_SQUARE: Final = {"head": 45.0, "stern": 45.0, "breast": 15.0}
"""So far from square to her side at the most, deg."""
FROM_SIDE: Final = 10.0
"""Of a spring, from the direction of her side."""
DOWN: Final = 25.0
"""Vertically, up or down; in the lightest draught and the highest water of the plan too."""
ROUNDING: Final = 0.5
BREAST_TO: Final = 45.0
"""Off square, deg: a line that leads towards midships is a breast up to here. Common practice, no source."""
EVEN_DEG: Final = 60.0
"""A chock that turns a line through so much bears just the line's load."""


def off_lead(role: str, lead_deg: float) -> tuple[float, float, str]:
    """Return how far a line leads off what guidance has for its role, the most that it allows, both deg, and
    from what; `lead_deg` is 0 ahead, 90 abeam, 180 astern."""
    if role == "spring":
        return min(lead_deg, 180.0 - lead_deg), FROM_SIDE, "from the side"
    return abs(lead_deg - 90.0), FROM_SQUARE[role], "from square"


def role_by_lead(lead_deg: float, forward: bool) -> Role:
    """Return what a line does by its lead, 0 ahead, 90 abeam, 180 astern, from a fairlead forward of midships
    or not: within 15 deg of square it is a breast; else one that leads away from midships is a head or stern
    line, and one that leads towards it a spring, or a breast up to 45 deg off square."""
    off = abs(lead_deg - 90.0)
    if off <= FROM_SQUARE["breast"] + ROUNDING:
        return "breast"
    if forward == (lead_deg < 90.0):
        return "head" if forward else "stern"
    return "breast" if off <= BREAST_TO else "spring"


def chock_load(turn_deg: float) -> float:
    """Return what a chock bears that turns a line through an angle, as a multiple of the line's load."""
    return 2.0 * sin(radians(turn_deg) / 2.0)


def turn_between(inward: Vector, outward: Vector) -> float:
    """Return the angle, deg, through which a chock turns a line: `inward` points from the winch to the chock,
    `outward` from there to the bollard. 0 where either has no length."""
    length = hypot(*inward) * hypot(*outward)
    if not length > 0.0:
        return 0.0
    straight = sum(a * b for a, b in zip(inward, outward, strict=True)) / length
    return degrees(acos(max(-1.0, min(1.0, straight))))
