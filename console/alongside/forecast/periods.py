"""The periods in which she moves of herself at her lines, beside a long wave or swell that is reported: where
they are near each other she ranges, and lines part that no wind would part.

    T = 2 pi sqrt((m + a) / k)        (Coastal Engineering Manual II-7)

k is what lines and fenders draw her back with at the loads of now, m her mass, a the water that moves with
her. Along the berth she stays on her fenders. Across and in yaw she comes on them in one half of a period and
off them in the other: that period is the mean of both, T = (T with fenders + T without) / 2. Ranges: ropes at
either end of their bands; added mass 5 to 10 % ahead (practice), Cm - 1 of PIANC 2002 to 2.0 across.

A motion counts as near a wave where its period lies within a fifth of it (practice).
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import product
from math import inf, nan
from typing import Final

import numpy as np

from alongside.errors import WrongInput
from alongside.forecast.basis import Basis
from alongside.forecast.present import Present
from alongside.mechanics.arrangement import Arrangement
from alongside.mechanics.exposure import loads_of
from alongside.mechanics.fenders import fender_row
from alongside.mechanics.hold import hold
from alongside.mechanics.making_fast import strains_at
from alongside.mechanics.mooring import mooring_of
from alongside.mechanics.ranging import Inertia, at_rest, inertia_of, stiffness_at
from alongside.mechanics.rope_spread import other_ropes
from alongside.mechanics.situation import Situation
from alongside.mechanics.tension import tensions_of
from alongside.readings import Floats
from alongside.stay.model import Stay

MOTIONS: Final = ("surge", "sway", "yaw")
NEAR: Final = 0.20
"""Part of a wave's period within which a motion answers it. Practice."""
AHEAD: Final = (1.05, 1.10)
ACROSS_MOST: Final = 3.0
"""Mass with added mass across, of the mass: 2.0 of added mass is the upper bound (practice)."""
FACTORS: Final = (1.5, 2.0, 2.5, 3.0, 0.7, 0.5)
"""By which the loads of the lines are tried; tighter ones first."""
SETS: Final = {
    "springs": ("spring",),
    "breasts": ("breast",),
    "all lines": ("head", "breast", "spring", "stern"),
}


@dataclass(frozen=True, slots=True)
class Period:
    """Of one motion, s: the shortest, the one expected, the longest; infinite where nothing draws her
    back."""

    motion: str
    shortest: float
    expected: float
    longest: float


@dataclass(frozen=True, slots=True)
class Wave:
    """Periods of a long wave or swell that is reported, s, from the shortest to the longest."""

    shortest: float
    longest: float

    def is_near(self, period_s: float) -> bool:
        """Return whether a period lies within a fifth of the wave's."""
        return self.shortest * (1.0 - NEAR) <= period_s <= self.longest * (1.0 + NEAR)

    def may_be_near(self, period: Period) -> bool:
        """Return whether any of a period's range does."""
        low, high = self.shortest * (1.0 - NEAR), self.longest * (1.0 + NEAR)
        return period.shortest <= high and period.longest >= low


@dataclass(frozen=True, slots=True)
class OtherLoads:
    """What becomes of the expected periods (surge, sway, yaw), s, where a set of lines is set to so many
    times its load, with the largest share that any line then has of its working limit or brake; `serves`:
    all are under their warnings."""

    lines: str
    factor: float
    periods: tuple[float, ...]
    load_share: float
    serves: bool


def periods_of(basis: Basis, present: Present) -> tuple[Period, ...]:
    """Return surge, sway and yaw at one moment. Raise WrongInput where they cannot be known: no fenders,
    tide or draughts not known."""
    basis, here = basis.seeking_balance(), present.situation()
    _check(basis, here)
    own = _body(basis, here)
    light = replace(own, ahead=AHEAD[0] * own.still)
    more = ACROSS_MOST * own.still / own.across
    heavy = Inertia(AHEAD[1] * own.still, own.across * more, own.turning * more, own.still)
    expected = _periods(basis.arrangement, here, present.unstretched, own)
    ends = (other_ropes(basis.stay, basis.arrangement, end, end) for end in (-1.0, 1.0))
    others = [
        _periods(each.arrangement, here, each.lengths(present.unstretched), body)
        for each, body in product(ends, (light, heavy))
    ]
    every = np.array([expected, *others])
    return tuple(
        Period(motion, float(column.min()), float(column[0]), float(column.max()))
        for motion, column in zip(MOTIONS, every.T, strict=True)
    )


def other_loads(basis: Basis, present: Present) -> Iterator[OtherLoads]:
    """Yield what tighter and slacker lines would make of the periods, set by set. Raise WrongInput as
    `periods_of`."""
    basis, here = basis.seeking_balance(), present.situation()
    _check(basis, here)
    body, roles = _body(basis, here), [line.role for line in basis.stay.lines]
    tension = hold(basis.arrangement, here, present.unstretched).lines.tension_kn[0]
    for (name, those), factor in product(SETS.items(), FACTORS):
        factors = np.where([role in those for role in roles], factor, 1.0)
        if not (factors[tension > 0.0] != 1.0).any():
            continue  # none of these is fast
        lengths = _set_to(basis.arrangement, present.unstretched, tension, factors)
        share, serves = _loads(basis, here, lengths)
        periods = _periods(basis.arrangement, here, lengths, body)
        yield OtherLoads(name, factor, tuple(periods.tolist()), share, serves)


def cures(tried: Iterable[OtherLoads], wave: Wave) -> list[OtherLoads]:
    """Return those that keep every line under its warning and bring no motion near the wave."""
    return [each for each in tried if each.serves and not any(map(wave.is_near, each.periods))]


def _check(basis: Basis, here: Situation) -> None:
    if not basis.stay.berth.fenders:
        raise WrongInput(f"{basis.stay.file}: berth.fenders are missing, expected where she lies against")
    if not np.isfinite(here.tide + here.draught_fwd + here.draught_aft)[0]:
        raise WrongInput("tide and draughts are not known, expected all three at this moment")


def _body(basis: Basis, here: Situation) -> Inertia:
    draught = float(0.5 * (here.draught_fwd + here.draught_aft)[0])
    charted = basis.stay.berth.charted_depth
    return inertia_of(basis.stay.ship, draught, nan if charted is None else float(charted + here.tide[0]))


def _set_to(arrangement: Arrangement, lengths: Floats, tension: Floats, factors: Floats) -> Floats:
    """Return the lengths (lines,) m with which lines carry so many times their load where they lie now."""
    main, tail = (each[0] for each in strains_at(arrangement, tension[None, :]))
    other_main, other_tail = (each[0] for each in strains_at(arrangement, (factors * tension)[None, :]))
    set_to = (lengths * (1.0 + main) + arrangement.tail_length * (tail - other_tail)) / (1.0 + other_main)
    return np.where(tension > 0.0, set_to, lengths)


def _loads(basis: Basis, here: Situation, lengths: Floats) -> tuple[float, bool]:
    """Return the largest share of working limit or brake, and whether all are under their warnings."""
    limits, lines = basis.stay.limits, hold(basis.arrangement, here, lengths).lines
    load, stretch = (np.nan_to_num(each[0]) for each in (lines.load_share, lines.stretch_share))
    brake = np.nan_to_num(lines.tension_kn[0] / basis.arrangement.brake_kn)
    pairs = (
        (load, limits.load_share.warning),
        (stretch, limits.stretch_share.warning),
        (brake, limits.brake_share.warning),
    )
    under = all(most is None or float(share.max()) < most for share, most in pairs)
    return float(max(load.max(), brake.max())), under


def _periods(arrangement: Arrangement, here: Situation, lengths: Floats, body: Inertia) -> Floats:
    """Return the periods (3,) of surge, sway and yaw, s, in the balance."""
    loads, _ = loads_of(arrangement.exposure, here)
    tensions, mass = tensions_of(arrangement, lengths), body.matrix(arrangement.exposure)
    place = at_rest(arrangement, here, lengths).place
    on, off = (
        by_motion(mass, stiffness_at(mooring_of(arrangement, fenders, here, tensions, loads), place))
        for fenders in (arrangement.fenders, fender_row(()))
    )
    return np.array([on[0], *(0.5 * (on[1:] + off[1:]))])


def by_motion(mass: Floats, stiffness: Floats) -> Floats:
    """Return the natural periods, s (3,), of surge, sway and yaw: the three move together, and each has the
    period of the motion in which it has most of the energy. Infinite where nothing draws her back."""
    squares, shapes = np.linalg.eig(np.linalg.solve(mass, stiffness))
    energy = shapes.real**2 * np.diag(mass)[:, None]
    energy /= energy.sum(axis=0)
    periods, left = np.full(3, inf), [0, 1, 2]
    for motion in np.argsort(-energy.max(axis=1)):
        shape = max(left, key=lambda at, motion=motion: float(energy[motion, at]))  # type: ignore[misc]
        left.remove(shape)
        if squares.real[shape] > 0.0:
            periods[motion] = 2.0 * np.pi / np.sqrt(squares.real[shape])
    return periods


def long_waves_of(stay: Stay) -> Wave | None:
    """Return the long waves that the berth is known for; None where the stay file names none."""
    band = stay.berth.long_waves_s
    return None if band is None else Wave(*band)
