"""Letting go line by line, as for singling up and leaving: in which order, and what still holds her at each
step.

First she is singled up, as the trade has it: breasts go, and all but one of the head lines, stern lines and
springs of each way. Then the last ones. At each step that line goes without which the rest holds most: the
least wind, of so many directions, in which a limit of what is left is passed, or she leaves her reach. In the
wind of the moment nothing may be over a limit after the step; where every choice is, it is said. The order is
found step by step: a good one, not proved the best.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from math import nan
from typing import Final

import numpy as np

from alongside.errors import WrongInput
from alongside.forecast.basis import Basis
from alongside.forecast.other_lines.limits import station
from alongside.forecast.present import Present
from alongside.mechanics.arrangement import Arrangement
from alongside.mechanics.exposure import loads_of
from alongside.mechanics.hold import hold
from alongside.mechanics.holding_search import Winds, first_limits
from alongside.mechanics.situation import Situation
from alongside.mechanics.tension import tensions_of
from alongside.mechanics.usage import LIMITS, Criteria, usage_of
from alongside.readings import Floats
from alongside.stay.model import Stay

DIRECTIONS: Final = 24
TIE_MS: Final = 0.05


@dataclass(frozen=True, slots=True)
class Left:
    """What a set of lines holds, m/s: from the weakest direction, and where that comes from, true deg; the
    largest share of a limit in the wind of the moment, infinite where nothing keeps her, and which that is;
    whether she lies on a fender then."""

    holds_ms: float
    from_deg: float
    share: float
    gives: str
    where: str
    on_fenders: bool


@dataclass(frozen=True, slots=True)
class Step:
    """One line let go: its load before, kN (NaN where nothing keeps her), what is left, and what that holds;
    `singled_up`: with this step she is."""

    line: str
    load_kn: float
    lines_left: tuple[str, ...]
    left: Left
    singled_up: bool


def letting_go(
    basis: Basis, present: Present, seen: Callable[[float], None] = lambda _part: None
) -> tuple[Left, tuple[Step, ...]]:
    """Return what holds her now, and the steps down to no line; `seen` is called with the part that is done.
    Raise WrongInput where it cannot be known: no fenders, no wind areas, tide or draughts not known."""
    here = present.situation()
    _check(basis, here)
    arrangement = basis.seeking_balance().arrangement
    criteria = basis.criteria
    lengths = present.unstretched.copy()
    now = _left(arrangement, here, lengths, criteria)
    fast = [int(each) for each in np.flatnonzero(~np.isnan(lengths))]
    whole, done, steps = len(fast) * (len(fast) + 1) / 2.0, 0, []
    services = services_of(basis.stay)
    while fast:
        more, choices = _singling_up(fast, services), []
        for line in more or fast:
            without = lengths.copy()
            without[line] = nan
            choices.append((line, without, _left(arrangement, here, without, criteria)))
        done += len(fast)
        seen(done / whole)
        line, lengths, left = _best(choices, services)
        before = lengths.copy()
        before[line] = present.unstretched[line]
        load = float(_loads(arrangement, here, before)[line])
        fast.remove(line)
        ids = tuple(arrangement.ids[each] for each in fast)
        singled_up = bool(more) and not _singling_up(fast, services)
        steps.append(Step(arrangement.ids[line], load, ids, left, singled_up))
    return now, tuple(steps)


def _singling_up(fast: list[int], services: list[str]) -> list[int]:
    """Return the lines that singling up may take next; none when she is singled up."""
    of = [services[each] for each in fast]
    return [each for each in fast if services[each] == "breast" or of.count(services[each]) > 1]


def services_of(stay: Stay) -> list[str]:
    """Return what each line does: its role; a spring by where it leads."""
    bollards = stay.berth.bollards
    head = 1.0 if stay.alongside == "starboard" else -1.0
    names = []
    for line in stay.lines:
        fairlead = stay.ship.fairleads[line.fairlead].x - stay.place.ship_x
        ahead = head * (bollards[line.bollard].at.x - stay.place.berth_x) > fairlead
        names.append(f"spring {'ahead' if ahead else 'astern'}" if line.role == "spring" else line.role)
    return names


def _best(choices: list[tuple[int, Floats, Left]], services: list[str]) -> tuple[int, Floats, Left]:
    """Return the choice that keeps under every limit now if any does, then holds most; among equals one of
    the service that has most lines, the first in the file."""

    def rank(choice: tuple[int, Floats, Left]) -> tuple[bool, float, int, int]:
        line, _, left = choice
        return left.share < 1.0, round(left.holds_ms / TIE_MS), services.count(services[line]), -line

    return max(choices, key=rank)


def _left(arrangement: Arrangement, here: Situation, lengths: Floats, criteria: Criteria) -> Left:
    if np.isnan(lengths).all():
        return Left(0.0, nan, np.inf, "", "", on_fenders=False)
    tensions = tensions_of(arrangement, lengths)
    come_from = np.arange(DIRECTIONS) * 360.0 / DIRECTIONS
    every = replace(here.at(np.zeros(DIRECTIONS, dtype=np.intp)), age=None)
    held = first_limits(Winds(arrangement, every, tensions, criteria, come_from)).low
    weakest = int(held.argmin())
    loads, _ = loads_of(arrangement.exposure, here)
    now = usage_of(arrangement, here, tensions, loads, criteria)
    gives = LIMITS[int(now.limit[0])]
    at = int(now.where[0])
    names = arrangement.bollard_ids if gives == "bollard" else arrangement.ids
    return Left(
        float(held[weakest]),
        float(come_from[weakest]),
        float(now.share[0]),
        gives,
        names[at] if at >= 0 else "",
        bool(now.off_m[0] <= 0.001),
    )


def _loads(arrangement: Arrangement, here: Situation, lengths: Floats) -> Floats:
    loads: Floats = hold(arrangement, here, lengths).lines.tension_kn[0]
    return loads


def _check(basis: Basis, here: Situation) -> None:
    stay = basis.stay
    if not stay.berth.fenders:
        raise WrongInput(f"{stay.file}: berth.fenders are missing, expected where she lies against")
    if stay.ship.wind is None:
        raise WrongInput(f"{stay.file}: ship.wind is missing, expected her wind areas")
    if not np.isfinite(here.tide + here.draught_fwd + here.draught_aft)[0]:
        raise WrongInput("tide and draughts are not known, expected all three at this moment")


def stations_of(stay: Stay) -> dict[str, str]:
    """Return the mooring station of each line by its id: `forward` or `aft`."""
    return {line.id: station(stay, stay.ship.fairleads[line.fairlead].x) for line in stay.lines}


def unsafe_from(steps: Iterator[Step] | tuple[Step, ...]) -> Step | None:
    """Return the first step after which something is over a limit in the wind of the moment, or nothing keeps
    her; None for none before the last."""
    return next((step for step in steps if step.lines_left and step.left.share >= 1.0), None)
