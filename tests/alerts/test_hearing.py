"""Channels heard, lost and heard again."""

from dataclasses import replace

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from alongside.alerts.hearing import feed_events, hearing, trouble, unwatched_without
from alongside.alerts.model import Event
from alongside.readings import Quality, Readings, Reason
from alongside.stay.model import Display
from tests.alerts.scene import START, invented

STAY = invented()
STATES = {
    "waiting": (Quality.LOST, Reason.WAITING, float("nan")),
    "good": (Quality.GOOD, Reason.NONE, 1.0),
    "stale": (Quality.SUSPECT, Reason.STALE, 65.0),
    "silent": (Quality.LOST, Reason.SILENT, 301.0),
    "nonsense": (Quality.LOST, Reason.OUT_OF_RANGE, float("nan")),
    "expected": (Quality.SUSPECT, Reason.EXPECTED, 400.0),
}


def tide(*states: str) -> Readings:
    """One channel, a state a second."""
    rows = [STATES[state] for state in states]
    quality, reason, age = (np.array(column)[:, np.newaxis] for column in zip(*rows, strict=True))
    value = np.where(quality == Quality.LOST, np.nan, 2.0)
    time = START + np.arange(len(states), dtype=np.float64)
    return Readings(time, ("tide",), value, quality.astype(np.int8), reason.astype(np.int8), age)


def told(events: tuple[Event, ...]) -> list[tuple[int, str, str]]:
    return [(int(event.time - START), event.event, event.text) for event in events]


def test_lost_after_having_been_heard_and_back() -> None:
    states = ("waiting", "good", "stale", "silent", "silent", "good")
    assert told(feed_events(STAY, None, tide(*states))) == [
        (3, "feed_lost", "Feed gauges: tide no signal since 03:55"),
        (5, "feed_back", "Feed gauges: tide heard again"),
    ]


def test_never_heard_is_not_lost_and_first_heard_is_not_back() -> None:
    assert feed_events(STAY, None, tide("waiting", "nonsense", "good")) == ()


def test_an_expectation_does_not_bring_the_gauge_back() -> None:
    states = ("good", "silent", "expected", "good")
    assert [word for _t, word, _x in told(feed_events(STAY, None, tide(*states)))] == [
        "feed_lost",
        "feed_back",
    ]


def test_a_channel_reckoned_from_another_is_not_told_of() -> None:
    gust = replace(tide("good", "silent"), channels=("wind_gust",))
    assert feed_events(STAY, None, gust) == ()


def test_an_event_bears_channel_age_and_limit() -> None:
    (event,) = feed_events(STAY, None, tide("good", "silent"))
    assert (event.alert, event.subject, event.value, event.limit) == (None, "tide", 301.0, 300.0)


@given(st.lists(st.sampled_from(list(STATES)), min_size=2, max_size=30), st.data())
def test_blocks_tell_what_the_whole_tells(states: list[str], data: st.DataObject) -> None:
    whole = tide(*states)
    cut = data.draw(st.integers(1, len(states) - 1))
    first, second = whole.rows(0, cut), whole.rows(cut, len(states))
    parts = feed_events(STAY, None, first) + feed_events(STAY, hearing(first)[-1], second)
    assert parts == feed_events(STAY, None, whole)


def test_what_is_blind_follows_from_the_channel() -> None:
    assert unwatched_without(STAY, ["tide", "draught_aft"]) == ("all lines", "UKC")
    assert unwatched_without(STAY, ["heel"]) == ("all lines", "UKC")
    assert unwatched_without(STAY, ["wind_from", "wind_speed"]) == ("wind",)
    assert unwatched_without(STAY, ["tension.3", "depth"]) == ("load cell of line 3", "depth")


def test_a_silence_is_dated_from_the_last_value() -> None:
    readings = tide("silent")
    assert trouble(readings, 0, [0], Display()) == "tide no signal since 03:54"
