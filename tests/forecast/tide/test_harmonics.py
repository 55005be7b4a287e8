"""Harmonic prediction against official predictions and worked values."""

import csv
import re
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.forecast.tide.astronomy import middle_of_year
from alongside.forecast.tide.constituents import BASIC_NAMES, COMPOUNDS, made_of
from alongside.forecast.tide.harmonics import arguments, harmonics_of, height_about_mean, unknown_in_words
from alongside.forecast.tide.nodes import node_factors
from alongside.stay.model import Constituent
from alongside.units import unix_time
from tests.forecast.tide.water import predicted, station, table

MM = 1e-3
with (Path(__file__).parents[2] / "published" / "tide_arguments.csv").open(encoding="utf-8") as _file:
    VALUES = list(csv.DictReader(_file))


@pytest.mark.parametrize(
    ("at", "level"),
    [
        ("2020-03-09T00:00Z", 0.32),
        ("2020-03-09T05:00Z", -0.21),
        ("2020-03-09T12:30Z", 0.72),
        ("2020-03-10T01:00Z", 0.57),
        ("2020-03-11T02:00Z", 0.88),
    ],
)
def test_rijkswaterstaat_hoek_van_holland_instants(at, level):
    # published: Rijkswaterstaat, official prediction, m above NAP, printed to 0.01 m
    assert predicted("Hoek van Holland", [unix_time(at)]).metres[0] == pytest.approx(level, abs=8 * MM)


def test_rijkswaterstaat_hoek_van_holland_march_2020():
    # published: Rijkswaterstaat, three days at 10 min
    official = table("hoekvanholland_official_pred_202003.csv")
    assert np.abs(official - predicted("Hoek van Holland", official.time)).max() < 8 * MM


def test_rijkswaterstaat_vlissingen_january_2019():
    # published: Rijkswaterstaat, which damps the node factors here by experience: plain ones leave 24 mm
    official = table("vlissingen_official_pred_201901.csv")
    assert np.abs(official - predicted("Vlissingen", official.time)).max() < 24 * MM


@pytest.mark.parametrize("name", ["Fort Pulaski", "Wilmington"])
def test_noaa_co_ops_first_of_january_2021(name):
    # published: NOAA CO-OPS, hourly heights above station datum
    official = table("noaa_official_hourly_20210101.csv", name, "STND")
    assert np.abs(official - predicted(name, official.time)).max() < 6 * MM


def test_noaa_co_ops_fort_pulaski_hours():
    # published: NOAA CO-OPS, above station datum; mean sea level there 2.230 m
    hours = [unix_time(f"2021-01-01T{hour:02}:00Z") for hour in (0, 3, 9, 15)]
    assert station("Fort Pulaski").mean_level == 2.230
    np.testing.assert_allclose(
        predicted("Fort Pulaski", hours).metres, [2.548, 2.833, 1.018, 3.274], atol=6 * MM
    )


@pytest.mark.parametrize(
    "row", [row for row in VALUES if row["what"] == "V"], ids=lambda row: row["constituent"]
)
def test_schureman_arguments(row):
    v = arguments([unix_time("2021-01-01T00:00Z")])[0, BASIC_NAMES[row["constituent"]]]
    assert v == pytest.approx(float(row["value"]), abs=0.0006)  # deg


@pytest.mark.parametrize(
    "row", [row for row in VALUES if row["what"] == "node"], ids=lambda row: row["constituent"]
)
def test_schureman_node_factors(row):
    f, u = node_factors(unix_time("2021-07-02T12:00Z"))
    at = BASIC_NAMES[row["constituent"]]
    assert u[at] == pytest.approx(float(row["value"]), abs=0.006)  # deg
    assert f[at] == pytest.approx(float(row["second"]), abs=0.00006)


def test_middle_of_the_year():
    assert middle_of_year(unix_time("2021-11-30T23:59Z")) == unix_time("2021-07-02T12:00Z")
    assert middle_of_year(unix_time("2020-01-01T00:00Z")) == unix_time("2020-07-02T00:00Z")


def test_a_window_across_new_year_keeps_one_set_of_node_factors():
    constants = harmonics_of(station("Vlissingen").constituents)
    start = unix_time("2020-12-31T12:00Z")
    times = start + 60.0 * np.arange(24 * 60)
    height = height_about_mean(constants, times)
    curve = np.abs(np.diff(height, 2)).max()
    assert curve < 1e-3  # m in (1 min)^2: no step at midnight
    new_set = height_about_mean(constants, times[720:])
    assert np.abs(new_set - height[720:]).max() > 1 * MM  # the set of 2021 says otherwise
    np.testing.assert_allclose(
        height_about_mean(constants, times[720:], nodes_at=middle_of_year(start)), height[720:], atol=1e-9
    )


def test_how_times_are_spaced_changes_nothing():
    constants = harmonics_of(station("Hoek van Holland").constituents)
    even = unix_time("2020-03-09T00:00Z") + 60.0 * np.arange(600)
    scattered = even + 7.0 * np.sin(np.arange(600))
    alone = [height_about_mean(constants, [at])[0] for at in scattered[:50]]
    np.testing.assert_allclose(height_about_mean(constants, scattered)[:50], alone, atol=1e-10)
    alone = [height_about_mean(constants, [at])[0] for at in even[:50]]
    np.testing.assert_allclose(height_about_mean(constants, even)[:50], alone, atol=1e-10)
    assert height_about_mean(constants, []).size == 0


def test_unknown_constituents_are_named_with_their_amplitude():
    constants = harmonics_of(
        [Constituent("M2", 1.0, 0.0), Constituent("XI99", 0.012, 3.0), Constituent("ETA", 0.034, 3.0)]
    )
    assert unknown_in_words(constants) == [
        "constituent ETA of 0.034 m is not known: left out",
        "constituent XI99 of 0.012 m is not known: left out",
    ]
    assert constants.left_out == pytest.approx(0.046)
    assert constants.amplitude.tolist() == [1.0]


def test_a_compound_of_an_unknown_part_is_unknown():
    assert made_of(Constituent("NEW4", 0.01, 0.0, (("M2", 1), ("XI99", 1)))) is None
    assert made_of(Constituent("labda2", 0.01, 0.0)) == (("LAM2", 1),)


def test_compounds_by_name_agree_with_their_sums_as_published():
    # published: the sums that Rijkswaterstaat gives beside its constants
    for constituent in station("Vlissingen").constituents:
        by_name = made_of(Constituent(constituent.name, 1.0, 0.0))
        assert by_name == made_of(constituent), constituent.name


@pytest.mark.parametrize("name", sorted(COMPOUNDS))
def test_compounds_run_as_often_a_day_as_their_name_says(name):
    # common practice of naming: the last digits count the cycles a day (SM is fortnightly)
    digits = re.search(r"\d*$", name).group()
    per_day = int(digits or 0)
    speed = np.diff(arguments([0.0, 3600.0]) @ _parts(name), axis=0)[0] % 360.0
    assert round(speed / 15.0) == per_day


def _parts(name):
    parts = np.zeros(len(BASIC_NAMES))
    for part, times in COMPOUNDS[name]:
        parts[BASIC_NAMES[part]] += times
    return parts


@given(st.floats(0.01, 3.0), st.floats(0.0, 360.0), st.integers(0, 10**9))
def test_no_height_beyond_the_sum_of_amplitudes(amplitude, lag, at):
    constants = harmonics_of([Constituent("M2", amplitude, lag), Constituent("M4", 0.1, lag)])
    f, _ = node_factors(middle_of_year(at))
    most = amplitude * f[BASIC_NAMES["M2"]] + 0.1 * f[BASIC_NAMES["M2"]] ** 2
    assert abs(height_about_mean(constants, [at])[0]) <= most + 1e-9
