"""The usual criteria for a ship's own mooring equipment: 60 kn of wind from any direction, together with a
current of 3 kn from ahead or astern, or 2 kn from 10 deg off either, or 0.75 kn from the worst side.

As summaries of industry guidelines for tankers give them. The guidelines state them for a ship at 1.1
draughts of depth, with lines of new strength; here they are tried on the set as it lies.
"""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from alongside.mechanics.arrangement import Arrangement
from alongside.mechanics.exposure import loads_of
from alongside.mechanics.holding import directions, name_of
from alongside.mechanics.situation import Situation
from alongside.mechanics.tension import tensions_of
from alongside.mechanics.usage import LIMITS, OFF_M, STRENGTH, Criteria, Gives, usage_of
from alongside.mechanics.wind_heel import listed_by_wind
from alongside.readings import Floats
from alongside.units import KNOT

WIND_KN: Final = 60.0
CURRENTS: Final = (
    (3.0, 0.0),
    (3.0, 180.0),
    (2.0, 10.0),
    (2.0, 350.0),
    (2.0, 170.0),
    (2.0, 190.0),
    (0.75, 90.0),
    (0.75, 270.0),
)
"""(knots, angle of attack deg): slanting currents from either bow and quarter, the beam one from either
side."""


@dataclass(frozen=True, slots=True)
class CriterionRow:
    """One current of the criteria: from where the wind blows that uses the set most, true deg; over all winds
    the largest load of a line by its WLL, of a brake by its holding, of a bollard by its SWL (0 where none is
    given, infinite where nothing holds her); the limit that has gone furthest, with its line or bollard, None
    where none has gone; and whether she stays against a fender in every wind. Drift does not count."""

    current_ms: float
    current_attack_deg: float
    current_from_deg: float
    worst_from_deg: float
    line_share: float
    brake_share: float
    bollard_share: float
    gives: Gives | None
    where: str | None
    in_contact: bool

    @property
    def holds(self) -> bool:
        return self.gives is None


def standard_criteria(
    arrangement: Arrangement, situation: Situation, unstretched: Floats, criteria: Criteria | None = None
) -> tuple[CriterionRow, ...]:
    """Return every current of the standard criteria with its worst wind, at one instant (one row) whose tide,
    draughts and heel are known, on a ship whose wind areas and current coefficients are given and at a berth
    with fenders."""
    criteria = replace(criteria or Criteria(), surge_m=None, sway_m=None)
    winds = directions()
    exposure = arrangement.exposure
    knots, attack = np.array(CURRENTS).T
    n = winds.size * knots.size
    seen = replace(
        situation.at(np.zeros(n, dtype=np.intp)),
        wind_speed=np.full(n, WIND_KN * KNOT),
        wind_from=np.tile(winds, knots.size),
        current_speed=np.repeat(knots * KNOT, winds.size),
        current_to=np.repeat((exposure.heading + attack + 180.0) % 360.0, winds.size),
    )
    seen = listed_by_wind(exposure, seen, situation.at(np.zeros(n, dtype=np.intp)))
    loads, _ = loads_of(exposure, seen)
    used = usage_of(arrangement, seen, tensions_of(arrangement, unstretched), loads, criteria)
    rows = []
    for case, (speed, angle) in enumerate(CURRENTS):
        part = slice(case * winds.size, (case + 1) * winds.size)
        at = part.start + int(used.share[part].argmax())
        gives: Gives | None = LIMITS[used.limit[at]] if used.share[at] > 1.0 else None
        largest = used.each[:STRENGTH, part].max(axis=1)
        if np.isinf(used.share[part]).any():
            largest = np.full(STRENGTH, np.inf)
        rows.append(
            CriterionRow(
                current_ms=speed * KNOT,
                current_attack_deg=angle,
                current_from_deg=float((exposure.heading + angle) % 360.0),
                worst_from_deg=float(seen.wind_from[at]),
                line_share=float(largest[0]),
                brake_share=float(largest[1]),
                bollard_share=float(largest[2]),
                gives=gives,
                where=None if gives is None else name_of(arrangement, gives, int(used.where[at])),
                in_contact=bool((used.off_m[part] <= OFF_M).all()),
            )
        )
    return tuple(rows)
