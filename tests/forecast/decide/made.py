"""Presents, members and stays for times to decide by. Every limit and lead time here is invented."""

from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np

from alongside.forecast.basis import Basis
from alongside.forecast.expected.ensemble import Expected
from alongside.forecast.expected.wind_forecast import WindAt
from alongside.forecast.present import Present, nothing_heard
from alongside.readings import Floats
from alongside.stay.model import DecideBy, LeadTimes, Stay, WindLimit
from alongside.stay.read import read_stay
from alongside.units import KNOT
from tests.berth import START, STAY_TEXT, write_stay

NOW = START
HOUR = 3600.0
MINUTE = 60.0
LEAD = LeadTimes(
    stop_cargo=15 * MINUTE,
    gang=30 * MINUTE,
    disconnect=45 * MINUTE,
    tugs=90 * MINUTE,
    pilot=120 * MINUTE,
    leave=20 * MINUTE,
)
HERE = Present(NOW, 2.0, 4.0, 4.5, 0.0, False, 8.0, 200.0, 0.0, 0.0, np.ones(3), nothing_heard())


def kn(knots: float) -> float:
    return knots * KNOT


def said(hours: float, mean_kn: float, come_from: float = 200.0, entered: float = NOW) -> WindAt:
    """A row of a forecast, a 30 s mean."""
    return WindAt(NOW + hours * HOUR, kn(mean_kn), 0.0, come_from, "AB", entered)


def stay_with(text: str = "", decide: DecideBy | None = None) -> Stay:
    """The small berth, in place, with what is agreed."""
    with TemporaryDirectory() as folder:
        stay = read_stay(write_stay(Path(folder), STAY_TEXT + text))
    return stay if decide is None else replace(stay, decide=decide)


def basis_with(*limits: WindLimit, lead: LeadTimes = LEAD) -> Basis:
    return Basis.of(stay_with(decide=DecideBy((), limits, lead)))


def ramps(reach_h: list[float], hours: float = 12.0, come_from: float = 200.0) -> Expected:
    """Members whose wind rises by 1 kn in 6 min, straight, so that it is 30 kn at the hours given."""
    time = NOW + 300.0 * np.arange(int(hours * 12) + 1)
    at = (time - NOW) / HOUR
    speed: Floats = np.maximum(kn(30.0) + kn(10.0) * (at - np.array(reach_h)[:, None]), 0.0)
    level = np.ones_like(speed)
    return Expected(
        time,
        level,
        level,
        level,
        np.zeros_like(speed),
        speed,
        np.full_like(speed, come_from),
        np.zeros_like(time),
        np.zeros_like(time),
        False,
        (),
    )
