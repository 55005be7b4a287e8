"""Half a cosine between high and low waters."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.forecast.tide.between_extremes import height_between_extremes, planned_height
from alongside.stay.model import TidePlan
from alongside.units import unix_time

LOW = unix_time("2026-03-02T00:10:00Z")
HIGH = unix_time("2026-03-02T06:25:00Z")


def test_cosine_between_low_and_high_water():
    # ours: 0.50 + 4.70 (1 - cos(180 deg x 170/375)) / 2; the rule of twelfths makes it 2.521 m (practice)
    height = height_between_extremes([unix_time("2026-03-02T03:00:00Z")], [LOW, HIGH], [0.50, 5.20])
    assert height[0] == pytest.approx(2.507, abs=0.0005)


def test_extremes_are_returned_as_they_stand_and_nothing_beyond_them():
    height = height_between_extremes([LOW - 1, LOW, HIGH, HIGH + 1], [LOW, HIGH], [0.50, 5.20])
    np.testing.assert_array_equal(height, [np.nan, 0.50, 5.20, np.nan])


def test_one_extreme_alone_says_nothing():
    assert np.isnan(height_between_extremes([LOW], [LOW], [0.50])).all()


def test_plan_is_brought_to_chart_datum():
    plan = TidePlan(high_low=((LOW, 0.50), (HIGH, 5.20)), to_chart_datum=-0.30)
    np.testing.assert_allclose(planned_height(plan, [LOW, HIGH]), [0.20, 4.90], atol=1e-12)


@given(st.floats(0.0, 1.0), st.floats(-3.0, 12.0), st.floats(-3.0, 12.0))
def test_tide_stays_between_its_extremes(share, first, second):
    height = height_between_extremes([LOW + share * (HIGH - LOW)], [LOW, HIGH], [first, second])[0]
    assert min(first, second) - 1e-9 <= height <= max(first, second) + 1e-9
