"""Times of the place, and lengths of time."""

from datetime import datetime
from math import nan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.stay.model import Display
from alongside.units import unix_time
from alongside.wording.marks import NOT_KNOWN
from alongside.wording.times import (
    DayClock,
    at_second,
    clock,
    from_to,
    page_clock,
    placed,
    short_span,
    span,
    zone_of,
    zone_text,
)

NOON = unix_time("2026-03-20T12:00:00Z")


@pytest.mark.parametrize(
    ("zone", "shown", "beside"),
    [
        ("+02:00", "14:00", "UTC+02:00"),
        ("-03:30", "08:30", "UTC-03:30"),
        ("UTC", "12:00", "UTC UTC"),
        ("Europe/London", "12:00", "UTC Europe/London"),
        ("Asia/Tokyo", "21:00", "UTC+09:00 Asia/Tokyo"),
    ],
)
def test_a_clock_is_that_of_the_place(zone: str, shown: str, beside: str) -> None:
    display = Display(zone=zone)
    assert clock(NOON, display) == shown
    assert zone_text(NOON, display) == beside


def test_a_zone_that_this_machine_does_not_know_is_utc_and_raises_nothing() -> None:
    display = Display(zone="Nowhere/Land")
    assert clock(NOON, display) == "12:00"
    assert zone_of(display).utcoffset(None) is not None


def test_a_time_of_another_day_has_its_date() -> None:
    day = DayClock(Display(zone="+02:00"), NOON)
    assert day(NOON + 3600.0) == "15:00"
    assert day(NOON + 12 * 3600.0) == "21 Mar 02:00"
    assert day(nan) == NOT_KNOWN
    assert day.whole(NOON) == "2026-03-20 14:00 +0200"


def test_lengths_of_time() -> None:
    seconds = [0.0, 45.4, 119.4, 125.0, 3600.0, 11_100.0, 259_200.0, 370_000.0, nan]
    assert [span(each) for each in seconds] == [
        "0 s",
        "45 s",
        "119 s",
        "2 min",
        "60 min",
        "3 h 05 min",
        "3 d 0 h",
        "4 d 7 h",
        NOT_KNOWN,
    ]


@given(st.floats(0.0, 1e7))
def test_a_short_span_is_never_more_than_has_passed(seconds: float) -> None:
    text = short_span(seconds)
    units = {"s": 1, "min": 60, "h": 3600, "d": 86400}
    number, unit, *rest = text.split()
    told = int(number) * units[unit] + (int(rest[0]) * 60 if rest else 0)
    assert told <= seconds < told + {"s": 1, "min": 60, "h": 60, "d": 86400}[unit]


@pytest.mark.parametrize(
    ("seconds", "zone", "text"),
    [
        (136.7, "Z", "12:00:00 to 12:02:16"),
        (3600.0, "-03:30", "08:30:00 to 09:30:00"),
        (13 * 3600.0, "Z", "20 Mar 12:00:00 to 21 Mar 01:00:00"),
    ],
)
def test_from_one_time_to_another(seconds: float, zone: str, text: str) -> None:
    assert from_to(NOON, NOON + seconds, Display(zone=zone)) == text


def test_clocks_that_were_set_between_two_times_bear_their_offsets() -> None:
    """At 02:00 British summer time of 25 October 2026 it is 01:00 again."""
    begin, display = unix_time("2026-10-25T00:30:00Z"), Display(zone="Europe/London")
    assert from_to(begin, begin + 3600.0, display) == "01:30:00 +0100 to 01:30:00 +0000"


# Published rules: the European Union changes at 01:00 UTC on the last Sundays of March and October, New South
# Wales at 16:00 UTC of the day before the first Sundays of April and October, Lord Howe by half an hour.
CHANGES = [
    ("Europe/Amsterdam", "2026-03-29T01:00:00Z", "01:30 +0100", "03:30 +0200"),
    ("Europe/Amsterdam", "2026-10-25T01:00:00Z", "02:30 +0200", "02:30 +0100"),
    ("Europe/London", "2026-10-25T01:00:00Z", "01:30 +0100", "01:30 +0000"),
    ("Australia/Sydney", "2026-04-04T16:00:00Z", "02:30 +1100", "02:30 +1000"),
    ("Australia/Sydney", "2026-10-03T16:00:00Z", "01:30 +1000", "03:30 +1100"),
    ("Australia/Lord_Howe", "2026-04-04T15:00:00Z", "01:30 +1100", "02:00 +1030"),
]


@pytest.mark.parametrize(("zone", "at", "before", "after"), CHANGES)
def test_times_near_a_change_of_the_clocks_bear_their_offsets(
    zone: str, at: str, before: str, after: str
) -> None:
    display, change = Display(zone=zone), unix_time(at)
    assert clock(change - 1800.0, display) == before
    assert clock(change + 1800.0, display) == after
    day = DayClock(display, change + 1800.0)
    assert day(change + 1800.0) == after
    assert day(change - 1800.0).endswith(before)
    assert day(change - 10 * 3600.0).endswith(before[5:]), "far, but before the change that it is seen from"
    assert len(day(change + 10 * 3600.0)) <= len("25 Oct 02:30")
    assert at_second(change - 1800.0, display, change).startswith(f"{before[:5]}:00 {before[6:]}")
    for far in (-6.5, 6.5):
        assert len(clock(change + far * 3600.0, display)) == 5
        assert len(clock(change + far * 3600.0, Display(zone="+02:00"))) == 5
    beside = from_to(change - 8 * 3600.0, change + 8 * 3600.0, display)
    for offset in (before[6:], after[6:]):
        assert offset in beside, "so far apart, but on both sides of it"


ZONES = st.sampled_from(
    ["Europe/Amsterdam", "Europe/London", "Australia/Sydney", "America/Santiago", "+02:00"]
)


@given(
    ZONES,
    st.integers(int(unix_time("2020-01-01T00:00:00Z")), int(unix_time("2030-01-01T00:00:00Z"))),
    st.integers(0, 11 * 3600),
)
def test_two_times_that_are_not_the_same_minute_never_read_the_same(zone: str, time: int, later: int) -> None:
    """In half a day, whatever the clocks do. Read back, a text gives its minute again."""
    display = Display(zone=zone)
    texts = [clock(each, display) for each in (time, time + later)]
    assert (texts[0] == texts[1]) == (time // 60 == (time + later) // 60)
    offset = clock(time, display, "%z")
    shown = f"{clock(time, display, '%Y-%m-%d %H:%M').split(' +')[0].split(' -')[0]} {offset}"
    assert datetime.strptime(shown, "%Y-%m-%d %H:%M %z").timestamp() == time // 60 * 60


def test_a_page_on_which_the_clocks_change_has_offsets_in_all_its_times() -> None:
    display, change = Display(zone="Europe/Amsterdam"), unix_time("2026-10-25T01:00:00Z")
    write = page_clock(change - 5 * 86400.0, change + 5 * 86400.0, display)
    assert write(change - 4 * 86400.0, "%d %b %H:%M") == "21 Oct 03:00 +0200"
    assert write(change + 4 * 86400.0, "%d %b %H:%M") == "29 Oct 02:00 +0100"
    assert (
        page_clock(change - 5 * 86400.0, change - 86400.0, display)(change - 2 * 86400.0, "%H:%M") == "03:00"
    )


def test_a_time_to_the_second_alone_has_its_day() -> None:
    assert at_second(NOON + 0.9, Display(zone="Z")) == "20 Mar 12:00:00"
    assert at_second(nan, Display(zone="Z"), NOON) == NOT_KNOWN


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("Line 2 to 20 kN, as of 2026-11-29T01:49:03Z", "Line 2 to 20 kN, as of 02:49"),
        (
            "as of 2026-11-27T23:30:00.250Z, by hand",
            "as of 28 Nov 00:30, by hand",
        ),
        ("read as of 9999-99-99T99:99:99Z [b]", "read as of 9999-99-99T99:99:99Z [b]"),
        ("log of 2026-11-29T01:49:03Z", "log of 2026-11-29T01:49:03Z"),
    ],
)
def test_what_is_on_record_as_of_a_time_has_it_by_the_clock_of_the_place(text: str, shown: str) -> None:
    beside = unix_time("2026-11-29T06:34:00Z")
    assert placed(text, Display(zone="+01:00"), beside) == shown
