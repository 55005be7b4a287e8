"""Invented berths full of lines and fenders, drawn by a seed: what a balance has to cope with."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from alongside.mechanics.arrangement import Arrangement, arrangement_of
from alongside.mechanics.balance import Balance, balance
from alongside.mechanics.balance_forces import Mooring
from alongside.mechanics.exposure import Exposure, exposure_of, loads_of
from alongside.mechanics.fenders import FenderRow, fender_row
from alongside.mechanics.flow import Loads
from alongside.mechanics.making_fast import unstretched_for
from alongside.mechanics.mooring import mooring_of
from alongside.mechanics.situation import Situation
from alongside.mechanics.tension import ExactTensions, tensions_of
from alongside.readings import Floats
from alongside.stay.model import CurrentCoefficients, Fender, Stay, Tail, WindAreas
from tests.mechanics.stays import NYLON, POLYESTER, WIRE, Lead, afloat, situation, stay_with

BUCKLING = ((0.0, 0.0), (0.1, 260.0), (0.25, 520.0), (0.40, 450.0), (0.55, 640.0), (0.65, 1100.0))


@dataclass(frozen=True)
class Moored:
    """A stay compiled, with the lengths its lines have out."""

    stay: Stay
    arrangement: Arrangement
    fenders: FenderRow
    exposure: Exposure
    unstretched: Floats

    def mooring(self, seen: Situation, exact: bool = False, loads: Loads | None = None) -> Mooring:
        made = tensions_of(self.arrangement, self.unstretched)
        if exact:
            length = np.where(self.unstretched > 0, self.unstretched, 1e9)
            made = ExactTensions(self.arrangement, length[:, None])
        loads = loads or loads_of(self.exposure, seen)[0]
        return mooring_of(self.arrangement, self.fenders, seen, made, loads)

    def balance(self, seen: Situation, in_order: bool = False) -> Balance:
        return balance(self.mooring(seen), in_order)


def compiled(stay: Stay, unstretched: Floats) -> Moored:
    arrangement = arrangement_of(stay)
    return Moored(stay, arrangement, fender_row(stay.berth.fenders), exposure_of(stay), unstretched)


def made_fast(stay: Stay, tension_kn: float | Sequence[float], tide: float = 0.0) -> Moored:
    """All lines made fast in place, ship on an even keel of 6 m."""
    arrangement = arrangement_of(stay)
    tension = np.broadcast_to(np.asarray(tension_kn, dtype=float), len(arrangement.ids))
    return compiled(stay, unstretched_for(arrangement, afloat(tide), tension)[0])


def steady(moored: Moored, *loads: tuple[float, float, float]) -> Loads:
    """Given loads instead of wind and current: Fx, Fy kN and the moment about P0, kN m, a row each."""
    exposure = moored.exposure
    return Loads((), np.array(loads, dtype=float).T, exposure.arm, exposure.head)


def blown(
    n: int = 1,
    tide: Floats | float = 0.0,
    fwd: Floats | float = 6.0,
    aft: Floats | float = 6.0,
    wind: tuple[Floats | float, Floats | float] = (0.0, 0.0),
    current: tuple[Floats | float, Floats | float] = (0.0, 0.0),
) -> Situation:
    """n instants: wind (speed m/s, from deg), current (speed m/s, to deg)."""
    zero = np.zeros(n)
    seen = situation(afloat(zero + tide))
    return replace(
        seen,
        draught_fwd=zero + fwd,
        draught_aft=zero + aft,
        wind_speed=zero + wind[0],
        wind_gust=zero + wind[0],
        wind_from=zero + wind[1],
        current_speed=zero + current[0],
        current_to=zero + current[1],
    )


def work_done(row: FenderRow, side: Floats) -> Floats:
    """(n,) kJ that has gone into all fenders: the area under the curve of each, piece by piece."""
    work = np.zeros(side.shape[1])
    for curve, having in zip(row.curves, row.having, strict=True):
        pressed = np.maximum(-side[having], 0.0)
        ends = np.append(curve.deflection[1:], np.inf)
        for begin, end, pushes, stiffness in zip(
            curve.deflection, ends, curve.reaction, curve.stiffness, strict=True
        ):
            part = np.clip(pressed - begin, 0.0, end - begin)
            work += (part * (pushes + stiffness * part / 2.0)).sum(axis=0)
    return work


def random_stay(
    rng: np.random.Generator, lines: int = 8, fenders: int = 4, buckling: bool | None = None
) -> Stay:
    """A ship of 120 m with lines that lead as lines do: ahead, aft and abeam to the quay, of three ropes."""
    leads = [_random_lead(rng, number) for number in range(lines)]
    alongside: Literal["starboard", "port"] = "starboard" if rng.random() < 0.5 else "port"
    if alongside == "port":
        leads = [
            replace(
                lead,
                fairlead=(lead.fairlead[0], -lead.fairlead[1], lead.fairlead[2]),
                bollard=(200.0 - lead.bollard[0], *lead.bollard[1:]),
            )
            for lead in leads
        ]
    stay = stay_with(leads, alongside, fenders=())
    spread = np.linspace(60.0, 140.0, fenders) + rng.uniform(-4, 4, fenders) if fenders else []
    table = buckling if buckling is not None else rng.random() < 0.3
    row = tuple(
        Fender(float(x), table=BUCKLING)
        if table
        else Fender(float(x), stiffness_kn_per_m=float(rng.uniform(800, 4000)))
        for x in spread
    )
    wind = WindAreas(350.0, 1300.0, 6.0, float(rng.uniform(55, 68)), "cargo_loaded")
    ship = replace(stay.ship, wind=wind, current=CurrentCoefficients("rule"))
    return replace(stay, ship=ship, berth=replace(stay.berth, fenders=row))


def _random_lead(rng: np.random.Generator, number: int) -> Lead:
    """Fairlead and bollard of a line of a ship starboard side to, station 60 abreast of 100."""
    forward = number % 2 == 0
    kind = ("head", "breast", "spring")[number // 2 % 3]
    station = {"head": 118.0, "breast": 112.0, "spring": 105.0}[kind] + rng.uniform(-4, 4)
    along = {"head": rng.uniform(15, 45), "breast": rng.uniform(-6, 6), "spring": -rng.uniform(25, 50)}[kind]
    x = station if forward else 120.0 - station
    reach = along if forward else -along
    side = -float(rng.uniform(5, 9.8))
    back = float(rng.uniform(2, 10 if kind == "spring" else 30))
    rope = (POLYESTER, WIRE, POLYESTER)[int(rng.integers(3))]
    tail = Tail(NYLON, 11.0) if rng.random() < 0.5 else None
    return Lead(
        (x, side, float(rng.uniform(11, 14))),
        (100.0 + x - 60.0 + reach, -back, float(rng.uniform(3, 6))),
        rope,
        tail,
        role=kind,  # type: ignore[arg-type]
    )
