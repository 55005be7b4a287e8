"""How far a ship may move while cargo is worked, by what works it.

Recommended amplitudes of PIANC, "Criteria for movements of moored ships in harbours", report of Working Group
24 (1995), as remembered, not read: check them against the report, the terminal's own limits come first.
"""

from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from alongside.stay.model import Limits, StageLimits, Stay

CAUTION: Final = 0.5
WARNING: Final = 0.75
"""Shares of a limit at which caution and warning begin; common practice, no source."""


@dataclass(frozen=True, slots=True)
class Motions:
    """Largest surge and sway, m."""

    surge: float
    sway: float


GEAR: Final = MappingProxyType(
    {
        "ship_gear": Motions(1.0, 1.2),
        "quarry_cranes": Motions(1.0, 1.2),
        "general_cargo": Motions(2.0, 1.5),
        "bulk_cranes": Motions(2.0, 1.0),
        "bulk_elevator": Motions(1.0, 0.5),
        "bulk_conveyor": Motions(5.0, 2.5),
        "loading_arms": Motions(3.0, 3.0),
        "gas_arms": Motions(2.0, 2.0),
        "container_cranes": Motions(1.0, 0.6),
        "ro_ro_ramp": Motions(0.8, 0.6),
    }
)


def drift_limits(stay: Stay) -> tuple[StageLimits, StageLimits]:
    """Limits of surge and of sway, m: those of the file, else those of its cargo gear."""
    motions = GEAR[stay.gear]
    limits: Limits = stay.limits
    return limits.surge_m or _stages(motions.surge), limits.sway_m or _stages(motions.sway)


def _stages(most: float) -> StageLimits:
    return StageLimits(CAUTION * most, WARNING * most, most)
