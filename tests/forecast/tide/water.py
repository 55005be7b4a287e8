"""The open water-level data of tests/data/water_levels, read for tests."""

import csv
from pathlib import Path

import numpy as np

from alongside.forecast.tide.prediction import Levels, expected_level, tide_table
from alongside.stay.station import plan_of
from alongside.stay.station_file import read_station
from alongside.units import unix_time

FOLDER = Path(__file__).parents[2] / "data" / "water_levels"
DATUMS = FOLDER / "noaa_datums.csv"


def table(name, station=None, datum="NAP"):
    """Levels of a file whose last two columns are time and level."""
    with (FOLDER / name).open(encoding="utf-8", newline="") as file:
        rows = [row for row in list(csv.reader(file))[1:] if station in (None, row[1])]
    times = np.array([unix_time(row[-2]) for row in rows])
    return Levels(times, np.array([float(row[-1] or "nan") for row in rows]), datum)


def station(name):
    """Hoek van Holland, Vlissingen, Fort Pulaski or Wilmington."""
    files = {"Hoek van Holland": "hoekvanholland_constants.csv", "Vlissingen": "vlissingen_constants.csv"}
    if name in files:
        return read_station(FOLDER / files[name])
    return read_station(FOLDER / "noaa_constants.csv", name, DATUMS)


def predicted(name, times):
    return expected_level(tide_table(plan_of(station(name))), times)


def vlissingen_residual():
    """(time, residual) of the observed series of January 2018, storm and outage included, on an even grid."""
    observed = table("vlissingen_obs_201801.csv")
    return observed.time, observed - predicted("Vlissingen", observed.time)
