"""Levels carry their datum."""

import numpy as np
import pytest

from alongside.errors import WrongInput
from alongside.forecast.expected.tide import tide_ahead
from alongside.forecast.present import nothing_heard
from alongside.forecast.tide.prediction import Levels, expected_level, tide_table
from alongside.stay.model import Constituent, TidePlan
from alongside.units import unix_time
from tests.forecast.tide.water import predicted

START = unix_time("2026-03-02T04:00:00Z")

LOW, HIGH = unix_time("2026-03-02T00:10Z"), unix_time("2026-03-02T06:25Z")


def test_levels_above_unlike_datums_are_not_compared():
    times = np.array([LOW])
    with pytest.raises(WrongInput, match="levels above STND and above NAP cannot be compared"):
        predicted("Fort Pulaski", times) - predicted("Vlissingen", times)


def test_levels_at_unlike_instants_are_not_compared():
    with pytest.raises(ValueError, match="different instants"):
        predicted("Vlissingen", [LOW]) - predicted("Vlissingen", [HIGH])


def test_levels_brought_to_another_datum():
    levels = Levels(np.array([LOW]), np.array([1.20]), "NAP").above("LAT", 2.50)
    assert (levels.metres[0], levels.datum) == (pytest.approx(3.70), "LAT")


def test_high_and_low_waters_are_the_fallback_and_say_so():
    table = tide_table(TidePlan(high_low=((LOW, 0.50), (HIGH, 5.20))))
    level = expected_level(table, [unix_time("2026-03-02T03:00Z")])
    assert level.metres[0] == pytest.approx(2.507, abs=0.0005)  # ours: cosine
    assert table.in_words() == ["tide by cosine from high and low waters: up to 1.7 m wrong in shallow ports"]


def test_constituents_that_are_not_known_widen_the_band() -> None:
    """Named with its amplitude, and counted: by 0.40 m either way where nothing was measured, and three hours
    after the last measurement."""
    known = (Constituent("M2", 1.8, 40.0),)
    plans = [TidePlan(constituents=(*known, *more)) for more in ((), (Constituent("QQ7", 0.40, 10.0),))]
    time = START + np.array([0.0, 4.0]) * 3600.0
    widths = []
    for plan in plans:
        found = tide_ahead(tide_table(plan), nothing_heard(), START, time, 4000, np.random.default_rng(3))
        low, high = np.quantile(found.metres, [0.05, 0.95], axis=0)
        widths.append((high - low) / 2.0)
    without, with_unknown = widths
    assert with_unknown == pytest.approx(np.hypot(without, 0.40), rel=0.05)
    assert any("QQ7" in note and "0.40" in note for note in found.notes)
