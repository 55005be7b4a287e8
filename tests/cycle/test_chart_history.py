"""The thinned past: what is kept, what a rate is, and that histories handed out stay as they were."""

import numpy as np
import pytest

from alongside.cycle.chart_history import Past


def filled(hours: float, every: float = 10.0, window_h: float = 1.0) -> Past:
    past = Past(["tide"], hours=window_h, every=every)
    times = np.arange(hours * 3600.0)
    for part in np.array_split(times, 7):
        past.add(part, 2.0 + 1.2 * part[:, None] / 3600.0)
    return past


def test_rows_are_as_far_apart_as_asked_and_the_window_slides() -> None:
    history = filled(3.0).history()
    assert np.diff(history.time) == pytest.approx(10.0)
    assert history.time.size == 360
    assert history.time[-1] == 10790.0
    assert history.series["tide"][-1] == pytest.approx(2.0 + 1.2 * 10790.0 / 3600.0, rel=1e-6)


def test_a_rate_is_the_slope_of_what_is_known() -> None:
    past = filled(0.5)
    assert past.rate_per_h("tide", 600.0) == pytest.approx(1.2, rel=1e-4)


def test_no_rate_from_too_little() -> None:
    past = Past(["tide"])
    assert np.isnan(past.rate_per_h("tide", 600.0))
    past.add(np.arange(100.0), np.arange(100.0)[:, None])
    assert np.isnan(past.rate_per_h("tide", 600.0))


def test_a_gap_is_a_row_of_nothing() -> None:
    past = Past(["tide"])
    past.add(np.arange(60.0), np.ones((60, 1)))
    past.add(np.arange(1000.0, 1060.0), np.ones((60, 1)))
    known = ~np.isnan(past.history().series["tide"])
    assert (~known).sum() == 1
    assert not known[6]


def test_a_history_handed_out_never_changes() -> None:
    past = filled(0.9)
    before = past.history()
    time, tide = before.time.copy(), before.series["tide"].copy()
    for start in np.arange(3240.0, 20000.0, 100.0):
        past.add(np.arange(start, start + 100.0), np.zeros((100, 1)))
    np.testing.assert_array_equal(before.time, time)
    np.testing.assert_array_equal(before.series["tide"], tide)


def test_rows_after_a_time_fill_another_past_alike() -> None:
    past, again = filled(0.9), Past(["tide"])
    times, rows = past.rows_after(1000.0)
    assert times[0] == 1010.0
    again.add(times, rows)
    np.testing.assert_array_equal(again.history().time, times)
    np.testing.assert_array_equal(
        again.history().series["tide"], past.history().series["tide"][-times.size :]
    )
