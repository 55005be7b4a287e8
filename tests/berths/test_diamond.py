"""A tidal diamond read into the current by the hour. Values are worked by hand from the formula of the chart:
neaps + (springs - neaps) (range - neap range) / (spring range - neap range)."""

from pathlib import Path

import numpy as np
import pytest

from alongside.mechanics.situation import expected_current
from alongside.stay.model import Stay
from alongside.units import KNOT, unix_time
from tests.berth import STAY_TEXT
from tests.stay.measured.sheet import faults_with, stay_with

TIDE = """\
tide: {high_low: [[2026-03-02T00:00:00Z, 1.0], [2026-03-02T06:00:00Z, 5.2], [2026-03-02T12:20:00Z, 1.0],
                  [2026-03-02T18:30:00Z, 5.6], [2026-03-03T00:50:00Z, 0.8]]}
"""
DIAMOND = """\
current:
  hours: [[-6, 270, 1.0, 0.5], [-3, 90, 2.0, 0.8], [0, 90, 2.0, 0.8], [1, 180, 2.0, 0.8], [6, 270, 1.0, 0.5]]
  spring_range: 5.0
  neap_range: 2.6
  factor: 0.5
"""


def stay(folder: Path, text: str = TIDE + DIAMOND) -> Stay:
    return stay_with(folder, ("balance: off\n", "balance: off\n" + text))


def current_at(of: Stay, time: str) -> tuple[float, float]:
    speed, to = expected_current(of.current, np.array([unix_time(time)]))
    return float(speed[0]) / KNOT, float(to[0])


def test_at_high_water_the_rate_lies_between_neaps_and_springs(tmp_path: Path) -> None:
    """Range 5.2 - 1.0 = 4.2 m: 0.8 + 1.2 x 1.6 / 2.4 = 1.6 kn, at the berth half of it."""
    assert current_at(stay(tmp_path), "2026-03-02T06:00:00Z") == pytest.approx((0.8, 90.0))


def test_the_range_is_the_mean_of_both_sides_and_goes_beyond_springs(tmp_path: Path) -> None:
    """5.6 above the mean of 1.0 and 0.8, range 4.7: 0.8 + 1.2 x 2.1 / 2.4 = 1.85 kn, halved."""
    assert current_at(stay(tmp_path), "2026-03-02T18:30:00Z") == pytest.approx((0.925, 90.0))


def test_between_two_hours_the_vector_is_interpolated(tmp_path: Path) -> None:
    """Half of (0.8 to 90) and half of (0.8 to 180): 0.4 sqrt 2 kn to 135."""
    found = current_at(stay(tmp_path), "2026-03-02T06:30:00Z")
    assert found == pytest.approx((0.4 * 2.0**0.5, 135.0))


def test_an_hour_belongs_to_the_nearest_high_water(tmp_path: Path) -> None:
    """12.5 h from one high water to the next: six hours after the one, then six before the other."""
    times = [row.at for row in stay(tmp_path).current]
    assert times == sorted(times)
    assert unix_time("2026-03-02T12:00:00Z") in times
    assert unix_time("2026-03-02T12:30:00Z") in times


def test_it_turns_earlier_at_the_berth(tmp_path: Path) -> None:
    earlier = stay(tmp_path, TIDE + DIAMOND + "  earlier_min: 30\n")
    assert current_at(earlier, "2026-03-02T05:30:00Z") == pytest.approx((0.8, 90.0))


def test_high_waters_of_the_port_it_refers_to(tmp_path: Path) -> None:
    """By its own waters at neaps: 0.8 kn, halved."""
    other = stay(tmp_path, TIDE + DIAMOND + "  high_waters: [[2026-03-02T08:00:00Z, 2.6]]\n")
    assert current_at(other, "2026-03-02T08:00:00Z") == pytest.approx((0.4, 90.0))


def test_a_table_by_the_clock_is_read_as_before(tmp_path: Path) -> None:
    by_clock = stay(tmp_path, "current: [{at: 2026-03-02T04:00:00Z, speed_kn: 1, to_deg: 90}]\n")
    assert current_at(by_clock, "2026-03-02T04:00:00Z") == pytest.approx((1.0, 90.0))


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        (DIAMOND, "current: a diamond without times of high water"),
        (TIDE + DIAMOND.replace("neap_range: 2.6", "neap_range: 5.6"), "current.spring_range: 5 m, not more"),
        (TIDE + DIAMOND.replace("[0, 90,", "[-4, 90,"), "current.hours[2]: hour does not rise"),
        (TIDE + DIAMOND.replace("factor: 0.5", "factor: 0"), "current.factor"),
        (TIDE + DIAMOND.replace("[-6, 270, 1.0, 0.5]", "[-6, 270, 1.0]"), "current.hours[0]: 3 values"),
    ],
)
def test_what_cannot_be_is_refused_at_its_place(text: str, fault: str, tmp_path: Path) -> None:
    assert fault in faults_with(tmp_path, ("balance: off\n", "balance: off\n" + text))


def test_a_stay_without_current_has_none(tmp_path: Path) -> None:
    assert stay_with(tmp_path, text=STAY_TEXT).current == ()
