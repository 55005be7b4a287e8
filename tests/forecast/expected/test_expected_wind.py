"""Wind to come: the mean of half an hour, and what a squall adds while it blows. Expected values: ours."""

from dataclasses import replace

import numpy as np
import pytest

from alongside.forecast.expected.wind import SQUALL_S, expected_wind
from alongside.forecast.present import Heard, Present, nothing_heard

NOW = 1.8e9


def present(speed: float, come_from: float, mean: float = 8.0, mean_from: float = 200.0) -> Present:
    time = NOW - 60.0 * np.arange(29.0, 0.0, -1.0)
    none = np.full(time.size, np.nan)
    heard = Heard(time, none, none, none, none, np.full(time.size, mean), np.full(time.size, mean_from))
    one = Present(NOW, 2.0, 7.0, 7.0, 0.0, False, speed, come_from, 0.0, 0.0, np.ones(3), nothing_heard())
    return replace(one, heard=heard)


LEAD = np.array([0.0, SQUALL_S, 6 * 3600.0])


def test_a_steady_wind_goes_on() -> None:
    speed, come_from = expected_wind(present(8.4, 200.0), NOW + LEAD)
    assert speed == pytest.approx([8.0133] * 3, abs=1e-3)
    assert come_from == pytest.approx([200.0] * 3, abs=1e-9)


def test_a_squall_blows_now_and_fades() -> None:
    speed, come_from = expected_wind(present(20.0, 150.0), NOW + LEAD)
    mean = (29 * 8.0 + 20.0) / 30
    assert speed == pytest.approx(mean + (20.0 - mean) * np.exp(-LEAD / SQUALL_S), abs=1e-9)
    assert come_from[0] == pytest.approx(150.0, abs=1e-9)
    assert 150.0 < come_from[1] < come_from[2] < 200.0


def test_a_lull_does_not_count() -> None:
    speed, _ = expected_wind(present(1.0, 20.0), NOW + LEAD)
    assert (speed > 7.5).all()


def test_an_unknown_wind_stays_unknown() -> None:
    speed, _ = expected_wind(present(np.nan, np.nan, np.nan, np.nan), NOW + LEAD)
    assert np.isnan(speed).all()
