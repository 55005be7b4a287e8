"""A small invented berth with a tide table, a cargo plan and a table of hydrostatics, to look ahead with."""

from dataclasses import replace

import numpy as np

from alongside.forecast.basis import Basis
from alongside.forecast.before_arrival import planned_present
from alongside.forecast.look_ahead import Far, look_ahead
from alongside.forecast.present import Heard, Present
from alongside.stay.model import CargoOperation, HydrostaticRow, LookAhead, Stay, TidePlan
from tests.berth import START, STAY_TEXT, a_stay

HOUR = 3600.0
HIGH_LOW = tuple((START + (6.21 * k - 1.0) * HOUR, 1.0 if k % 2 == 0 else 5.0) for k in range(24))
# TPC 8 t/cm from 3 to 7 m: 800 t a metre
TABLE = tuple(HydrostaticRow(d, 800.0 * d, 8.0, 60.0, 40.0) for d in (3.0, 4.0, 5.0, 6.0, 7.0))
LOADING = (CargoOperation("hold", START, 800.0, 200.0, 40.0),)


def stay_ahead(folder, balance: bool = False, cargo=LOADING, **settings) -> Stay:
    text = STAY_TEXT.replace("balance: off", f"balance: {'on' if balance else 'off'}")
    stay = a_stay(folder, text)
    return replace(
        stay,
        ship=replace(stay.ship, hydrostatics=TABLE),
        tide=TidePlan(high_low=HIGH_LOW),
        cargo=cargo,
        outlook=LookAhead(**settings),
    )


def basis(stay: Stay) -> Basis:
    return Basis.of(stay)


def planned(stay: Stay, at: float = START) -> Present:
    return planned_present(stay, Basis.of(stay).arrangement, at)


def looked(stay: Stay, present: Present | None = None, hours: float = 12.0, members: int = 30):
    far = Far(hours, 300.0, members)
    return look_ahead(basis(stay), planned(stay) if present is None else present, far)


def heard(present: Present, hours: float, tide, fwd, aft) -> Present:
    """The present with `hours` of past, each quantity a function of UNIX seconds."""
    time = present.time - 300.0 * np.arange(int(hours * 12), -1, -1)
    none = np.full(time.size, np.nan)
    past = Heard(time, tide(time), fwd(time), aft(time), 0.0 * time, none, none)
    return replace(
        present,
        tide=float(past.tide[-1]),
        draught_fwd=float(past.draught_fwd[-1]),
        draught_aft=float(past.draught_aft[-1]),
        heard=past,
        planned=False,
    )
