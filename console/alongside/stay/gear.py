"""How far a ship may move while cargo is worked, by what works it.

Recommended motions of PIANC, "Criteria for movements of moored ships in harbours", report of Working Group
24 (1995), as remembered, not read: check them against the report, the terminal's own limits come first. That
they are peak to peak is read in the abstract of a conference paper, and that its figures for container cranes
are held too lax: half of them are taken. Of ramps the side ramp's stand, not the lax ones of a storm ramp.

A mean offset is no motion. It is judged against the reach of arm, ramp or gantry, which nobody but the
terminal knows: until the file gives it the same figures stand, either way; common practice, no source.
"""

from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from alongside.stay.model import Limits, StageLimits, Stay

CAUTION: Final = 0.5
WARNING: Final = 0.75
"""Shares of a limit at which caution and warning begin; common practice, no source."""
RANGES: Final = ("surge_range", "sway_range", "yaw_range")
"""Subjects of the rules of the range in 15 min."""


@dataclass(frozen=True, slots=True)
class Motions:
    """Largest surge and sway, m, and yaw, deg, peak to peak; a yaw of None is not limited."""

    surge: float
    sway: float
    yaw_deg: float | None = None


GEAR: Final = MappingProxyType(
    {
        "ship_gear": Motions(1.0, 1.2, 1.0),
        "quarry_cranes": Motions(1.0, 1.2, 2.0),
        "general_cargo": Motions(2.0, 1.5, 3.0),
        "bulk_cranes": Motions(2.0, 1.0, 2.0),
        "bulk_elevator": Motions(1.0, 0.5, 2.0),
        "bulk_conveyor": Motions(5.0, 2.5, 3.0),
        "loading_arms": Motions(3.0, 3.0),
        "gas_arms": Motions(2.0, 2.0, 2.0),
        "container_cranes": Motions(0.5, 0.3, 0.5),
        "ro_ro_ramp": Motions(0.6, 0.6, 1.0),
        "linkspan": Motions(0.4, 0.6, 3.0),
        "rail_ferry": Motions(0.1, 0.1),
    }
)


def drift_limits(stay: Stay) -> tuple[StageLimits, StageLimits]:
    """Return the limits of the offset along and across, m either way: those of the file, else of its cargo
    gear."""
    motions = GEAR[stay.gear]
    limits: Limits = stay.limits
    return limits.surge_m or _stages(motions.surge), limits.sway_m or _stages(motions.sway)


def range_limits(stay: Stay) -> dict[str, StageLimits]:
    """Return the limits of the range in 15 min, m and deg, by its subject: those of the file, else of its
    cargo gear."""
    motions, limits = GEAR[stay.gear], stay.limits
    given = limits.surge_range_m, limits.sway_range_m, limits.yaw_range_deg
    usual = motions.surge, motions.sway, motions.yaw_deg
    ranges = (each or _stages(most) for each, most in zip(given, usual, strict=True))
    return dict(zip(RANGES, ranges, strict=True))


def _stages(most: float | None) -> StageLimits:
    return StageLimits() if most is None else StageLimits(CAUTION * most, WARNING * most, most)
