"""Station files as open databases publish them."""

import json

import pytest

from alongside.errors import WrongInput
from alongside.stay.model import Constituent
from alongside.stay.station import plan_of, terms_of
from alongside.stay.station_csv import stations_from_csv
from alongside.stay.station_file import read_station
from alongside.stay.station_json import station_from_json
from tests.forecast.tide.water import DATUMS, FOLDER, station

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
        ({"units": "fathoms"}, "units: 'fathoms' is not a known unit, expected metres or feet"),
        ({"harmonic_constituents": []}, "harmonic_constituents: missing or empty"),
        ({"harmonic_constituents": [{"name": "M2"}]}, r"\[0\]: .*expected an object with name, amplitude"),
        ({"datums": {"MSL": "nan"}}, "MSL: 'nan' is not a number"),
        (
            {"harmonic_constituents": INVENTED["harmonic_constituents"] * 2},
            "M2, S2 given more than once",
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
        ("# a comment\nname,amp_m,G_deg_utc\nM2,1.0\n", r"t\.csv:3: 2 fields, expected 3"),
        ("name,amp_m,G_deg_utc\nM2,1,01,17.5\n", r"t\.csv:2: 4 fields, expected 3"),
        ("name,amp_m\nM2,1.0\n", r"t\.csv:2: no lag; expected one lag at Greenwich"),
        ("name,amp_m,phase_local\nM2,1.0,3\n", r"phase_local; expected one lag at Greenwich"),
        ("name,amp_m,G_deg_met\nM2,1.0,3\n", r"g_deg_met; expected one lag at Greenwich"),
        ("# zone=MET\nname,amp_m,phase\nM2,1.0,3\n", r"zone=MET: expected lags at Greenwich"),
        ("name,amp_m,G_deg_utc\nM2,-1.0,3\n", r"amp_m: -1, expected 0 or more"),
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


@pytest.mark.parametrize(
    "heading",
    [
        "Name,Amp_m,Phase",
        "con,amp,pha",
        "constituent,amp_m,phase_local,phase_gmt",
        "name,amp_m,G_deg_utc,G_deg_met",
    ],
)
def test_headings_that_tables_of_constants_use(heading):
    columns = heading.lower().split(",")
    given = {"phase_local": "99.0", "g_deg_met": "99.0"}
    row = ["M2" if n == 0 else "1.5" if n == 1 else given.get(name, "17.5") for n, name in enumerate(columns)]
    (station,) = stations_from_csv(f"{heading}\n{','.join(row)}\n", "t.csv")
    assert station.constituents == (Constituent("M2", 1.5, 17.5),)


def test_json_with_several_phases_takes_that_of_greenwich():
    text = (
        '{"HarmonicConstituents": [{"name": "M2", "amplitude": 1.5, "phase_GMT": 17.5, "phase_local": 99}]}'
    )
    assert station_from_json(text, "t.json").constituents == (Constituent("M2", 1.5, 17.5),)
    with pytest.raises(WrongInput, match="phase_local; expected one lag at Greenwich"):
        station_from_json('[{"name": "M2", "amplitude": 1.5, "phase_local": 99}]', "t.json")
