"""What a set gives under the pull of a ship that passes, at any strength of the pull: as a force that stands
still, at each place of hers along the track."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from alongside.errors import WrongInput
from alongside.forecast.basis import Basis
from alongside.forecast.present import Present
from alongside.mechanics.exposure import loads_of
from alongside.mechanics.hold import hold
from alongside.mechanics.passing import Hull, passing_pull, range_ms
from alongside.mechanics.situation import Situation
from alongside.mechanics.tension import tensions_of
from alongside.mechanics.usage import LIMITS, OFF_M, Usage, usage_of
from alongside.readings import Floats
from alongside.units import KNOT

PLACES: Final = 241
"""Of the ship that passes, from well astern to well ahead."""
REACH: Final = 1.0
"""Beyond the place where the ends meet, of half of both lengths and the distance."""
STEP_MS: Final = 0.25 * KNOT
"""Speeds are tried in steps of a quarter of a knot: a speed to ask for is never rounded up."""
MOST_MS: Final = 15.0
AT_MS: Final = 0.1
"""At this speed the pull is worked out, and goes with the square from there: within its range wherever a ship
floats."""


@dataclass(frozen=True, slots=True)
class OtherShip:
    """The ship that passes: length, breadth, draught m; `distance_m` from centreline to centreline; speed
    through the water, m/s; `depth_m` of the water, None: that at the berth."""

    length: float
    breadth: float
    draught: float
    distance_m: float
    speed_ms: float
    depth_m: float | None = None


@dataclass(frozen=True, slots=True)
class Highest:
    """The highest speed, m/s in steps, at which nothing goes: 0 where the first step is too much, None where
    it has gone before she comes. `gives` and `where`: what goes at the next step; "" where nothing did up to
    the end of what was tried, and `ms` is that end."""

    ms: float | None
    gives: str = ""
    where: str = ""

    @property
    def is_limit(self) -> bool:
        """Return whether a higher speed was tried, and was too much."""
        return bool(self.gives)


@dataclass(frozen=True, slots=True, eq=False)
class PassTried:
    """One pass, ready to be tried: `ahead` (n,) m her midships beyond ours; `pull` (n, 3) as
    `Situation.other_force` for 1 m/s; `to_ms` up to which speeds are tried: the end of the range of the pull,
    or `MOST_MS`."""

    basis: Basis
    present: Present
    here: Situation
    depth_m: float
    ahead: Floats
    pull: Floats
    range_ms: float

    @property
    def to_ms(self) -> float:
        return min(self.range_ms, MOST_MS)

    def usage(self, strength: float) -> Usage:
        """Return how far the set is used at each place, with the pull of 1 m/s times `strength`."""
        arrangement, under = self.basis.arrangement, self._under(strength)
        loads, _ = loads_of(arrangement.exposure, under)
        tensions = tensions_of(arrangement, self.present.unstretched)
        return usage_of(arrangement, under, tensions, loads, self.basis.criteria)

    def loads(self, strength: float) -> Floats:
        """Return the load of each line (n, lines), kN."""
        loads: Floats = hold(
            self.basis.arrangement, self._under(strength), self.present.unstretched
        ).lines.tension_kn
        return loads

    def highest(self, factor: float, goes: Callable[[Usage], bool], fenders: bool = False) -> Highest:
        """Return the highest speed at which with so many times the pull computed it does not go."""
        if goes(self.usage(0.0)):
            return Highest(None, *self._what(self.usage(0.0), fenders))
        steps = np.arange(1, int(self.to_ms / STEP_MS) + 1) * STEP_MS
        low, high = -1, steps.size  # known to serve, known not to
        while high - low > 1:
            middle = (low + high) // 2
            gone = goes(self.usage(factor * steps[middle] ** 2))
            low, high = (low, middle) if gone else (middle, high)
        if high == steps.size:
            return Highest(self.to_ms)
        ms = float(steps[low]) if low >= 0 else 0.0
        return Highest(ms, *self._what(self.usage(factor * steps[high] ** 2), fenders))

    def _what(self, usage: Usage, fenders: bool) -> tuple[str, str]:
        return ("off_fenders", "") if fenders else self.what_gives(usage)

    def what_gives(self, usage: Usage) -> tuple[str, str]:
        """Return what is nearest to its limit, or farthest over it, and the line or bollard it is."""
        at = int(usage.share.argmax())
        gives, where = LIMITS[int(usage.limit[at])], int(usage.where[at])
        arrangement = self.basis.arrangement
        names = arrangement.bollard_ids if gives == "bollard" else arrangement.ids
        return gives, names[where] if where >= 0 else ""

    def _under(self, strength: float) -> Situation:
        here = self.here
        push = np.zeros((1, 3)) if strength == 0.0 else strength * self.pull
        other = np.zeros((1, 3)) if here.other_force is None else here.other_force
        places = here.at(np.zeros(len(push), dtype=np.intp))
        return replace(places, age=None, other_force=other + push)


def something_gives(usage: Usage) -> bool:
    """Return whether any limit of line, brake, bollard or reach is passed."""
    return not float(usage.share.max()) < 1.0


def comes_off(usage: Usage) -> bool:
    """Return whether her side leaves the last fender."""
    return not bool((usage.off_m <= OFF_M).all())


def pass_tried(basis: Basis, present: Present, ship: OtherShip) -> PassTried:
    """Return a pass, ready to be tried. Raise WrongInput where she would touch or lie aground, and where it
    cannot be known: no depth, no fenders, nothing known of where ours lies."""
    stay, here = basis.stay, present.situation()
    _check(basis, here)
    own = Hull(stay.ship.lbp, stay.ship.breadth, float(0.5 * (here.draught_fwd + here.draught_aft)[0]))
    depth = _depth(basis, here, ship)
    ends = 0.5 * (own.length + ship.length)
    reach = REACH * (ends + ship.distance_m) + ends
    ahead = np.linspace(-reach, reach, PLACES)
    hull = Hull(ship.length, ship.breadth, ship.draught)
    try:
        slow = passing_pull(own, hull, ahead, ship.distance_m, AT_MS, depth)
    except ValueError as error:
        raise WrongInput(str(error)) from error
    to_port = 1.0 if stay.alongside == "starboard" else -1.0  # the track lies on the side away from the quay
    pull = np.column_stack([slow.along, to_port * slow.across, to_port * slow.turning]) / AT_MS**2
    return PassTried(basis.seeking_balance(), present, here, depth, ahead, pull, range_ms(depth))


def _check(basis: Basis, here: Situation) -> None:
    if not basis.stay.berth.fenders:
        raise WrongInput(f"{basis.stay.file}: berth.fenders are missing, expected where she lies against")
    if np.isnan(here.draught_fwd[0]) or np.isnan(here.draught_aft[0]) or np.isnan(here.tide[0]):
        raise WrongInput("tide and draughts are not known, expected all three at this moment")


def _depth(basis: Basis, here: Situation, ship: OtherShip) -> float:
    if ship.depth_m is not None:
        return ship.depth_m
    charted = basis.stay.berth.charted_depth
    if charted is None:
        raise WrongInput(
            "the depth is not known, expected it in words such as depth 14, or berth.charted_depth"
        )
    return float(charted + here.tide[0])
