"""Times of day as they are typed, and which instants they mean, on real nights of real zones."""

from datetime import datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.stay.model import Display
from alongside.units import iso_time, unix_time
from alongside.wording.times import local
from alongside.wording.typed_times import moments, nearest, time_of_day, times_of_day, which_of_two, within


def spans(*texts: str) -> list[tuple[float, float]]:
    times = [unix_time(text) for text in texts]
    return list(zip(times[::2], times[1::2], strict=True))


AUTUMN = spans("2026-10-24T19:00:00Z", "2026-10-25T08:00:00Z")
"""A night of thirteen hours in which the clocks of Europe are put back at 01:00 UTC (EU rule)."""
SPRING = spans("2026-03-28T19:00:00Z", "2026-03-29T08:00:00Z")
SOUTH = spans("2026-04-04T08:00:00Z", "2026-04-05T03:00:00Z")
"""New South Wales puts its clocks back at 16:00 UTC (rule of the state)."""


@pytest.mark.parametrize(
    ("typed", "zone", "held", "expected"),
    [
        ("02:30", "Europe/Amsterdam", AUTUMN, ["2026-10-25T00:30:00Z", "2026-10-25T01:30:00Z"]),
        ("02:30 +0200", "Europe/Amsterdam", AUTUMN, ["2026-10-25T00:30:00Z"]),
        ("02:30+01:00", "Europe/Amsterdam", AUTUMN, ["2026-10-25T01:30:00Z"]),
        ("02:30 +01", "Europe/Amsterdam", AUTUMN, ["2026-10-25T01:30:00Z"]),
        ("2:30:15", "Europe/Amsterdam", AUTUMN, ["2026-10-25T00:30:15Z", "2026-10-25T01:30:15Z"]),
        ("01:00Z", "Europe/Amsterdam", AUTUMN, ["2026-10-25T01:00:00Z"]),
        ("01:30", "Europe/London", AUTUMN, ["2026-10-25T00:30:00Z", "2026-10-25T01:30:00Z"]),
        ("02:30", "Europe/Amsterdam", SPRING, []),
        ("02:30 +0100", "Europe/Amsterdam", SPRING, ["2026-03-29T01:30:00Z"]),
        ("03:00", "Europe/Amsterdam", SPRING, ["2026-03-29T01:00:00Z"]),
        ("02:30", "Australia/Sydney", SOUTH, ["2026-04-04T15:30:00Z", "2026-04-04T16:30:00Z"]),
        ("02:30 +1100", "Australia/Sydney", SOUTH, ["2026-04-04T15:30:00Z"]),
        ("20:00", "+02:00", AUTUMN, []),
        ("21:00", "+02:00", AUTUMN, ["2026-10-24T19:00:00Z"]),
        ("06:00", "-03:00", AUTUMN, []),
    ],
)
def test_when_it_is_that_time_of_day(
    typed: str, zone: str, held: list[tuple[float, float]], expected: list[str]
) -> None:
    of_day = time_of_day(typed)
    assert of_day is not None
    assert [iso_time(time) for time in times_of_day(of_day, Display(zone=zone), held)] == expected


@pytest.mark.parametrize(
    "typed", ["24:00", "12:60", "1230", "noon", "+1:30", "12:30 +15:00", "", "12:30 CET"]
)
def test_no_time_of_day(typed: str) -> None:
    assert time_of_day(typed) is None


@pytest.mark.parametrize(
    ("typed", "expected"),
    [
        ("2026-10-25 02:30", ["2026-10-25T00:30:00Z", "2026-10-25T01:30:00Z"]),
        ("2026-10-25 02:30 +0100", ["2026-10-25T01:30:00Z"]),
        ("2026-10-25T02:30:00Z", ["2026-10-25T02:30:00Z"]),
        ("2026-03-29 02:30", []),
        ("2026-07-01 12:00", ["2026-07-01T10:00:00Z"]),
    ],
)
def test_a_date_and_time_is_once_twice_or_never(typed: str, expected: list[str]) -> None:
    assert [iso_time(time) for time in sorted(moments(typed, Display(zone="Europe/Amsterdam")))] == expected


@pytest.mark.parametrize(
    "typed", ["0001-01-01 00:00", "9999-12-31 23:59", "1989-12-31 12:00", "yesterday", "-"]
)
def test_what_is_no_date_and_time_of_our_days(typed: str) -> None:
    for zone in ("Europe/Amsterdam", "+14:00", "-12:00"):
        with pytest.raises(ValueError, match=r"."):
            moments(typed, Display(zone=zone))


def test_the_nearest_over_midnight_and_not_in_a_gap() -> None:
    """At 21:00 the nearest 01:30 is that of the night to come, unless the log is silent there."""
    display, of_day = Display(zone="+00:00"), time_of_day("01:30")
    assert of_day is not None
    now = unix_time("2026-03-02T21:00:00Z")
    whole = spans("2026-03-01T20:00:00Z", "2026-03-03T20:00:00Z")
    assert nearest(times_of_day(of_day, display, whole), now) == unix_time("2026-03-03T01:30:00Z")
    gap = spans(
        "2026-03-01T20:00:00Z", "2026-03-03T01:00:00Z", "2026-03-03T02:00:00Z", "2026-03-03T20:00:00Z"
    )
    assert nearest(times_of_day(of_day, display, gap), now) == unix_time("2026-03-02T01:30:00Z")
    assert nearest(times_of_day(of_day, display, gap[1:]), now) is None
    assert within([now], whole) == [now]


def test_which_of_two_is_said_where_there_are_two() -> None:
    display = Display(zone="Europe/Amsterdam")
    assert which_of_two(unix_time("2026-10-25T00:30:00Z"), display) == ", the first of two"
    assert which_of_two(unix_time("2026-10-25T01:30:00Z"), display) == ", the second of two"
    for once in ("2026-10-24T23:30:00Z", "2026-10-25T02:00:00Z", "2026-03-29T01:30:00Z"):
        assert which_of_two(unix_time(once), display) == ""


ZONES = ["Europe/Amsterdam", "Australia/Lord_Howe", "America/Santiago", "Africa/Casablanca", "-03:30"]
YEARS = st.integers(int(unix_time("2020-01-01T00:00:00Z")), int(unix_time("2030-01-01T00:00:00Z")))


@given(st.sampled_from(ZONES), YEARS, st.integers(-86400, 86400))
def test_a_time_that_is_read_off_is_found_again(zone: str, time: int, away: int) -> None:
    """Of any second of ten years, typed as the clock showed it, from up to a day away."""
    display = Display(zone=zone)
    shown = local(time, display)
    held = [(time - 90_000.0, time + 90_000.0)]
    of_day = time_of_day(f"{shown:%H:%M:%S}")
    assert of_day is not None
    times = times_of_day(of_day, display, held)
    assert time in times
    assert all(f"{local(each, display):%H:%M:%S}" == f"{shown:%H:%M:%S}" for each in times)
    found = nearest(times, time + away)
    assert found is not None
    assert abs(found - time - away) <= abs(away)
    exact = time_of_day(f"{shown:%H:%M:%S %z}")
    assert exact is not None
    assert nearest(times_of_day(exact, display, held), time) == time
    assert datetime.fromtimestamp(time, shown.tzinfo) in [local(each, display) for each in times]
