"""A subordinate port whose standard port is predicted from constants."""

import json
from dataclasses import replace
from pathlib import Path
from typing import Final

import numpy as np
import pytest

from alongside.forecast.tide.prediction import expected_level, tide_table
from alongside.forecast.tide.subordinate import extremes
from alongside.readings import Floats
from alongside.stay.model import Constituent, TideDifferences, TidePlan
from alongside.stay.station import plan_of
from alongside.units import unix_time
from tests.forecast.tide.water import station
from tests.stay.measured.sheet import faults_with, stay_with

START: Final = unix_time("2025-12-30T00:00:00Z")
"""So that the days go over New Year."""
NONE: Final = ((0.0, 0.0),)
SAME: Final = TideDifferences(NONE, NONE, NONE, NONE)
LATER: Final = ((0.0, 3600.0),)
DAYS: Final = START + np.arange(0.0, 5 * 86400.0, 600.0)


def plan(differences: TideDifferences | None = None) -> TidePlan:
    return replace(plan_of(station("Hoek van Holland")), differences=differences)


def level(of: TidePlan, time: Floats) -> Floats:
    return expected_level(tide_table(of), time, START).metres


def test_without_any_difference_it_is_the_standard_port() -> None:
    assert level(plan(SAME), DAYS) == pytest.approx(level(plan(), DAYS), abs=1e-9)


def test_an_hour_later_and_half_a_metre_more() -> None:
    port = TideDifferences(LATER, LATER, ((0.0, 0.5),), ((0.0, 0.5),))
    assert level(plan(port), DAYS) == pytest.approx(level(plan(), DAYS - 3600.0) + 0.5, abs=1e-9)


def test_half_of_every_height() -> None:
    half = ((0.0, 0.0), (1.0, -0.5))
    port = TideDifferences(NONE, NONE, half, half)
    assert level(plan(port), DAYS) == pytest.approx(level(plan(), DAYS) / 2.0, abs=1e-9)


def test_high_water_later_than_low_water() -> None:
    """A wave of 2 m about 3 m, twice a day: high water 40 min later and 0.6 m more, low water 10 min later
    and 0.2 m less; half way in time between them half way in height."""
    wave = (Constituent("S2", 2.0, 0.0),)
    port = TideDifferences(((0.0, 2400.0),), ((0.0, 600.0),), ((0.0, 0.6),), ((0.0, -0.2),))
    of = TidePlan(constituents=wave, mean_level=3.0)
    noon = START + 12 * 3600.0
    at = np.array([noon, noon + 2400.0, noon + 6 * 3600.0 + 600.0])
    here = level(replace(of, differences=port), at)
    there = level(of, np.array([noon, noon + 6 * 3600.0]))
    assert here[1:] == pytest.approx(there + np.array([0.6, -0.2]), abs=1e-3)
    middle = level(replace(of, differences=port), np.array([noon + (2400.0 + 6 * 3600.0 + 600.0) / 2.0]))
    assert middle == pytest.approx((here[1] + here[2]) / 2.0, abs=1e-3)


def test_wherever_it_is_cut_it_is_the_same() -> None:
    port = TideDifferences(LATER, NONE, ((0.0, 0.4),), NONE)
    whole = level(plan(port), DAYS)
    assert np.concatenate([level(plan(port), each) for each in np.split(DAYS, 36)]) == pytest.approx(
        whole, abs=1e-9
    )
    assert np.abs(np.diff(whole)).max() < 0.25


def test_waters_of_a_stand_are_one() -> None:
    """A dent in high and low water makes no second ones: one of both, an hour off the middle, serves."""
    time = np.arange(0.0, 86400.0, 600.0)
    height = np.cos(2 * np.pi * time / 43200.0)
    dented = height + 0.15 * np.cos(6 * np.pi * time / 43200.0 + np.pi)
    for series in (height, dented, np.round(height, 2)):
        waters = extremes(time, series)
        hours = np.round(waters[:, 0] / 3600.0)
        assert [hour for hour in (6, 12, 18) if np.sum(np.abs(hours - hour) <= 1.0) == 1] == [6, 12, 18]
        assert (np.diff(np.sign(waters[:, 1])) != 0.0).all()


def test_of_no_tide_nothing_is_known() -> None:
    still = TidePlan(constituents=(Constituent("S2", 0.001, 0.0),), mean_level=3.0, differences=SAME)
    assert np.isnan(level(still, DAYS)).all()


BASE: Final = {
    "id": "xx-reference",
    "name": "Reference Haven",
    "datums": {"MSL": 2.0, "MLLW": 0.5},
    "harmonic_constituents": [{"name": "M2", "amplitude": 1.2, "phase": 42.0}],
}
SUBORDINATE: Final = {
    "id": "xx-creek",
    "name": "Creek",
    "harmonic_constituents": [],
    "offsets": {
        "reference": "xx-reference",
        "time": {"high": 30, "low": 42},
        "height": {"type": "ratio", "high": 0.8, "low": 0.9},
    },
}
STATION: Final = "tide: {station: {file: creek.json, reference: haven.json, chart_datum: MLLW}}\n"


def written(folder: Path, **changes: object) -> tuple[str, str]:
    (folder / "haven.json").write_text(json.dumps(BASE), encoding="utf-8")
    (folder / "creek.json").write_text(json.dumps({**SUBORDINATE, **changes}), encoding="utf-8")
    return ("balance: off\n", "balance: off\n" + STATION)


def test_a_subordinate_station_of_an_open_database(tmp_path: Path) -> None:
    tide = stay_with(tmp_path, written(tmp_path)).tide
    assert tide is not None
    waters = extremes(DAYS, level(replace(tide, differences=None), DAYS))
    here = extremes(DAYS, level(tide, DAYS))
    high = waters[waters[:, 1] > 1.5][3]
    nearest = here[np.abs(here[:, 0] - high[0] - 1800.0).argmin()]
    assert nearest == pytest.approx([high[0] + 1800.0, 0.8 * high[1]], abs=60.0)
    assert nearest[1] == pytest.approx(0.8 * high[1], abs=0.005)


@pytest.mark.parametrize(
    ("changes", "key", "fault"),
    [
        ({}, ", reference: haven.json", "a subordinate station, by differences alone"),
        ({"offsets": {**SUBORDINATE["offsets"], "reference": "another"}}, "", "station xx-reference"),
        ({"offsets": {"reference": "xx-reference"}}, "", "offsets.time: missing or not a map"),
        (
            {"offsets": {**SUBORDINATE["offsets"], "height": {"type": "half"}}},
            "",
            "high: None is not a number",
        ),
    ],
)
def test_a_station_without_what_it_goes_by_is_refused(
    tmp_path: Path, changes: dict[str, object], key: str, fault: str
) -> None:
    before, after = written(tmp_path, **changes)
    assert fault in faults_with(tmp_path, (before, after.replace(key, "") if key else after))
