"""How a ship alongside moves in swell, estimated: a box that follows the water, averaged over her hull.

The water is a sum of plain waves, each with w^2 = g k tanh(k h). Of one wave of amplitude a, which runs along
(kx ahead, ky to port) and meets her with the phase th = w t + phase, with a L x B box at draught T:

    heave = a K s(kx L/2) s(ky B/2) cos th                     s(u) = sin u / u
    trim  = a K kx f(kx L/2) s(ky B/2) sin th                  f(u) = 3 (sin u - u cos u) / u^3
    list  = a K ky f(ky B/2) s(kx L/2) R sin(th - lag)         bow up +, port side up +, as slopes
    water = -g kx a M s(kx L/2) s(ky B/2) sin th, its acceleration ahead

K = cosh k(h - T) / cosh kh is what is left of the wave at her keel (Smith's effect), M its mean over the
draught. Heave and trim follow the water without inertia. The roll answers as a damped oscillator, R = 1 /
|1 - (w/w0)^2 + 2 i z w/w0|: w0 = sqrt(g GM) / (0.38 B) (radius of gyration: practice, 0.35 to 0.40), z 0.1
(practice). The water drives her as it would a long wave: mass and added mass x its mean acceleration.

No diffraction, no coupling, no second order, and no wave that a quay throws back, which may double heave and
trim: good for a swell longer than about twice her length; for a shorter one, and for the roll near its own
period, take a factor of 2 either way. Close to a quay water can hardly move across it: the swell drives her
along it only. At an open jetty it drives her across too, which is left out.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np

from alongside.mechanics.ranging import Inertia
from alongside.mechanics.righting import G
from alongside.readings import Floats

ROLL_GYRATION: Final = 0.38
"""Radius of gyration in roll with what turns along, of her breadth."""
ROLL_DAMPING: Final = 0.10
DISPERSION_STEPS: Final = 12
DEEP: Final = 20.0
"""k h beyond which the bed is not felt."""


@dataclass(frozen=True, slots=True, eq=False)
class Waves:
    """Plain waves (k,): rad/s, m, rad; `ahead` and `to_port` are the parts of the wave number, rad/m, in the
    ship frame, of the way in which they run."""

    frequency: Floats
    amplitude: Floats
    phase: Floats
    ahead: Floats
    to_port: Floats
    depth: float

    @property
    def number(self) -> Floats:
        return np.hypot(self.ahead, self.to_port)

    def level(self, time: Floats, x: float, y: float) -> Floats:
        """Return how much higher the water stands, m (n,), x m ahead and y m to port of midships."""
        turn = np.outer(time, self.frequency) + self.phase - self.ahead * x - self.to_port * y
        level: Floats = np.cos(turn) @ self.amplitude
        return level


@dataclass(frozen=True, slots=True, eq=False)
class SwellMotion:
    """(n,) each: heave m up, trim m a m bow up, heel deg starboard down; `push` kN ahead."""

    heave: Floats
    trim: Floats
    heel_deg: Floats
    push: Floats

    def rise_at(self, x: float) -> Floats:
        """Return by how much her centreline has risen x m ahead of midships, m."""
        return self.heave + self.trim * x


def wave_numbers(frequency: Floats, depth: float) -> Floats:
    """Return k, rad/m, of w^2 = g k tanh(k h); infinite depth is deep."""
    deep = frequency**2 / G
    if not np.isfinite(depth):
        return deep
    kh = np.maximum(deep * depth, np.sqrt(deep * depth))
    for _ in range(DISPERSION_STEPS):
        tanh = np.tanh(kh)
        kh = kh - (kh * tanh - deep * depth) / (tanh + kh * (1.0 - tanh**2))
    return np.asarray(kh / depth)


def ship_in_swell(
    waves: Waves, length: float, breadth: float, draught: float, gm: float, inertia: Inertia, time: Floats
) -> SwellMotion:
    """Return how a ship of these dimensions, m, moves at n instants, s from that of the phases."""
    along, across = 0.5 * waves.ahead * length, 0.5 * waves.to_port * breadth
    at_keel, mean = _with_depth(waves.number, waves.depth, draught)
    reaches = waves.amplitude * at_keel
    turn = np.outer(time, waves.frequency) + waves.phase
    sine, cosine = np.sin(turn), np.cos(turn)
    heave = cosine @ (reaches * _mean(along) * _mean(across))
    trim = sine @ (reaches * waves.ahead * _slope(along) * _mean(across))
    ratio = waves.frequency / (np.sqrt(G * gm) / (ROLL_GYRATION * breadth))
    answer = 1.0 / (1.0 - ratio**2 + 2.0j * ROLL_DAMPING * ratio)
    slope = reaches * waves.to_port * _slope(across) * _mean(along)
    listed = sine @ (slope * answer.real) + cosine @ (slope * answer.imag)
    drive = -G * waves.amplitude * mean * waves.ahead * _mean(along) * _mean(across)
    push = sine @ (inertia.ahead * drive)
    return SwellMotion(heave, trim, np.degrees(np.arctan(listed)), push)


def _with_depth(number: Floats, depth: float, draught: float) -> tuple[Floats, Floats]:
    """Return what is left of a wave at the keel, and its mean over the draught."""
    kt = number * draught
    if not np.isfinite(depth):
        return np.exp(-kt), -np.expm1(-kt) / kt
    kh = np.minimum(number * depth, DEEP)
    k = kh / depth
    at_keel = np.cosh(k * (depth - draught)) / np.cosh(kh)
    mean = (np.sinh(kh) - np.sinh(k * (depth - draught))) / (k * draught * np.cosh(kh))
    return at_keel, mean


def _mean(u: Floats) -> Floats:
    """Return sin u / u."""
    return np.asarray(np.sinc(u / np.pi))


def _slope(u: Floats) -> Floats:
    """Return 3 (sin u - u cos u) / u^3, 1 at 0."""
    small = np.abs(u) < 1e-3
    v = np.where(small, 1.0, u)
    return np.where(small, 1.0 - u * u / 10.0, 3.0 * (np.sin(v) - v * np.cos(v)) / v**3)
