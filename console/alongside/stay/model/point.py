"""A point, in the frame of what it belongs to, m."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Point:
    x: float
    y: float
    z: float
