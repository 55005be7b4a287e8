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

    def points(self, ship: Floats) -> Floats:
        """(n, 2) ship frame to (n, 2) berth frame."""
        x, y = ship[:, 0] - self.ship_x, ship[:, 1]
        cos, sin = math.cos(self.angle), math.sin(self.angle)
        return np.column_stack([self.x + cos * x - sin * y, self.y + sin * x + cos * y])


def hull(stay: Stay) -> Floats:
    """(n, 2) closed outline in the ship frame, overhangs shared between bow and stern."""
    ship = stay.ship
    aft = -(ship.loa - ship.lbp) / 2.0
    half = np.column_stack([aft + _HULL[:, 0] * ship.loa, _HULL[:, 1] * ship.breadth])
    other = half[::-1] * (1.0, -1.0)
    return np.vstack([half, other, half[:1]])


def lines(stay: Stay, placement: Placement) -> dict[str, Floats]:
    """(2, 2) fairlead and bollard of each line, berth frame."""
    ends = {}
    for line in stay.lines:
        fairlead, bollard = stay.ship.fairleads[line.fairlead], stay.berth.bollards[line.bollard].at
        at = placement.points(np.array([[fairlead.x, fairlead.y]]))[0]
        ends[line.id] = np.array([at, (bollard.x, bollard.y)])
    return ends


def bollards(stay: Stay) -> Floats:
    """(n, 2) berth frame."""
    return np.array([(each.at.x, each.at.y) for each in stay.berth.bollards.values()]).reshape(-1, 2)


def fenders(stay: Stay) -> Floats:
    """(n,) berth x."""
    return np.array([fender.x for fender in stay.berth.fenders], dtype=np.float64)
