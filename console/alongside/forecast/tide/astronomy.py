"""Where moon and sun stand on the average: the angles from which every tidal constituent is made.

Mean longitudes after J. Meeus, "Astronomical Algorithms" (1991), as polynomials of Julian centuries from
2000-01-01T12; good to a few thousandths of a degree for centuries to either side.
"""

from datetime import UTC, datetime
from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from alongside.readings import Floats

NOON_2000: Final = 946728000.0
"""2000-01-01T12:00:00Z in UNIX seconds."""
CENTURY_DAYS: Final = 36525.0

ANGLES: Final = ("T", "s", "h", "p", "p1", "1")
"""Columns of `angles`: hour angle of the mean sun from noon on, mean longitudes of moon, sun, lunar perigee
and solar perigee, and one whole degree, for phases that add a constant."""

_SPEED_A_CENTURY: Final = (360.0 * CENTURY_DAYS, 481267.88123421, 36000.76983, 4069.0137287, 1.71946, 0.0)
SPEEDS: Final = np.array(_SPEED_A_CENTURY) / (CENTURY_DAYS * 86400.0)
"""(6,) degrees a second at which the angles advance."""
_AT_NOON_2000: Final = np.array([0.0, 218.3164477, 280.46646, 83.3532465, 282.93735, 1.0])
_CURVATURE: Final = np.array([0.0, -0.0015786, 0.0003032, -0.01032, 0.00046, 0.0])


def angles(time: ArrayLike) -> Floats:
    """Return (n, 6) degrees, columns as in `ANGLES`, at UNIX seconds `time` (n,). T is brought to 0..360, the
    longitudes are not."""
    days = (np.asarray(time, dtype=np.float64) - NOON_2000) / 86400.0
    c = days[..., None] / CENTURY_DAYS
    found: Floats = _AT_NOON_2000 + c * (np.array(_SPEED_A_CENTURY) + c * _CURVATURE)
    found[..., 0] = 360.0 * (days - np.floor(days))
    return found


def moons_node(time: float) -> float:
    """Return longitude N of the moon's ascending node, deg."""
    c = centuries(time)
    return 125.04452 + c * (-1934.136261 + 0.0020708 * c)


def centuries(time: float) -> float:
    """Return Julian centuries since 2000-01-01T12."""
    return (time - NOON_2000) / 86400.0 / CENTURY_DAYS


def middle_of_year(time: float) -> float:
    """Return UNIX seconds of the middle of the calendar year (UTC) that `time` lies in."""
    year = datetime.fromtimestamp(time, UTC).year
    first, next_first = (datetime(y, 1, 1, tzinfo=UTC).timestamp() for y in (year, year + 1))
    return (first + next_first) / 2.0
