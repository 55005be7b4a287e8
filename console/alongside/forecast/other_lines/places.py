"""Where fittings and bollards stand seen from above, how a line would lead there, and what it would cross."""

from dataclasses import dataclass, replace
from math import hypot

import numpy as np

from alongside.mechanics.arrangement import Arrangement
from alongside.mechanics.far_ends import far_ends_of
from alongside.mechanics.geometry import horizontal_deg, leads_of, vertical_deg
from alongside.mechanics.guidance import role_by_lead, turn_between
from alongside.mechanics.pose import ship_to_berth
from alongside.mechanics.state import Pose
from alongside.stay.model import Line, Point, Role, Stay

Flat = tuple[float, float]
Unit = tuple[float, float, float]
SIDE_M = 0.3
"""A line that passes a fairlead's edge by no more than this does not lead over the deck."""


@dataclass(frozen=True, slots=True)
class LeadNow:
    """How a line leads from a fairlead to a bollard: deg from ahead, deg down, m outboard; its direction as a
    unit vector in the berth frame, and ahead, to port and up of the ship; `steepest_deg` the most that it
    leads up or down at any of the poses."""

    ahead_deg: float
    down_deg: float
    outboard_m: float
    unit: Unit
    on_board: Unit
    steepest_deg: float


class Places:
    """Leads of a ship that lies at the first of n poses; steepness counts at all of them."""

    def __init__(self, stay: Stay, arrangement: Arrangement, pose: Pose) -> None:
        self.stay, self._arrangement, self._pose = stay, arrangement, pose
        names = tuple(stay.ship.fairleads)
        points = np.array([_of(stay.ship.fairleads[name]) for name in names])
        placed = ship_to_berth(points, pose, arrangement)[0]
        self.fairleads: dict[str, Flat] = {
            name: (float(x), float(y)) for name, (x, y, _) in zip(names, placed, strict=True)
        }
        self._leads: dict[tuple[str, str], LeadNow] = {}
        self._look({(name, bollard) for name in names for bollard in stay.berth.bollards})

    def _look(self, pairs: set[tuple[str, str]]) -> None:
        stay, every = self.stay, sorted(pairs)
        lines = tuple(
            replace(stay.lines[0], fairlead=fairlead, bollard=bollard, bight_with="")
            for fairlead, bollard in every
        )
        geometry = replace(
            self._arrangement,
            fairlead=np.array([_of(stay.ship.fairleads[name]) for name, _ in every]),
            far_ends=far_ends_of(replace(stay, lines=lines)),
            inboard=np.zeros(len(every)),
            partners=None,
        )
        leads = leads_of(geometry, self._pose)
        quay = -1.0 if stay.alongside == "starboard" else 1.0
        columns = (
            horizontal_deg(leads),
            vertical_deg(leads),
            leads.outboard,
            leads.x,
            leads.y,
            leads.z,
            leads.ahead,
            leads.in_,
            np.abs(vertical_deg(leads)).max(axis=1, keepdims=True),
        )
        rows = np.array([each[:, 0] for each in columns]).T.tolist()
        for pair, row in zip(every, rows, strict=True):
            ahead_deg, down_deg, long, x, y, z, ahead, in_, steepest = row
            far = long or 1.0
            unit, on_board = (x / far, y / far, z / far), (ahead / far, quay * in_ / far, z / far)
            self._leads[pair] = LeadNow(ahead_deg, down_deg, long, unit, on_board, steepest)

    def lead(self, fairlead: str, bollard: str) -> LeadNow:
        return self._leads[fairlead, bollard]

    def ends(self, fairlead: str, bollard: str) -> tuple[Flat, Flat]:
        at = self.stay.berth.bollards[bollard].at
        return self.fairleads[fairlead], (at.x, at.y)

    def turn_deg(self, winch: str | None, fairlead: str, bollard: str) -> float:
        """Return through how much the fairlead turns the line; 0 without a winch."""
        if winch is None:
            return 0.0
        chock, drum = self.stay.ship.fairleads[fairlead], self.stay.ship.winches[winch].at
        inward = (chock.x - drum.x, chock.y - drum.y, chock.z - drum.z)
        return turn_between(inward, self.lead(fairlead, bollard).on_board)

    def inboard_m(self, winch: str | None, fairlead: str) -> float:
        if winch is None:
            return 0.0
        chock, drum = self.stay.ship.fairleads[fairlead], self.stay.ship.winches[winch].at
        return hypot(chock.x - drum.x, chock.y - drum.y, chock.z - drum.z)

    def over_deck(self, fairlead: str, bollard: str) -> bool:
        """Return whether the line would lead over her own deck: inside of a fairlead that it passes, or from
        her far side."""
        (x, y), (to_x, to_y) = self.ends(fairlead, bollard)
        across = self.stay.ship.fairleads[fairlead].y * (-1.0 if self.stay.alongside == "starboard" else 1.0)
        if across < -0.1 * self.stay.ship.breadth or to_y >= y:
            return True
        for name, (other_x, other_y) in self.fairleads.items():
            if name != fairlead and min(x, to_x) < other_x < max(x, to_x):
                passes = y + (other_x - x) / (to_x - x) * (to_y - y)
                if passes > other_y + SIDE_M:
                    return True
        return False

    def crossed(self, line: Line, others: tuple[Line, ...]) -> Line | None:
        """Return the first of other lines that a line would cross outboard, seen from above; two springs may
        pass each other along her side."""
        own = self.ends(line.fairlead, line.bollard)
        for other in others:
            both_springs = line.role == other.role == "spring"
            if not both_springs and cross(*own, *self.ends(other.fairlead, other.bollard)):
                return other
        return None

    def role(self, fairlead: str, bollard: str) -> Role:
        """Return what a line does by its lead."""
        forward = self.stay.ship.fairleads[fairlead].x >= self.stay.ship.lbp / 2.0
        return role_by_lead(self.lead(fairlead, bollard).ahead_deg, forward)


def cross(a: Flat, b: Flat, c: Flat, d: Flat) -> bool:
    """Return whether the way from a to b crosses that from c to d; one that only ends on the other does
    not."""
    return _side(a, b, c) * _side(a, b, d) < 0.0 and _side(c, d, a) * _side(c, d, b) < 0.0


def _side(a: Flat, b: Flat, c: Flat) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _of(point: Point) -> tuple[float, float, float]:
    return point.x, point.y, point.z
