"""Holding power by what gives first: the directions in which the same thing gives, and a letter for each."""

from dataclasses import dataclass
from string import ascii_uppercase

import numpy as np

from alongside.mechanics.holding import HoldingPower
from alongside.mechanics.usage import Gives


@dataclass(frozen=True, slots=True)
class Kind:
    """One thing that gives first from some directions: a limit and its line or bollard. It holds least, m/s,
    with the wind from `from_deg`, true."""

    letter: str
    gives: Gives
    where: str | None
    least_ms: float
    from_deg: float


@dataclass(frozen=True, slots=True)
class Sector:
    """Neighbouring directions in which the same thing gives first: indices `first` to `last` into the
    directions of a HoldingPower; `last` may be beyond the end, then it counts on from the beginning."""

    kind: Kind
    first: int
    last: int

    @property
    def middle(self) -> int:
        return (self.first + self.last) // 2


def kinds_of(holding: HoldingPower) -> tuple[Kind, ...]:
    """Return what gives first, the weakest first; nothing where there is no answer or all is held."""
    found: dict[tuple[Gives, str | None], int] = {}
    for index in np.argsort(holding.holds_ms, kind="stable").tolist():
        gives = holding.gives_first[index]
        if gives is not None:
            found.setdefault((gives, holding.where[index]), index)
    return tuple(
        Kind(_letter(at), gives, where, float(holding.holds_ms[index]), float(holding.from_deg[index]))
        for at, ((gives, where), index) in enumerate(found.items())
    )


def sectors_of(holding: HoldingPower) -> tuple[Sector, ...]:
    """Return the sectors in order of direction; directions from which all is held are in none."""
    kinds = {(kind.gives, kind.where): kind for kind in kinds_of(holding)}
    of = [kinds.get((gives, where)) if gives else None for gives, where in _pairs(holding)]
    count = len(of)
    starts = [index for index in range(count) if of[index] is not None and of[index] != of[index - 1]]
    if not starts and of and of[0] is not None:
        return (Sector(of[0], 0, count - 1),)
    sectors = []
    for start in starts:
        kind, last = of[start], start
        while of[(last + 1) % count] == kind:
            last += 1
        assert kind is not None
        sectors.append(Sector(kind, start, last))
    return tuple(sectors)


def kind_from(holding: HoldingPower, from_deg: float) -> Kind | None:
    """Return what gives first with the wind from the direction next to this one; None where nothing does."""
    at = nearest(holding, from_deg)
    gives, where = holding.gives_first[at], holding.where[at]
    return next((kind for kind in kinds_of(holding) if (kind.gives, kind.where) == (gives, where)), None)


def held_from(holding: HoldingPower, from_deg: float) -> float:
    """Return the m/s held with the wind from a true direction, in between as a straight line; the cap where
    nothing gives, NaN where not known."""
    held = np.append(holding.holds_ms, holding.holds_ms[:1])
    return float(np.interp(from_deg % 360.0, np.append(holding.from_deg, 360.0), held))


def nearest(holding: HoldingPower, from_deg: float) -> int:
    """Return the index of the direction next to this one."""
    off = (holding.from_deg - from_deg + 180.0) % 360.0 - 180.0
    return int(np.abs(off).argmin())


def _pairs(holding: HoldingPower) -> list[tuple[Gives | None, str | None]]:
    return list(zip(holding.gives_first, holding.where, strict=True))


def _letter(at: int) -> str:
    """Return A, B … Z, then a sign that stands for all the rest."""
    return ascii_uppercase[at] if at < len(ascii_uppercase) else "+"
