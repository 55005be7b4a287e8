"""What is held in the hours ahead is the least within 15 deg of the wind that is expected, as in a watch."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from alongside.mechanics.holding import holding_power
from alongside.mechanics.holding_around import weakest_around
from alongside.mechanics.holding_search import WITHIN_MS
from alongside.mechanics.usage import Criteria
from tests.mechanics.moored import blown, made_fast, random_stay

MARGIN = Criteria(margin=0.1)


@pytest.mark.slow
@settings(max_examples=10)
@given(st.integers(0, 10_000), st.floats(0.0, 359.0))
@example(416, 0.0)
@example(444, 136.78182430958032)
def test_it_is_the_least_of_the_polar_about_the_wind_over_a_whole_tide(seed: int, come_from: float) -> None:
    moored = made_fast(random_stay(np.random.default_rng(seed), lines=10), 40.0)
    tide = np.array([0.0, 1.5, 3.0, 1.0])
    wind_from = (come_from + np.array([0.0, 10.0, 80.0, 180.0])) % 360.0
    seen = blown(4, tide=tide, wind=(10.0, wind_from))
    holds, spots = weakest_around(moored.arrangement, seen, moored.unstretched, MARGIN)
    for row in range(4):
        polar = holding_power(moored.arrangement, blown(tide=tide[row]), moored.unstretched, MARGIN)
        away = np.abs((polar.from_deg - wind_from[row] + 180.0) % 360.0 - 180.0)
        least = float(polar.holds_ms[away <= 15.0 + 1e-9].min())
        # A set whose loads rise and fall again with the wind can be stopped by more than one wind: the lower
        # may be found beside the polar's, never a higher.
        assert 0.95 * least - WITHIN_MS <= holds[row] <= least + WITHIN_MS
        assert spots[row].holds_ms == holds[row]


def test_a_wind_from_nobody_knows_where_may_come_from_the_worst_and_none_known_has_no_answer() -> None:
    moored = made_fast(random_stay(np.random.default_rng(4), lines=10), 40.0)
    seen = blown(3, wind=(np.array([10.0, 10.0, np.nan]), np.array([90.0, np.nan, np.nan])))
    holds, spots = weakest_around(moored.arrangement, seen, moored.unstretched, MARGIN)
    polar = holding_power(moored.arrangement, blown(), moored.unstretched, MARGIN)
    assert holds[1] == pytest.approx(float(polar.holds_ms.min()), abs=WITHIN_MS)
    assert np.isnan(holds[2])
    assert spots[2].gives is None
    dry = replace(seen, tide=np.full(3, np.nan))
    assert np.isnan(weakest_around(moored.arrangement, dry, moored.unstretched, MARGIN)[0]).all()
