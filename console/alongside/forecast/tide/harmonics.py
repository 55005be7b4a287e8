"""Height of tide from harmonic constants: h = sum of A f cos(V + u - G).

A and G are the port's constants, V the argument of the constituent at the instant, f and u its node factors
at the middle of the calendar year in which the window begins: a window across New Year keeps one set, so
that the level has no step at midnight. A compound has the sum of V and u of its parts and the product of
their f, each to the power of how often it enters.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from alongside.forecast.tide.astronomy import SPEEDS, angles, middle_of_year
from alongside.forecast.tide.constituents import BASIC_NAMES, BASICS, made_of
from alongside.forecast.tide.nodes import node_factors
from alongside.readings import Floats
from alongside.stay.model import Constituent

BLOCK: Final = 4096
"""Instants computed at once, so that memory stays bounded however long the window."""

_BASIC_ANGLES: Final = np.array([(b.t, b.s, b.h, b.p, b.p1, b.degrees) for b in BASICS], dtype=np.float64)


@dataclass(frozen=True, slots=True, eq=False)
class Harmonics:
    """Constants made ready. `parts` (k, basics): how often each basic constituent enters each of k."""

    parts: Floats
    amplitude: Floats
    lag_deg: Floats
    unknown: tuple[Constituent, ...]
    """Constants whose constituent is not known: not in the heights, so these may be off by their sum."""

    @property
    def left_out(self) -> float:
        """Return sum of the amplitudes of the unknown constituents, m."""
        return sum(abs(constituent.amplitude) for constituent in self.unknown)


def harmonics_of(constituents: Sequence[Constituent]) -> Harmonics:
    """Make constants ready; those that cannot be predicted are kept apart in `unknown`."""
    sums = [(constituent, made_of(constituent)) for constituent in constituents]
    known = [(constituent, terms) for constituent, terms in sums if terms is not None]
    parts = np.zeros((len(known), len(BASICS)))
    for row, (_, terms) in enumerate(known):
        for name, times in terms:
            parts[row, BASIC_NAMES[name]] += times
    return Harmonics(
        parts,
        np.array([constituent.amplitude for constituent, _ in known], dtype=np.float64),
        np.array([constituent.lag_deg for constituent, _ in known], dtype=np.float64),
        tuple(constituent for constituent, terms in sums if terms is None),
    )


def unknown_in_words(harmonics: Harmonics) -> list[str]:
    """Return one line for each constituent that is left out, largest first."""
    largest_first = sorted(harmonics.unknown, key=lambda constituent: -abs(constituent.amplitude))
    return [
        f"constituent {constituent.name} of {constituent.amplitude:.3f} m is not known: left out"
        for constituent in largest_first
    ]


def arguments(time: ArrayLike) -> Floats:
    """Return (n, basics) V in degrees, 0..360, of each of `BASICS` at UNIX seconds (n,)."""
    v: Floats = (angles(time) @ _BASIC_ANGLES.T) % 360.0
    return v


def height_about_mean(harmonics: Harmonics, time: ArrayLike, nodes_at: float | None = None) -> Floats:
    """Return height of tide (n,) m about mean level at UNIX seconds `time` (n,); times are known.

    `nodes_at`: the instant whose node factors are taken; by default the middle of the year of the first
    time. One stay should keep one, so that its levels do not depend on when they were computed.
    """
    at = np.atleast_1d(np.asarray(time, dtype=np.float64))
    if at.size == 0:
        return np.empty(0)
    f, u = node_factors(middle_of_year(float(at[0])) if nodes_at is None else nodes_at)
    amplitude = harmonics.amplitude * np.exp(np.abs(harmonics.parts) @ np.log(f))
    turns = harmonics.parts @ _BASIC_ANGLES
    turns[:, -1] += harmonics.parts @ u - harmonics.lag_deg
    height = np.empty(at.size)
    for start in range(0, at.size, BLOCK):
        part = slice(start, start + BLOCK)
        height[part] = _sum_of_waves(turns, amplitude, at[part])
    return height


def _sum_of_waves(turns: Floats, amplitude: Floats, at: Floats) -> Floats:
    """Return sum of amplitude cos(angles . turns), turns (k, 6), at (n,).

    An even series at a minute's step has few distinct whole hours and few distinct times within the hour.
    Then cos(a + b) = cos a cos b - sin a sin b saves most of the cosines: a at the hours, b what the phase
    turns from there. Over one hour the second-order terms of the longitudes are below 1e-10 deg.
    """
    hours, hour = np.unique(np.floor(at / 3600.0), return_inverse=True)
    within, offset = np.unique(at - np.floor(at / 3600.0) * 3600.0, return_inverse=True)
    if hours.size * within.size > 2 * at.size:
        whole: Floats = np.cos(np.radians(angles(at) @ turns.T)) @ amplitude
        return whole
    a = np.radians(angles(hours * 3600.0) @ turns.T)
    b = np.radians(np.outer(within, SPEEDS @ turns.T))
    table = (np.cos(a) * amplitude) @ np.cos(b).T - (np.sin(a) * amplitude) @ np.sin(b).T
    return np.asarray(table[hour, offset], dtype=np.float64)
