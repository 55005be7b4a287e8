"""A subordinate port by differences on its standard port.

The way is that of published tide tables: by straight lines between the printed times of day and heights.
Values of `PORT` are worked by hand; the 51 and 44 minutes with the answer of 47 are an example of a
published course.
"""

from pathlib import Path
from typing import Final

import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.stay.diamond import high_waters_of
from alongside.stay.model import Stay, TideDifferences, TidePlan
from alongside.stay.tide_level import level_by_table
from alongside.units import iso_time, unix_time
from tests.stay.measured.sheet import faults_with, stay_with

TABLE: Final = """\
tide:
  high_low: [[2026-03-02T00:38:00Z, 4.2], [2026-03-02T06:40:00Z, 0.4], [2026-03-02T13:00:00Z, 3.8],
             [2026-03-02T18:46:00Z, 1.1], [2026-03-03T01:10:00Z, 3.4]]
"""
PORT: Final = """\
  differences:
    zone: Z
    high_min: [[00:00, 35], [0600, +0023]]
    low_min: [["05:00", 47], [11:00, 4]]
    high_m: [[4.2, 1.1], [3.4, 0.8]]
    low_m: [[1.1, 0.2], [0.4, 0.1]]
"""


def stay(folder: Path, text: str = TABLE + PORT) -> Stay:
    return stay_with(folder, ("balance: off\n", "balance: off\n" + text))


def plan(folder: Path, text: str = TABLE + PORT) -> TidePlan:
    found = stay(folder, text).tide
    assert found is not None
    return found


def waters(of: TidePlan) -> list[tuple[str, float]]:
    return [(iso_time(60.0 * round(at / 60.0)), round(height, 2)) for at, height in of.high_low]


def test_times_and_heights_of_every_water(tmp_path: Path) -> None:
    """HW 00:38: 35 - 12 x 38/360 = 34 min, 4.2 + 1.1. LW 06:40: 47 - 43 x 100/360 = 35 min, 0.4 + 0.1.
    HW 13:00 is 01:00 of the half day: 33 min, 3.8 + 0.95. LW 18:46 is 06:46: 34 min, 1.1 + 0.2.
    HW 01:10: 33 min."""
    assert waters(plan(tmp_path)) == [
        ("2026-03-02T01:12:00Z", 5.3),
        ("2026-03-02T07:15:00Z", 0.5),
        ("2026-03-02T13:33:00Z", 4.75),
        ("2026-03-02T19:20:00Z", 1.3),
        ("2026-03-03T01:43:00Z", 4.2),
    ]


def test_the_example_of_a_course() -> None:
    """Low water at 18:46, of which 51 min are printed for 15:00 and 44 for 21:00: 47 min, so 19:33."""
    low = ((3 * 3600.0, 51 * 60.0), (9 * 3600.0, 44 * 60.0))
    port = TideDifferences(low, low, ((0.0, 0.0),), ((0.0, 0.0),))
    at, _ = port.of(unix_time("2026-03-02T18:46:00Z"), 1.0, False)
    assert iso_time(60.0 * round(at / 60.0)) == "2026-03-02T19:33:00Z"


def test_the_level_between_them(tmp_path: Path) -> None:
    """Half way in time from 5.3 to 0.5 m the cosine is half way in height."""
    tide = plan(tmp_path)
    (high, _), (low, _) = tide.high_low[:2]
    assert level_by_table(tide, (high + low) / 2.0) == pytest.approx(2.9)


def test_heights_beyond_springs_and_neaps_go_on_straight() -> None:
    """3 cm per dm beyond 4.2 m: 4.6 m is 1.1 + 0.15 more."""
    high = ((3.4, 0.8), (4.2, 1.1))
    port = TideDifferences(((0.0, 0.0),), ((0.0, 0.0),), high, high)
    assert port.of(0.0, 4.6, True)[1] == pytest.approx(5.85)
    assert port.of(0.0, 3.0, True)[1] == pytest.approx(3.65)


def test_one_difference_for_all_and_a_ratio(tmp_path: Path) -> None:
    text = "  differences: {high_min: 20, low_min: -0105, high_ratio: 0.5, low_m: -0.1}\n"
    found = waters(plan(tmp_path, TABLE + text))
    assert found[0] == ("2026-03-02T00:58:00Z", 2.1)
    assert found[1] == ("2026-03-02T05:35:00Z", 0.3)


def test_the_clock_of_the_table_is_that_of_its_zone(tmp_path: Path) -> None:
    """00:38 UTC is 01:38 by a table in +01:00: 35 - 12 x 98/360 = 31.7 min."""
    found = plan(tmp_path, TABLE + PORT.replace("zone: Z", "zone: +01:00"))
    assert found.high_low[0][0] - unix_time("2026-03-02T00:38:00Z") == pytest.approx(
        60.0 * (35 - 12 * 98 / 360)
    )


def test_differences_are_on_heights_above_chart_datum(tmp_path: Path) -> None:
    """A standard port's table 0.2 m lower, and the way to its chart datum."""
    lower = TABLE
    for height in ("4.2]", "0.4]", "3.8]", "1.1]", "3.4]"):
        lower = lower.replace(f", {height}", f", {float(height[:-1]) - 0.2:.1f}]")
    found = plan(tmp_path, lower + "  to_chart_datum: 0.2\n" + PORT)
    assert [height for _, height in waters(found)] == [5.3, 0.5, 4.75, 1.3, 4.2]
    assert level_by_table(found, found.high_low[0][0]) == pytest.approx(5.3)


def test_a_diamond_goes_by_the_standard_port(tmp_path: Path) -> None:
    """Charts refer diamonds to standard ports: its high waters, its ranges."""
    (at, tide_range), *_ = high_waters_of(plan(tmp_path))
    assert iso_time(at) == "2026-03-02T00:38:00Z"
    assert tide_range == pytest.approx(3.8)


@given(st.floats(0.0, 3e9), st.floats(-1.0, 12.0), st.booleans())
def test_a_difference_lies_between_those_printed(at: float, height: float, is_high: bool) -> None:
    times = ((3600.0, 600.0), (20000.0, 2400.0), (30000.0, -300.0))
    heights = ((0.0, 0.3), (5.0, 0.3))
    found, level = TideDifferences(times, times, heights, heights).of(at, height, is_high)
    assert -300.0 - 1e-3 <= found - at <= 2400.0 + 1e-3
    assert level - height == pytest.approx(0.3)


@given(st.floats(0.0, 3e9))
def test_round_the_half_day_nothing_jumps(at: float) -> None:
    times = ((3600.0, 600.0), (20000.0, 2400.0))
    port = TideDifferences(times, times, ((0.0, 0.0),), ((0.0, 0.0),))
    here, soon = (port.of(each, 1.0, True)[0] - each for each in (at, at + 60.0))
    assert abs(soon - here) <= 60.0 * 1800.0 / 16400.0 + 1e-3


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        (PORT.replace("    zone: Z\n", ""), "tide.differences.high_min: times of day without their zone"),
        (PORT.replace("zone: Z", "zone: 1"), "tide.differences.zone"),
        (PORT.replace("0600", "12:00"), "high_min[1]: the same as a row before, or half a day from it"),
        (PORT.replace("0600", "24:00"), "tide.differences.high_min[1][0]"),
        (PORT.replace("3.4, 0.8", "4.2, 0.8"), "high_m[1]: the same as a row before"),
        (PORT + "    high_ratio: 0.9\n", "high_m and high_ratio together"),
        (PORT.replace("    low_m: [[1.1, 0.2], [0.4, 0.1]]\n", ""), "tide.differences: one key is missing"),
        (PORT.replace("[4.2, 1.1], [3.4, 0.8]", "[4.2, -3.9], [3.4, -3.9]"), "no longer in turn"),
        (PORT.replace("35]", "700]"), "no longer in turn"),
    ],
)
def test_what_cannot_be_is_refused_at_its_place(text: str, fault: str, tmp_path: Path) -> None:
    assert fault in faults_with(tmp_path, ("balance: off\n", "balance: off\n" + TABLE + text))


def test_a_dock_has_no_differences(tmp_path: Path) -> None:
    text = "balance: off\ntide:\n  level: 4.0\n" + PORT
    assert "differences beside the level of a dock" in faults_with(tmp_path, ("balance: off\n", text))
