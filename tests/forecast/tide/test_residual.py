"""The forecast of what weather adds, on the real series of Vlissingen in January 2018."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.forecast.tide.residual import (
    NOTHING_LEARNT,
    Hindcast,
    band_to_begin_with,
    faded,
    hindcast,
    learnt_band,
    residual_now,
    robust_mean,
)
from tests.forecast.tide.water import vlissingen_residual

HOUR = 3600.0
LEADS = np.array([1, 3, 6, 9, 12]) * HOUR


@pytest.fixture(scope="module")
def past():
    return hindcast(*vlissingen_residual(), LEADS)


def rms(values):
    return np.sqrt(np.nanmean(np.square(values), axis=0))


def test_forecast_beats_astronomy_alone_and_persistence_at_every_lead(past):
    time, residual = vlissingen_residual()
    start = np.array([residual_now(time, residual, now) for now in time])[:, None]
    later = past.error + faded(start, LEADS)  # the residual that came
    ours, astronomy, persistence = rms(past.error), rms(later), rms(later - start)
    assert (ours < astronomy).all()
    assert (ours < persistence).all()
    assert (ours[1:] < 0.99 * persistence[1:]).all()  # from 3 h on clearly


def test_nine_of_ten_errors_lie_in_the_band_learnt_up_to_then(past):
    inside = []
    for now in range(0, past.issued.size, 12):
        half = learnt_band(past.known_at(past.issued[now])).at(LEADS)
        error = past.error[now]
        inside += list((np.abs(error) <= half)[~np.isnan(error)])
    assert np.mean(inside) == pytest.approx(0.90, abs=0.05)


def test_the_outage_leaves_no_residual_and_no_error(past):
    time, residual = vlissingen_residual()
    gap = np.flatnonzero(np.diff(time) > HOUR)
    assert time[gap[0] + 1] - time[gap[0]] == pytest.approx(34 * HOUR + 40 * 60, abs=601)
    assert np.isnan(residual_now(time, residual, time[gap[0]] + 2 * HOUR))
    assert np.isnan(past.error[gap[0], 0])


def test_errors_are_known_only_once_they_have_shown_themselves(past):
    now = past.issued[100]
    early = past.known_at(now)
    shown = past.issued[:, None] + LEADS <= now
    assert np.isnan(early.error[~shown]).all()
    np.testing.assert_array_equal(early.error[shown], past.error[shown])


def test_a_spike_does_not_move_the_mean():
    assert robust_mean([0.30, 0.31, 0.29, 0.30, 9.0, np.nan]) == pytest.approx(0.30, abs=0.001)
    assert np.isnan(robust_mean([np.nan]))


def test_residual_fades_by_a_day():
    assert faded(1.0, 24 * HOUR) == pytest.approx(np.exp(-1.0))
    assert faded(1.0, -HOUR) == 1.0


def test_band_to_begin_with():
    # open coast, learnt on Vlissingen January to March 2018 (ours): 0.12 m + 0.025 m an hour
    np.testing.assert_allclose(band_to_begin_with(LEADS), [0.145, 0.195, 0.27, 0.345, 0.42])
    np.testing.assert_allclose(NOTHING_LEARNT.at(LEADS), band_to_begin_with(LEADS))


def test_a_learnt_band_starts_from_the_one_to_begin_with():
    # ours, by hand: 48 errors of 0.045 m every 600 s at a lead of 1 h are 8 independent ones, which weigh as
    # much as the band to begin with, 0.145 m: half way between; none of 12 h are known, so 0.42 m stays
    issued, leads = 600.0 * np.arange(48), np.array([1.0, 12.0]) * HOUR
    error = np.column_stack([np.full(48, 0.045), np.full(48, np.nan)])
    band = learnt_band(Hindcast(issued, leads, error))
    np.testing.assert_allclose(band.half, [0.095, 0.42], atol=1e-12)


@given(st.lists(st.floats(-1.0, 1.0), min_size=2, max_size=60))
def test_a_learnt_band_never_narrows_with_the_lead(values):
    time = 600.0 * np.arange(len(values))
    band = learnt_band(hindcast(time, np.array(values), [600.0, 1800.0, HOUR, 3 * HOUR]))
    assert (np.diff(band.half) >= 0.0).all()
    assert band.at(20 * HOUR) > band.half[-1]
