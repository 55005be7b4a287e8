"""Figures as a watch reads them: what is held is never told as more, what is not known is a dash."""

from math import inf, nan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.stay.model import Display
from alongside.units import KNOT
from alongside.wording.figures import (
    bearing,
    counted,
    degrees,
    figure,
    force_range,
    force_text,
    held_speed,
    lead,
    listed,
    metres,
    percent,
    quantity,
    speed,
    speed_text,
)
from alongside.wording.marks import NOT_KNOWN

KNOTS, METRES = Display(speed="kn"), Display(speed="m/s")


@given(st.floats(0.0, 200.0))
def test_a_wind_that_is_held_is_never_told_as_more(ms: float) -> None:
    for display in (KNOTS, METRES):
        told = int(held_speed(ms, display).split()[0])
        assert told <= speed(ms, display) + 0.02
        assert told > speed(ms, display) - 1.0


def test_a_held_wind_is_rounded_down_and_a_measured_one_to_the_nearest() -> None:
    assert held_speed(21.4, KNOTS) == "41 kn", "41.6 kn"
    assert speed_text(21.4, KNOTS) == "42 kn"
    assert held_speed(20.0 * KNOT - 1e-9, KNOTS) == "20 kn", "a hair below a whole knot is that knot"
    assert held_speed(60.0, KNOTS, cap_ms=60.0) == "more than 116 kn"
    assert held_speed(59.9, KNOTS, cap_ms=60.0) == "116 kn"


@pytest.mark.parametrize(
    "words",
    [
        figure(nan),
        percent(nan),
        metres(inf),
        degrees(nan),
        lead(nan),
        bearing(nan),
        force_text(nan, KNOTS),
        speed_text(nan, KNOTS),
        held_speed(nan, KNOTS),
        quantity(nan, "m"),
        quantity(nan, ""),
        quantity(nan, "deg"),
        quantity(nan, "min"),
    ],
)
def test_what_is_not_known_is_one_dash(words: str) -> None:
    assert words == NOT_KNOWN


@given(st.floats(-1e6, 1e6), st.integers(0, 3))
def test_there_is_no_minus_before_a_zero(value: float, digits: int) -> None:
    text = figure(value, digits)
    assert not (text.startswith("-") and float(text) == 0.0)
    assert abs(float(text) - value) <= 0.5 * 10.0**-digits + 1e-9 * abs(value)


def test_shares_below_ten_have_a_decimal_where_they_have_one() -> None:
    shares = [0.884, 0.0996, 0.0994, 0.0349, 0.03, 0.0, 1.186, -0.5]
    assert [percent(share) for share in shares] == [
        "88 %",
        "10 %",
        "9.9 %",
        "3.5 %",
        "3 %",
        "0 %",
        "119 %",
        "-50 %",
    ]


def test_a_lead_says_which_way_it_goes() -> None:
    assert [lead(angle) for angle in (32.4, -50.0, 0.3, -0.4)] == ["32° down", "50° up", "0°", "0°"]


def test_directions_have_three_figures() -> None:
    assert [bearing(value) for value in (0.0, 7.4, 359.6, 360.0)] == ["000°", "007°", "000°", "000°"]


def test_loads_stand_in_the_unit_of_the_display() -> None:
    assert force_text(227.0, Display(force="t")) == "23.1 t"
    assert force_text(227.0, Display(force="kN")) == "227 kN"


def test_names_in_a_row_and_things_counted() -> None:
    assert [listed(names) for names in ([], ["4"], ["4", "10"], ["4", "10", "12"])] == [
        "",
        "4",
        "4 and 10",
        "4, 10 and 12",
    ]
    assert [counted(n, "line") for n in (0, 1, 3)] == ["0 lines", "1 line", "3 lines"]


@pytest.mark.parametrize(
    ("low_t", "high_t", "text"),
    [(19.2, 38.4, "19 to 38 t"), (0.13, 0.31, "0.1 to 0.3 t"), (6.0, 9.96, "6 to 10 t"), (nan, 3.0, "")],
)
def test_a_range_of_small_loads_has_a_decimal(low_t: float, high_t: float, text: str) -> None:
    assert force_range(low_t * 9.80665, high_t * 9.80665, Display(force="t")) == text
