"""What times to decide by say of the high case, and of the hours after the forecast ends."""

from dataclasses import replace
from math import isnan

import pytest

from alongside.forecast.decide_by import decide_by
from alongside.forecast.decide_words import NOTHING, nothing_words, why_words
from alongside.stay.model import WindLimit
from alongside.units import KNOT
from alongside.wording.decide import wind_and_limit
from alongside.wording.times import DayClock
from tests.forecast.decide.made import HERE, HOUR, NOW, basis_with, kn, said, stay_with


def test_a_high_case_that_reaches_the_limit_stands_beside_a_wind_that_does_not() -> None:
    """30 kn expected under a limit of 33: what reaches it is the high case, at least the limit."""
    present = replace(HERE, wind_speed=kn(15.0), wind_forecast=(said(4.0, 30.0), said(12.0, 30.0)))
    decisions = decide_by(basis_with(WindLimit("tugs", kn(33.0))), present)
    assert decisions is not None
    (limit,) = decisions.limits
    assert limit.peak_ms < limit.limit_ms <= limit.high_ms
    clock = DayClock(stay_with().display, NOW)
    high = round(limit.high_ms / KNOT)
    assert why_words(limit, clock).startswith(f"30 kn, high case {high} kn, from 200° at ")
    over = replace(limit, peak_ms=kn(34.0))
    assert why_words(over, clock).startswith("34 kn from 200° at "), "what is expected says it alone"
    gusts = decide_by(basis_with(WindLimit("tugs", kn(38.0), gust=True)), present)
    assert gusts is not None
    assert gusts.limits[0].peak_ms == pytest.approx(kn(30.0) / 0.87), "30 s mean is 0.87 of a gust (US Navy)"
    assert gusts.limits[0].high_ms >= kn(38.0)
    words = wind_and_limit((kn(30.0), 200.0, NOW), kn(33.4), False, False, "", clock, (kn(29.0), kn(28.9)))
    assert words == "30 kn, high case 29 kn, from 200° at 04:00, lines hold 33 kn, 28 kn in the high case"


def test_gusts_that_were_measured_are_no_high_case() -> None:
    """43 kn of gusts heard within ten minutes, twice the mean: what is expected of 21 kn is less."""
    present = replace(HERE, wind_speed=kn(21.0), wind_gust=kn(43.0), wind_from=205.0)
    decisions = decide_by(basis_with(WindLimit("tugs", kn(42.0), gust=True)), present)
    assert decisions is not None
    (limit,) = decisions.limits
    assert limit.peak_ms == pytest.approx(kn(43.0))
    words = why_words(limit, DayClock(stay_with().display, NOW))
    assert words == "gusts 43 kn from 205° at 04:00, limit gusts 42 kn"


def test_after_the_forecast_ends_its_wind_is_not_known_and_what_rests_on_its_last_row_says_so() -> None:
    """What may be reached is looked for all the same: silence would be the less safe."""
    present = replace(HERE, wind_speed=kn(10.0), wind_forecast=(said(3.0, 26.0),))
    decisions = decide_by(basis_with(WindLimit("tugs", kn(30.0))), present)
    assert decisions is not None
    ends = NOW + 3 * HOUR
    assert decisions.forecast_until == ends
    assert all(isnan(speed) and isnan(high) for at, speed, _, high in decisions.wind if at > ends)
    assert all(speed <= high for at, speed, _, high in decisions.wind if at <= ends)
    assert decisions.rows, "26 kn goes on, with a spread that opens: 30 may be reached"
    quiet = decide_by(basis_with(WindLimit("tugs", kn(60.0))), present)
    assert quiet is not None
    words = nothing_words(quiet, DayClock(stay_with().display, NOW))
    assert words == f"{NOTHING} until 07:00, when the forecast ends"
