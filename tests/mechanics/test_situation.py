"""From readings to a situation: heading, heel, and a current that is planned instead of measured."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from alongside.mechanics.situation import expected_current, heel_from_midship, situation_of
from alongside.readings import Readings
from alongside.stay.heading import ship_heading
from alongside.stay.model import CurrentForecast
from tests.berth import START, a_stay

PLAN = (CurrentForecast(START, 1.0, 0.0), CurrentForecast(START + 3600.0, 1.0, 90.0))


def test_between_two_hours_the_vectors_lie_on_a_line() -> None:
    """Half-way between 1 m/s to the north and 1 m/s to the east: 0.7071 m/s to 045, exact."""
    speed, to = expected_current(PLAN, np.array([START, START + 1800.0, START + 3600.0]))
    assert speed == pytest.approx([1.0, 0.5**0.5, 1.0])
    assert to == pytest.approx([0.0, 45.0, 90.0])


def test_a_plan_serves_an_hour_beyond_its_ends() -> None:
    speed, _ = expected_current(
        PLAN, np.array([START - 3601.0, START - 3600.0, START + 7200.0, START + 7201.0])
    )
    assert np.isnan(speed).tolist() == [True, False, False, True]


def readings_of(**values: float) -> Readings:
    names = tuple(values)
    row = np.array([list(values.values())])
    nothing = np.zeros(row.shape)
    return Readings(np.array([START]), names, row, nothing.astype(np.int8), nothing.astype(np.int8), nothing)


def test_a_meter_goes_before_the_plan(tmp_path: Path) -> None:
    stay = replace(a_stay(tmp_path), current=PLAN)
    afloat = {"tide": 2.0, "draught_fwd": 4.0, "draught_aft": 4.5}
    planned = situation_of(stay, readings_of(**afloat))
    assert planned.current_speed[0] == pytest.approx(1.0)
    measured = situation_of(stay, readings_of(**afloat, current_speed=0.2, current_to=180.0))
    assert (measured.current_speed[0], measured.current_to[0]) == (0.2, 180.0)


def test_heading_of_a_ship_in_place(tmp_path: Path) -> None:
    stay = a_stay(tmp_path)
    assert ship_heading(stay) == 90.0
    assert ship_heading(replace(stay, alongside="port")) == 270.0


def test_heel_from_midship_draughts() -> None:
    """tan(heel) = (starboard - port) / breadth: 11.20 and 11.00 m on 20 m, 0.57294 deg, ours."""
    assert heel_from_midship(np.array([11.0]), np.array([11.2]), 20.0)[0] == pytest.approx(0.572939, abs=1e-6)
