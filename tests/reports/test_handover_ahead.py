"""The next hours of a hand-over where no forecast is there: high and low waters by the table."""

import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from alongside.forecast.before_arrival import planned_situation
from alongside.forecast.expected.ensemble import nodes_of
from alongside.forecast.tide.prediction import expected_level, tide_table
from alongside.reports.handover_ahead import hours_ahead
from alongside.units import unix_time
from alongside.wording.times import DayClock
from tests.forecast.vlissingen import stay_at_vlissingen
from tests.screens import invented

MADE_FAST, NOW = "2018-12-31T10:00:00Z", "2019-01-01T02:00:00Z"


def test_waters_by_the_table_are_those_of_the_forecast_in_another_year_too(tmp_path: Path) -> None:
    """Made fast on one day of the year, handed over on the next: node factors are those of making fast."""
    stay = stay_at_vlissingen(tmp_path, MADE_FAST)
    now = unix_time(NOW)
    assert stay.tide is not None
    times = now + 300.0 * np.arange(145)
    stays, anew = (expected_level(tide_table(stay.tide), times, at).metres for at in (nodes_of(stay), now))
    assert np.abs(stays - anew).max() > 0.005, "else this shows nothing"
    picture = replace(invented.normal(), stay=replace(stay, cargo=()), time=now, forecast=None)
    rows = hours_ahead(picture, 12.0, DayClock(stay.display, now))
    heights = [float(each) for each in re.findall(r"water (\d+\.\d\d) m by the table", "\n".join(rows))]
    assert len(heights) >= 2
    for height in heights:
        assert np.abs(stays - height).min() <= 0.005 + 1e-9
    high, low = max(heights), min(heights)
    assert high == pytest.approx(stays.max(), abs=0.0051)
    assert low == pytest.approx(stays.min(), abs=0.0051)
    assert planned_situation(stay, now).tide[0] == pytest.approx(stays[0])
