"""The share of draws with its interval, beside a library's."""

from math import isnan

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binomtest

from alongside.reports.batch.draws import drawn_shares, wilson
from alongside.reports.batch.outcome import AlertCount, Outcome


@given(st.integers(1, 500).flatmap(lambda of: st.tuples(st.integers(0, of), st.just(of))))
def test_the_interval_is_that_of_the_library(counted: tuple[int, int]) -> None:
    count, of = counted
    low, high = wilson(count, of)
    interval = binomtest(count, of).proportion_ci(0.95, method="wilson")
    assert low == pytest.approx(interval.low, abs=1e-9)
    assert high == pytest.approx(interval.high, abs=1e-9)
    assert 0.0 <= low <= count / of <= high <= 1.0


def test_of_nothing_drawn_nothing_is_known() -> None:
    assert all(map(isnan, wilson(0, 0)))


def outcome(exit_: int, *alerts: AlertCount) -> Outcome:
    return Outcome("", "n", "s", "l", exit=exit_, alerts=alerts)


def test_a_draw_counts_once_a_cause_and_those_not_played_do_not() -> None:
    shares = drawn_shares(
        [
            outcome(12, AlertCount("stretch", "alarm", 3), AlertCount("brake", "warning", 1)),
            outcome(11, AlertCount("stretch", "warning", 2)),
            outcome(10, AlertCount("feed", "caution", 5)),
            outcome(1),
        ]
    )
    counts = {(one.cause, one.stage): (one.in_it, one.draws) for one in shares}
    assert counts == {
        ("any", "warning"): (2, 3),
        ("any", "alarm"): (1, 3),
        ("stretch", "warning"): (2, 3),
        ("stretch", "alarm"): (1, 3),
        ("brake", "warning"): (1, 3),
    }
