"""Ship, quay and lines seen from above, in the berth frame: x along the fenders, y out to the water."""

import math
from dataclasses import dataclass

import numpy as np

from alongside.cycle.picture import Picture
from alongside.readings import Floats
from alongside.stay.model import Stay

_HULL = np.array(
    [
        (0.00, 0.28),
        (0.02, 0.42),
        (0.08, 0.50),
        (0.84, 0.50),
        (0.91, 0.42),
        (0.96, 0.25),
        (1.00, 0.00),
    ]
)
"""Half of a ship's outline, (share of length from aft, share of breadth): a drawing, no lines plan."""


_SPARE = 0.03
"""Share of a drawing left free at each side."""


@dataclass(frozen=True, slots=True)
class Frame:
    """From the berth frame to dots: one scale both ways, water at the top, quay at the foot."""

    scale: float
    left: float
    top: float

    @classmethod
    def around(cls, points: Floats, width: int, height: int) -> "Frame":
        """Return all points within `width` x `height` dots, in the middle."""
        low, high = points.min(axis=0), points.max(axis=0)
        size = np.maximum(high - low, 1.0)
        dots = np.array([width, height])
        scale = float(((dots * (1.0 - 2.0 * _SPARE) - 1.0) / size).min())
        slack = dots - size * scale
        return cls(scale, low[0] - slack[0] / 2.0 / scale, high[1] + slack[1] / 2.0 / scale)

    def x(self, x: Floats) -> Floats:
        return (x - self.left) * self.scale

    def y(self, y: Floats) -> Floats:
        return (self.top - y) * self.scale


@dataclass(frozen=True, slots=True)
class Placement:
    """Takes ship frame x, y to the berth frame: heel and trim are too small to see from above."""

    ship_x: float
    angle: float
    x: float
    y: float

    @classmethod
    def of(cls, picture: Picture) -> "Placement":
        """Where the ship lies; in her place where surge, sway and yaw are not known."""
        surge, sway, yaw = (
            0.0 if math.isnan(value) else value
            for value in (picture.surge, picture.sway, math.radians(picture.yaw_deg))
        )
        own = cls.in_place(picture.stay)
        return cls(own.ship_x, own.angle + yaw, own.x + surge, own.y + sway)

    @classmethod
    def in_place(cls, stay: Stay) -> "Placement":
        base = 0.0 if stay.alongside == "starboard" else math.pi
        return cls(stay.place.ship_x, base, stay.place.berth_x, stay.ship.breadth / 2.0)

    def moved(self, drift: "Drift") -> "Placement":
        """Return the same off place by a drift as many times as that is drawn."""
        surge, sway, yaw = (drift.factor * part for part in (drift.surge, drift.sway, drift.yaw))
        return Placement(self.ship_x, self.angle + yaw, self.x + surge, self.y + sway)

    def points(self, ship: Floats) -> Floats:
        """(n, 2) ship frame to (n, 2) berth frame."""
        x, y = ship[:, 0] - self.ship_x, ship[:, 1]
        cos, sin = math.cos(self.angle), math.sin(self.angle)
        return np.column_stack([self.x + cos * x - sin * y, self.y + sin * x + cos * y])


SEEN_DOTS = 2.0
"""A drift is drawn larger until it is so many dots."""
LARGER = (1, 2, 5, 10, 20)


@dataclass(frozen=True, slots=True)
class Drift:
    """How far the ship lies off her place, m (berth +x, +y) and rad, and how many times that is drawn; 0
    where it is not known, as `known` says."""

    surge: float = 0.0
    sway: float = 0.0
    yaw: float = 0.0
    factor: int = 1
    known: bool = True

    @classmethod
    def of(cls, picture: Picture, scale: float) -> "Drift":
        """Return the drift of a Picture; `scale` dots a metre."""
        parts = picture.surge, picture.sway, math.radians(picture.yaw_deg)
        if not all(math.isfinite(part) for part in parts):
            return cls(known=False)
        surge, sway, yaw = parts
        most = math.hypot(surge, sway) + abs(yaw) * picture.stay.ship.loa / 2.0
        if most < 0.005:
            return cls(surge, sway, yaw)
        factor = next((each for each in LARGER if each * most * scale >= SEEN_DOTS), LARGER[-1])
        return cls(surge, sway, yaw, factor)

    def placement(self, stay: Stay) -> Placement:
        """Return where she is drawn."""
        return Placement.in_place(stay).moved(self)


def hull(stay: Stay) -> Floats:
    """(n, 2) closed outline in the ship frame, overhangs shared between bow and stern."""
    ship = stay.ship
    aft = -(ship.loa - ship.lbp) / 2.0
    half = np.column_stack([aft + _HULL[:, 0] * ship.loa, _HULL[:, 1] * ship.breadth])
    other = half[::-1] * (1.0, -1.0)
    return np.vstack([half, other, half[:1]])


def lines(stay: Stay, placement: Placement) -> dict[str, Floats]:
    """(2, 2) fairlead and bollard of each line, berth frame."""
    return {line.id: lead(stay, placement, line.fairlead, line.bollard) for line in stay.lines}


def lead(stay: Stay, placement: Placement, fairlead: str, bollard: str) -> Floats:
    """(2, 2) a fairlead and a bollard by their names, berth frame."""
    leaves, to = stay.ship.fairleads[fairlead], stay.berth.bollards[bollard].at
    at = placement.points(np.array([[leaves.x, leaves.y]]))[0]
    return np.array([at, (to.x, to.y)])


def bollards(stay: Stay) -> Floats:
    """(n, 2) berth frame."""
    return np.array([(each.at.x, each.at.y) for each in stay.berth.bollards.values()]).reshape(-1, 2)


def fenders(stay: Stay) -> Floats:
    """(n,) berth x."""
    return np.array([fender.x for fender in stay.berth.fenders], dtype=np.float64)
