"""A feed that sends far more than it used to."""

from collections.abc import Iterable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.alerts.feed_senders import caution_words
from alongside.feeds.intake import Intake
from alongside.feeds.pace import ALWAYS_PER_S, Pace
from tests.feeds.stays import START, tide, tide_gauge


def stands(rates: Iterable[float], seconds: float = 1.0) -> list[float]:
    """Seconds from the start at which the caution stands, where a second k has so many lines."""
    pace = Pace("net")
    rates = list(rates)
    for k, rate in enumerate(rates):
        if rate:
            pace.count(int((START + k) // 10), int(rate))
    found = pace.cautions(START, START + len(rates))
    return [
        at
        for at in np.arange(0.0, len(rates), seconds)
        if any(c.since <= START + at < c.until for c in found)
    ]


def test_ten_times_as_many_is_a_caution_at_once_and_for_long() -> None:
    at = stands([1] * 600 + [20] * 600)
    assert at[0] == 610.0
    assert len(at) == 590
    assert not stands([1] * 600 + [4] * 600), "four times as many is not far above"


def test_what_is_few_may_double_and_a_slow_gauge_may_catch_up() -> None:
    assert not stands(([1] + [0] * 29) * 20 + [2] * 100)
    assert not stands([5] * 3600 + [0] * 600 + [5] * 3600), "a silence is no habit"


def test_a_new_habit_is_taken_up_within_hours_not_minutes() -> None:
    at = stands([1] * 3600 + [10] * 7200, 10.0)
    assert at[0] == 3610.0
    assert 900 < at[-1] - 3600 < 3600


def test_what_comes_too_fast_to_be_taken_is_a_caution_without_a_habit() -> None:
    at = stands([ALWAYS_PER_S] * 30)
    assert at[0] == 10.0
    assert stands([ALWAYS_PER_S * 0.5] * 30) == [], "ten thousand a second are fine where it is the habit"


def test_in_words() -> None:
    intake = Intake(tide_gauge())
    for k in range(120):
        intake.take(START + k, "gauges", tide(2.0))
        for _ in range(119 if k >= 90 else 0):
            intake.take(START + k, "gauges", tide(2.0))
    readings = intake.readings(START + np.arange(121.0))
    assert caution_words(readings.feeds.at(START + 105), "gauges") == "120 lines a second, usually 1.0"
    assert caution_words(readings.feeds.at(START + 95), "gauges") == ""
    assert caution_words(readings.feeds.at(START + 105), "mast") == ""


RATES = st.lists(st.sampled_from([0, 1, 2, 30, 200]), min_size=1, max_size=12)


@given(RATES, st.lists(st.integers(1, 2000), max_size=3))
def test_cut_and_resumed_anywhere_it_is_the_same(rates: list[int], cuts: list[int]) -> None:
    """Each rate lasts for three minutes. An intake that goes on hears ten minutes again."""
    per_second = [rate for rate in rates for _ in range(180)]

    def seen(edges: list[int]) -> list[bool]:
        pace, row = Pace("net"), []
        for before, after in zip([0, *edges], [*edges, len(per_second)], strict=True):
            if before:
                habit, pace = pace.habit(START + before), Pace("net")
                pace.go_on(habit, START + before)
            for k in range(max(0, before - 900) if before else 0, after):
                if per_second[k]:
                    pace.count(int((START + k) // 10), per_second[k])
            found = pace.cautions(START + before, START + after)
            row += [any(c.since <= START + k < c.until for c in found) for k in range(before, after)]
        return row

    edges = sorted({cut for cut in cuts if cut < len(per_second)})
    assert seen(edges) == seen([])


@pytest.mark.parametrize("size", [1, 7, 100])
def test_pieces_of_any_size_give_the_same(size: int) -> None:
    intake, rows = Intake(tide_gauge()), []
    for k in range(1200):
        for _ in range(30 if k > 700 else 1):
            intake.take(START + k, "gauges", tide(2.0))
    for at in range(0, 1200, size):
        readings = intake.readings(START + np.arange(at, min(at + size, 1200), dtype=float))
        rows += [caution_words(readings.feeds.at(time), "gauges") for time in readings.time.tolist()]
    assert [at for at, words in enumerate(rows) if words] == list(range(710, 1200))
