"""Station files as open databases publish them."""

import json

import pytest

from console.errors import WrongInput
from console.stay.station import plan_of, terms_of
from console.stay.station_csv import stations_from_csv
from console.stay.station_file import read_station
from console.stay.station_json import station_from_json
from tests.outlook.water import DATUMS, FOLDER, station

INVENTED = {
    "id": "xx-test-haven",
    "name": "Test Haven",
    "source": {"name": "Invented Hydrographer", "url": "https://tides.example/haven"},
    "license": {"type": "CC0"},
    "datums": {"MSL": 2.0, "LAT": 0.25, "MLLW": 0.5},
    "harmonic_constituents": [
        {"name": "M2", "amplitude": 1.5, "phase": 42.0},
        {"name": "S2", "amplitude": 0.5, "phase": 80.0},
    ],
}


def test_csv_with_expressions_and_mean_level():
    vlissingen = station("Vlissingen")
    assert (vlissingen.datum, vlissingen.mean_level, len(vlissingen.constituents)) == ("NAP", 0.01, 94)
    assert vlissingen.constituents[1].compound == (("S2", 1), ("M2", -1))
    assert vlissingen.source.endswith("vlissingen_constants.csv")


def test_csv_of_several_stations_with_datums_beside_it():
    pulaski = station("Fort Pulaski")
    assert (pulaski.datum, pulaski.mean_level, pulaski.datums["LAT"]) == ("STND", 2.23, 0.463)
    assert len(pulaski.constituents) == 34
    assert plan_of(pulaski, "MLLW").to_chart_datum == -1.066
    with pytest.raises(WrongInput, match="which station\\? expected one of: Fort Pulaski, Wilmington"):
        read_station(FOLDER / "noaa_constants.csv", None, DATUMS)


def test_json_station_keeps_datums_and_source():
    haven = station_from_json(json.dumps(INVENTED), "haven.json")
    plan = plan_of(haven, "LAT")
    assert (plan.mean_level, plan.to_chart_datum, plan.datum) == (2.0, -0.25, "LAT")
    assert plan.source == "Invented Hydrographer, https://tides.example/haven, CC0"
    assert [constituent.lag_deg for constituent in plan.constituents] == [42.0, 80.0]


def test_json_in_feet():
    haven = station_from_json(json.dumps({**INVENTED, "units": "feet"}), "haven.json")
    assert haven.constituents[0].amplitude == pytest.approx(1.5 * 0.3048)
    assert haven.mean_level == pytest.approx(2.0 * 0.3048)


def test_a_file_is_read_by_its_name(tmp_path):
    path = tmp_path / "haven.json"
    path.write_text(json.dumps(INVENTED), encoding="utf-8")
    assert read_station(path).name == "Test Haven"
    with pytest.raises(WrongInput, match="cannot be read"):
        read_station(tmp_path / "none.json")


def test_unlike_datums_do_not_mix():
    haven = station_from_json(json.dumps(INVENTED), "haven.json")
    with pytest.raises(WrongInput, match="from CD to STND needs CD; known: STND, MSL, LAT, MLLW"):
        plan_of(haven, "CD")
    with pytest.raises(WrongInput, match="from LAT to NAP needs LAT and NAP; known: none"):
        plan_of(station("Vlissingen"), "LAT")


def test_without_mean_level_there_is_no_plan():
    bare = station_from_json(json.dumps(INVENTED["harmonic_constituents"]), "bare.json")
    with pytest.raises(WrongInput, match="mean level is not known"):
        plan_of(bare)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"units": "fathoms"}, "units: 'fathoms' is not known, expected metres or feet"),
        ({"harmonic_constituents": []}, "harmonic_constituents: missing or empty"),
        ({"harmonic_constituents": [{"name": "M2"}]}, r"\[0\]: .*expected an object with name, amplitude"),
        ({"datums": {"MSL": "nan"}}, "MSL: 'nan' is not a number"),
        (
            {"harmonic_constituents": INVENTED["harmonic_constituents"] * 2},
            "M2, S2 stands there more than once",
        ),
    ],
)
def test_a_wrong_json_file_is_refused(change, words):
    with pytest.raises(WrongInput, match=words):
        station_from_json(json.dumps({**INVENTED, **change}), "haven.json")


def test_text_that_is_not_json_is_refused_with_its_place():
    with pytest.raises(WrongInput, match=r"haven\.json:1:2: not JSON"):
        station_from_json("{", "haven.json")


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("name,amp_m,G_deg_utc\nM2,high,3\n", r"t\.csv:2: amp_m: 'high' is not a number"),
        (
            "# a comment\nname,amp_m,G_deg_utc\nM2,1.0\n",
            r"t\.csv:3: columns are name, amp_m; .* G_deg",
        ),
        ("name,amp_yd,G_deg_utc\nM2,1,3\n", "unit yd is not known"),
        ("name,amp_m,G_deg_utc,expr\nX2,1,3,2**M2\n", "is not a sum of constituents"),
        ("name,amp_m,G_deg_utc\n", "no constituents"),
    ],
)
def test_a_wrong_csv_file_is_refused(text, words):
    with pytest.raises(WrongInput, match=words):
        stations_from_csv(text, "t.csv")


def test_sums_of_constituents():
    assert terms_of("+1*S2 -1*M2") == (("S2", 1), ("M2", -1))
    assert terms_of("2*M2-N2") == (("M2", 2), ("N2", -1))
    assert terms_of("2n2") == (("2N2", 1),)
