"""What does she hold? Asked on the command line, answered as a table and as JSON."""

import json
from pathlib import Path

import numpy as np
import pytest

from alongside.cli.main import main
from tests.berth import START, STAY_TEXT, gauges, write_stay

BLOWN = STAY_TEXT.replace("balance: off", "balance: on").replace(
    "berth:\n  name",
    """  wind: {front_m2: 150, side_m2: 500, at_draught: 4.0, coefficients: cargo_loaded}
  current: {coefficients: rule}
berth:
  name""",
)
AT = "2026-03-02T04:01:00Z"


@pytest.fixture
def log(tmp_path: Path) -> Path:
    path = tmp_path / "stay.log"
    path.write_bytes(b"".join(gauges(START + s, 2.0) for s in range(120)))
    return path


def asked(folder: Path, log: Path, text: str = BLOWN, *more: str) -> tuple[int, Path]:
    answer = folder / "holding.json"
    command = ["holding", str(write_stay(folder, text)), str(log), "--at", AT, "--json", str(answer), *more]
    return main(command), answer


def test_seventy_two_directions_each_with_what_gives_first(tmp_path: Path, log: Path) -> None:
    status, answer = asked(tmp_path, log)
    assert status == 0
    told = json.loads(answer.read_text())
    assert told["time"] == AT
    assert [row["from_deg"] for row in told["directions"]] == [5.0 * k for k in range(72)]
    for row in told["directions"]:
        promised = {"from_deg", "holds_ms", "gives_first", "where", "drift_m", "contact_ms", "then"}
        assert promised | {"heel_deg"} == set(row)
        assert row["gives_first"] in ("wll", "brake", "bollard", "drift", None)
        assert row["contact_ms"] is None or 0.0 <= row["contact_ms"] < 60.0
        assert bool(row["then"]) == (row["gives_first"] not in ("drift", None))
        assert 0.0 <= row["holds_ms"] <= 60.0
        assert (row["gives_first"] is None) == (row["holds_ms"] == 60.0)
        assert (row["where"] is None) == (row["gives_first"] in ("drift", None))


def test_wind_off_the_berth_is_held_least(tmp_path: Path, log: Path) -> None:
    """Berth +x bears 090, the water lies to the north: a southerly blows her off."""
    _, answer = asked(tmp_path, log)
    rows = json.loads(answer.read_text())["directions"]
    holds = np.array([row["holds_ms"] for row in rows])
    assert holds[180 // 5] < holds[0]


def test_a_margin_and_a_gust_factor_hold_less(tmp_path: Path, log: Path) -> None:
    _, answer = asked(tmp_path, log)
    plain = np.array([row["holds_ms"] for row in json.loads(answer.read_text())["directions"]])
    _, answer = asked(tmp_path, log, BLOWN + "holding: {gust_factor: 1.25, margin: 0.2}\n")
    careful = np.array([row["holds_ms"] for row in json.loads(answer.read_text())["directions"]])
    assert (careful <= plain + 0.02).all()
    assert careful.sum() < 0.9 * plain.sum()


def test_the_table_names_the_weak_spot_and_the_cautions(
    tmp_path: Path, log: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    asked(tmp_path, log, BLOWN, "--criteria", "standard")
    said = capsys.readouterr().out
    assert said.startswith("Ship 1.4 m off place from 23 kn (weakest from 215°); ")
    assert "Off her fenders from 41 kn." in said
    assert "60 kn of wind from any direction" in said
    assert "master's judgement" in said


@pytest.mark.parametrize(
    ("text", "lacks"),
    [(STAY_TEXT, "wind areas"), (BLOWN.replace("fenders: [{x: 30", "fenders: [] # [{x: 30"), "fenders")],
)
def test_what_is_lacking_is_named(
    tmp_path: Path, log: Path, text: str, lacks: str, capsys: pytest.CaptureFixture[str]
) -> None:
    status, answer = asked(tmp_path, log, text)
    assert status == 2
    assert lacks in capsys.readouterr().err
    assert not answer.exists()


def test_a_moment_outside_the_log_is_refused(
    tmp_path: Path, log: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    command = ["holding", str(write_stay(tmp_path, BLOWN)), str(log), "--at", "2026-03-03T00:00:00Z"]
    assert main(command) == 2
    assert "ends at 2026-03-02T04:01:59Z" in capsys.readouterr().err
