"""What a stay file says of the hours ahead: tide stations, hydrostatics, the section `outlook`."""

from pathlib import Path

import pytest

from alongside.errors import StayFaults
from alongside.stay.read import read_stay
from tests.berth import STAY_TEXT, write_stay

WATER = Path(__file__).parents[1] / "data" / "water_levels"


def read(folder, more, text=STAY_TEXT):
    for file in WATER.glob("*constants.csv"):
        (folder / file.name).write_bytes(file.read_bytes())
    (folder / "noaa_datums.csv").write_bytes((WATER / "noaa_datums.csv").read_bytes())
    return read_stay(write_stay(folder, text + more))


def fault(folder, more, text=STAY_TEXT):
    with pytest.raises(StayFaults) as caught:
        read(folder, more, text)
    (only,) = caught.value.faults
    return only


def test_a_station_of_several_with_its_datums(tmp_path):
    given = "{file: noaa_constants.csv, name: Fort Pulaski, datums: noaa_datums.csv, chart_datum: MLLW}"
    tide = read(tmp_path, f"tide: {{station: {given}}}\n").tide
    m2 = next(each for each in tide.constituents if each.name == "M2")
    assert (m2.amplitude, m2.lag_deg) == (1.010, 17.5)
    assert tide.mean_level == 2.230  # MSL above STND of the table of datums, NOAA CO-OPS
    assert tide.datum == "MLLW"
    assert tide.to_chart_datum < 0.0  # MLLW lies above the station's zero


@pytest.mark.parametrize("key", ["station", "constituents"])
def test_a_station_alone_with_the_way_to_chart_datum(tmp_path, key):
    tide = read(tmp_path, f"tide: {{{key}: vlissingen_constants.csv, to_chart_datum: 2.5}}\n").tide
    assert len(tide.constituents) == 94
    assert tide.mean_level == 0.010  # the file's own line z0_m_nap
    assert tide.to_chart_datum == 2.5
    assert "vlissingen_constants.csv" in tide.source


def test_a_station_in_json(tmp_path):
    text = '{"name": "Port", "units": "feet", "datums": {"MSL": 10.0, "MLLW": 4.0}, "source": "a database", '
    text += '"harmonic_constituents": [{"name": "M2", "amplitude": 5.0, "phase": 30.0}]}'
    (tmp_path / "port.json").write_text(text)
    tide = read(tmp_path, "tide: {station: {file: port.json, chart_datum: MLLW}}\n").tide
    assert tide.constituents[0].amplitude == pytest.approx(5.0 * 0.3048)  # a foot is 0.3048 m, exactly
    assert tide.mean_level + tide.to_chart_datum == pytest.approx(6.0 * 0.3048)


def test_heights_of_another_datum_are_not_taken_for_chart_datum(tmp_path):
    found = fault(tmp_path, "tide: {station: vlissingen_constants.csv}\n")
    assert found.path == "tide.station"
    assert "heights above NAP are not above chart datum" in found.problem
    found = fault(
        tmp_path, "tide: {high_low: [[2026-03-02T03:00:00Z, 1], [2026-03-02T09:00:00Z, 5]], datum: NAP}\n"
    )
    assert found.path == "tide.datum"


@pytest.mark.parametrize(
    ("station", "said"),
    [
        ("nothing.csv", "cannot be read"),
        ("{file: noaa_constants.csv}", "which station?"),
        ("{file: noaa_constants.csv, name: Fort Pulaski, chart_datum: MLLW}", "mean level is not known"),
        (
            "{file: noaa_constants.csv, name: Fort Pulaski, datums: noaa_datums.csv, chart_datum: XYZ}",
            "needs XYZ",
        ),
    ],
)
def test_a_station_that_does_not_serve_is_told_at_its_place(tmp_path, station, said):
    found = fault(tmp_path, f"tide: {{station: {station}}}\n")
    assert found.path == "tide.station"
    assert said in found.problem
    assert found.line == STAY_TEXT.count("\n") + 1


def with_table(displacement):
    rows = f"""  hydrostatics:
    - {{draught: 4.0, displacement: 3200, tpc: 8.0, mctc: 60, lcf: 40}}
    - {{draught: 5.0, displacement: {displacement}, tpc: 8.0, mctc: 60, lcf: 40}}
"""
    return STAY_TEXT.replace("berth:\n", rows + "berth:\n", 1)


def test_hydrostatics_that_contradict_themselves_are_refused(tmp_path):
    # 1 m at 8 t/cm is 800 t: 4000 agrees, 4016 is exactly 2 % over and still does, 4017 does not. Ours.
    for agrees in (4000, 4016, 3984):
        assert read(tmp_path, "", with_table(agrees)).ship.hydrostatics[1].displacement == agrees
    for differs in (4017, 3983):
        found = fault(tmp_path, "", with_table(differs))
        assert found.path == "ship.hydrostatics[1].displacement"
        assert "TPC makes it 800 t" in found.problem


def test_the_section_outlook(tmp_path):
    more = "outlook: {hours: 24, soon_min: 30, hands: 4, minutes_per_line: 8, "
    more += "gangway: {ship_x: 30, rail_z: 9.0, quay_z: 4.5, lowest: 0.5, highest: 6}}\n"
    outlook = read(tmp_path, more).outlook
    assert (outlook.hours, outlook.soon_min, outlook.hands, outlook.every_min) == (24.0, 30.0, 4, 5.0)
    assert outlook.gangway.rail_z == 9.0


@pytest.mark.parametrize(
    ("section", "path"),
    [
        ("{hands: 1}", "outlook.hands"),
        ("{members: 1}", "outlook.members"),
        ("{keep_within: never}", "outlook.keep_within"),
        ("{hours: -1}", "outlook.hours"),
        (
            "{gangway: {ship_x: 1, rail_z: 9, quay_z: 4, lowest: 5, highest: 2}}",
            "outlook.gangway.highest",
        ),
    ],
)
def test_what_is_wrong_in_it_is_told(tmp_path, section, path):
    assert fault(tmp_path, f"outlook: {section}\n").path == path
