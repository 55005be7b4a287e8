"""Gusts and swell have the statistics that were asked for."""

import numpy as np
import pytest

from alongside.stay.model import WindChange
from alongside.training.simulate.weather import Gusts, Swell, TrailingMean, Wind, stream


def test_swell_has_the_significant_height_asked_for():
    # significant height = 4 standard deviations of the surface (practice, oceanographic definition)
    elevation = Swell(0.50, 9.0, stream(3, "aft")).at(np.arange(0.0, 6 * 3600.0))
    assert 4.0 * elevation.std() == pytest.approx(0.50, abs=0.02)
    assert abs(elevation.mean()) < 0.002


def test_swell_crosses_zero_at_its_period():
    elevation = Swell(0.50, 9.0, stream(3, "aft")).at(np.arange(0.0, 6 * 3600.0, 0.5))
    up = np.count_nonzero((elevation[:-1] < 0) & (elevation[1:] >= 0))
    assert 6 * 3600.0 / up == pytest.approx(9.0, abs=0.4)


def test_gusts_have_unit_variance_and_forget_in_their_correlation_time():
    series = Gusts(stream(1, "gusts"), 1.0, 10.0).next_block(200_000)
    assert series.std() == pytest.approx(1.0, abs=0.03)
    lagged = np.corrcoef(series[:-10], series[10:])[0, 1]
    assert lagged == pytest.approx(np.exp(-1.0), abs=0.03)


def test_gusts_do_not_notice_where_blocks_end():
    whole = Gusts(stream(1, "gusts"), 1.0, 10.0).next_block(100)
    parts = Gusts(stream(1, "gusts"), 1.0, 10.0)
    np.testing.assert_array_equal(np.concatenate([parts.next_block(37), parts.next_block(63)]), whole)


def test_mean_and_gust_are_those_asked_for():
    time = np.arange(0.0, 48 * 3600.0)
    speed, _ = Wind([WindChange(0.0, 12.0, 18.0, 200.0)], 5, 1.0).next_block(time)
    three = np.convolve(speed, np.ones(3) / 3.0, mode="valid")
    highest = three[: three.size // 600 * 600].reshape(-1, 600).max(axis=1)
    assert speed.mean() == pytest.approx(12.0, abs=0.1)
    assert highest.mean() == pytest.approx(18.0, abs=0.4)


@pytest.mark.parametrize("over_min", [3.0, 20.0])
def test_change_of_wind_comes_in_over_its_ramp_and_veers_the_short_way(over_min):
    changes = [WindChange(0.0, 6.0, 6.0, 350.0), WindChange(1000.0, 10.0, 10.0, 20.0, over_min)]
    time = np.array([0.0, 1000.0, 1000.0 + over_min * 30.0, 1000.0 + over_min * 60.0, 9000.0])
    speed, from_deg = Wind(changes, 5, 1.0).next_block(time)
    np.testing.assert_allclose(speed, [6.0, 6.0, 8.0, 10.0, 10.0], atol=1e-9)
    off_north = (from_deg + 180.0) % 360.0 - 180.0
    assert (np.abs(off_north) < 40.0).all()


def test_trailing_mean_is_that_of_the_last_instants_wherever_blocks_end():
    speed, from_deg = np.arange(10.0), np.array([350.0, 10.0] * 5)
    mean, direction = TrailingMean(4).next_block(speed, from_deg)
    np.testing.assert_allclose(mean, [0.0, 0.5, 1.0, 1.5, 2.5, 3.5, 4.5, 5.5, 6.5, 7.5])
    np.testing.assert_allclose((direction[[1, 3, 9]] + 180.0) % 360.0, 180.0)
    parts = TrailingMean(4)
    again = [parts.next_block(speed[cut], from_deg[cut]) for cut in (slice(0, 1), slice(1, 3), slice(3, 10))]
    np.testing.assert_allclose(np.concatenate([m for m, _ in again]), mean)
