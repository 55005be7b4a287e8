"""A ship or barge that lies between her and the quay, or on her other side."""

from dataclasses import dataclass
from typing import Literal

from alongside.stay.model.ship import CurrentCoefficients, WindAreas

Lies = Literal["inside", "outside"]


@dataclass(frozen=True, slots=True)
class Beside:
    """`inside`: between her and the quay, in a fixed place. `outside`: made fast to her, so that wind and
    current on that ship come on her lines; then its size is known, and `ship_x`, the station of hers abreast
    of its middle. `draughts`: rows of (UNIX seconds, m), straight in between."""

    lies: Lies
    draughts: tuple[tuple[float, float], ...]
    ship_x: float | None = None
    length: float | None = None
    breadth: float | None = None
    wind: WindAreas | None = None
    current: CurrentCoefficients | None = None
