"""Node factors: how the slow turn of the moon's orbit, 18.6 years, raises and delays each constituent.

P. Schureman, "Manual of Harmonic Analysis and Prediction of Tides", US Coast and Geodetic Survey Special
Publication 98 (1940), formulas 73 to 80, 144, 149, 191 to 235, with the inclination of the moon's orbit
5.145 deg and the obliquity of the ecliptic of the date. Agencies take them for the middle of the calendar
year and keep them through it.
"""

import math
from dataclasses import dataclass

import numpy as np

from alongside.forecast.tide.astronomy import angles, centuries, moons_node
from alongside.forecast.tide.constituents import BASICS
from alongside.readings import Floats


@dataclass(frozen=True, slots=True)
class Orbit:
    """The moon's orbit as the equator sees it, rad: inclination I, longitudes xi and nu of Schureman, and
    the longitude P of its perigee from the crossing."""

    inclination: float
    xi: float
    nu: float
    perigee: float


def orbit(time: float) -> Orbit:
    """Return the orbit at UNIX seconds."""
    w = math.radians(23.4392911 - 0.0130042 * centuries(time))
    i = math.radians(5.145)
    node = math.remainder(math.radians(moons_node(time)), math.tau)
    inclination = math.acos(math.cos(w) * math.cos(i) - math.sin(w) * math.sin(i) * math.cos(node))
    half = math.tan(node / 2.0)
    a = math.atan(math.cos((w - i) / 2.0) / math.cos((w + i) / 2.0) * half)
    b = math.atan(math.sin((w - i) / 2.0) / math.sin((w + i) / 2.0) * half)
    xi = node - a - b
    return Orbit(inclination, xi, a - b, math.radians(angles([time])[0, 3]) - xi)


def node_factors(time: float) -> tuple[Floats, Floats]:
    """Return (f, u) of each basic constituent, in the order of `BASICS`, at UNIX seconds: factor of the
    amplitude, and degrees (-180..180) that are added to the argument."""
    families = {**_of_the_year(orbit(time)), **_of_perigee(orbit(time))}
    rows = np.array([families[basic.family] for basic in BASICS])
    return rows[:, 0], np.degrees(np.remainder(rows[:, 1] + np.pi, 2.0 * np.pi) - np.pi)


def _of_the_year(o: Orbit) -> dict[str, tuple[float, float]]:
    """Return f and u (rad) of the families that follow the inclination alone."""
    sine, half = math.sin(o.inclination), o.inclination / 2.0
    twice = math.sin(2.0 * o.inclination)
    xi, nu = o.xi, o.nu
    k1 = math.sqrt(0.8965 * twice**2 + 0.6001 * twice * math.cos(nu) + 0.1006)
    k2 = math.sqrt(19.0444 * sine**4 + 2.7702 * sine**2 * math.cos(2.0 * nu) + 0.0981)
    u_k1 = -math.atan2(twice * math.sin(nu), twice * math.cos(nu) + 0.3347)
    u_k2 = -math.atan2(sine**2 * math.sin(2.0 * nu), sine**2 * math.cos(2.0 * nu) + 0.0727)
    m2 = math.cos(half) ** 4 / 0.9154
    m1c = (1.0 - 10.0 * math.sin(half) ** 2 + 15.0 * math.sin(half) ** 4) * math.cos(half) ** 2 / 0.5873
    return {
        "sun": (1.0, 0.0),
        "MM": ((2.0 / 3.0 - sine**2) / 0.5021, 0.0),
        "MF": (sine**2 / 0.1578, -2.0 * xi),
        "O1": (sine * math.cos(half) ** 2 / 0.38, 2.0 * xi - nu),
        "K1": (k1, u_k1),
        "J1": (twice / 0.7214, -nu),
        "OO1": (sine * math.sin(half) ** 2 / 0.0164, -2.0 * xi - nu),
        "M2": (m2, 2.0 * xi - 2.0 * nu),
        "K2": (k2, u_k2),
        "M3": (m2**1.5, 3.0 * xi - 3.0 * nu),
        "M1C": (m1c, xi - nu),
    }


def _of_perigee(o: Orbit) -> dict[str, tuple[float, float]]:
    """Return f and u (rad) of L2 and M1, which follow the moon's perigee too."""
    half, twice = o.inclination / 2.0, 2.0 * o.perigee
    m2 = math.cos(half) ** 4 / 0.9154
    o1 = math.sin(o.inclination) * math.cos(half) ** 2 / 0.38
    tan2 = math.tan(half) ** 2
    l2 = m2 * math.sqrt(1.0 - 12.0 * tan2 * math.cos(twice) + 36.0 * tan2**2)
    r = math.atan2(math.sin(twice), 1.0 / (6.0 * tan2) - math.cos(twice))
    m1 = o1 * math.sqrt(2.31 + 1.435 * math.cos(twice))
    cosine = math.cos(o.inclination)
    q = math.atan2((5.0 * cosine - 1.0) * math.sin(o.perigee), (7.0 * cosine + 1.0) * math.cos(o.perigee))
    return {"L2": (l2, 2.0 * o.xi - 2.0 * o.nu - r), "M1": (m1, q - o.nu - o.perigee)}
