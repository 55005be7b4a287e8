"""Files that a stay file names: plain, small, shallow ones are read, all others refused at once, in words."""

import json
import os
import time
from contextlib import suppress
from pathlib import Path
from typing import Final

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from alongside.cli.main import main
from alongside.errors import StayFaults, WrongInput
from alongside.stay.read import read_stay
from alongside.stay.station_csv import datums_from_csv, stations_from_csv
from alongside.stay.station_json import station_from_json
from tests.berth import STAY_TEXT, write_stay

SECTION: Final = {
    "ship": lambda name: (
        STAY_TEXT[: STAY_TEXT.index("ship:")] + f"ship: {name}\n" + STAY_TEXT[STAY_TEXT.index("berth:\n") :]
    ),
    "station": lambda name: STAY_TEXT + f"tide: {{station: {name}}}\n",
    "station in full": lambda name: STAY_TEXT + f"tide: {{station: {{file: {name}, chart_datum: LAT}}}}\n",
    "constituents": lambda name: STAY_TEXT + f"tide: {{constituents: {name}, mean_level: 2.0}}\n",
    "datums": lambda name: STAY_TEXT + f"tide: {{station: {{file: good.csv, datums: {name}}}}}\n",
}
SOON_S: Final = 20.0
"""Far above what any of them takes; one that waits for the end of a pipe takes for ever."""


def faults_of(folder: Path, section: str, name: str) -> str:
    (folder / "good.csv").write_text("# z0_m_lat=2.0\nname,amp_m,G_deg_utc\nM2,1.0,30\n")
    begun = time.monotonic()
    with pytest.raises(StayFaults) as caught:
        read_stay(write_stay(folder, SECTION[section](name)))
    assert time.monotonic() - begun < SOON_S
    assert len(caught.value.rows) == 1, caught.value
    return str(caught.value)


@pytest.mark.parametrize("section", SECTION)
@pytest.mark.parametrize("suffix", ["", ".json", ".csv", ".yaml"])
def test_no_pipe_no_device_no_folder(tmp_path: Path, section: str, suffix: str) -> None:
    os.mkfifo(tmp_path / f"pipe{suffix}")
    (tmp_path / f"endless{suffix}").symlink_to("/dev/zero")
    (tmp_path / f"terminal{suffix}").symlink_to("/dev/tty")
    (tmp_path / f"folder{suffix}").mkdir()
    kinds = {
        "pipe": "is a pipe",
        "endless": "is a device",
        "terminal": "is a device",
        "folder": "Is a directory",
    }
    for name, what in kinds.items():
        said = faults_of(tmp_path, section, f"{name}{suffix}")
        assert f"{name}{suffix}" in said
        assert what in said
        assert "expected " in said


@pytest.mark.slow
@pytest.mark.parametrize("section", SECTION)
@pytest.mark.parametrize("suffix", [".json", ".csv", ".yaml"])
@pytest.mark.parametrize("filling", [b"[", b'{"a":', b"a", b"\n", b"name,", b"M2,1,1\n", b"- ", b"9"])
def test_no_endless_file(tmp_path: Path, section: str, suffix: str, filling: bytes) -> None:
    for size in (200_000, 50_000_000):
        with (tmp_path / f"big{suffix}").open("wb") as file:
            file.write(b"name,amplitude,lag_deg\n" if suffix == ".csv" else b"")
            file.write((filling * (2_100_000 // len(filling) + 1))[: min(size, 2_100_000)])
            file.truncate(size)
        ask = faults_of if size > 2_000_000 else some_fault
        assert "expected" in ask(tmp_path, section, f"big{suffix}")


def some_fault(folder: Path, section: str, name: str) -> str:
    (folder / "good.csv").write_text("# z0_m_lat=2.0\nname,amp_m,G_deg_utc\nM2,1.0,30\n")
    with pytest.raises(StayFaults) as caught:
        read_stay(write_stay(folder, SECTION[section](name)))
    return str(caught.value)


def test_a_file_that_names_itself_ends(tmp_path: Path) -> None:
    path = write_stay(tmp_path, SECTION["ship"]("stay.yaml"))
    with pytest.raises(StayFaults) as caught:
        read_stay(path)
    assert "unknown key" in str(caught.value)
    (tmp_path / "ship.yaml").write_text("ship.yaml\n")
    with pytest.raises(StayFaults, match=r"'ship\.yaml', expected a table"):
        read_stay(write_stay(tmp_path, SECTION["ship"]("ship.yaml")))


@pytest.mark.parametrize("command", ["replay {stay} {odd} --headless", "debrief {stay} {odd}", "check {odd}"])
def test_commands_refuse_pipes_and_devices(
    tmp_path: Path, command: str, capsys: pytest.CaptureFixture[str]
) -> None:
    os.mkfifo(tmp_path / "pipe")
    for odd in (tmp_path / "pipe", Path("/dev/zero")):
        given = {"stay": write_stay(tmp_path), "odd": odd}
        assert main([word.format(**given) for word in command.split()]) == 2
        assert command.startswith("debrief") or f"{odd}" in capsys.readouterr().err


SAME_FOLDER: Final = settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=300)
GOOD: Final = {
    "harmonic_constituents": [{"name": "M2", "amplitude": 1.0, "phase": 30.0}],
    "datums": {"MSL": 2.0, "LAT": 0.1},
    "units": "metres",
    "name": "Quay",
    "id": "1",
    "source": {"name": "office", "url": "x"},
    "license": {"type": "open"},
}
anything: Final = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=5) | st.just(10**400),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner, max_size=3),
    max_leaves=5,
)


@given(st.sampled_from(sorted(GOOD)), anything, st.sampled_from(["name", "amplitude", "phase"]), anything)
def test_whatever_a_station_holds_is_a_station_or_wrong_input(
    key: str, value: object, part: str, other: object
) -> None:
    constants = [{"name": "M2", "amplitude": 1.0, "phase": 30.0, part: other}]
    for station in ({**GOOD, key: value}, {**GOOD, "harmonic_constituents": constants}, [value]):
        try:
            text = json.dumps(station)
        except ValueError:
            continue
        with suppress(WrongInput):
            station_from_json(text, "x")


@given(st.binary(max_size=200) | st.text(alphabet="nameM2,_utc10.-\"'#=\n\0z", max_size=200).map(str.encode))
def test_whatever_a_table_holds_is_stations_or_wrong_input(raw: bytes) -> None:
    head = "# z0_m_nap=0.0.9\nname,amp_m,G_deg_utc\n"
    for text in (
        raw.decode("latin-1"),
        head + raw.decode("latin-1"),
        head.replace("0.0.9", "0.9") + "M2,1,2\n",
    ):
        for read in (stations_from_csv, datums_from_csv):
            with suppress(WrongInput):
                read(text, "x")


@pytest.mark.parametrize(
    "text", ["[" * 200_000, '{"a":' * 200_000, "9" * 100_000, "[" + "9" * 100_000 + "]", '"\ud800']
)
def test_json_without_end(text: str) -> None:
    with pytest.raises(WrongInput, match="expected"):
        station_from_json(text, "x")


@pytest.mark.slow
def test_a_hundred_thousand_constituents_are_refused_soon() -> None:
    rows = "".join(f"N{number},1,2\n" for number in range(100_000))
    begun = time.monotonic()
    with pytest.raises(WrongInput, match="100000 constituents; expected at most 1000"):
        stations_from_csv("name,amp_m,G_deg_utc\n" + rows, "x")
    assert time.monotonic() - begun < SOON_S
