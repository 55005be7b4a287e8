"""The lives of ropes and their history count the same uses alike: hours, peaks and cycles of one record."""

import json
from pathlib import Path

import pytest

from alongside.reports.output_files import Outputs
from alongside.reports.ropes.keeping import keep, read_ropes, ropes_of_record
from alongside.reports.ropes.sheet import sheet_json
from alongside.reports.ropes.write import write_lives
from alongside.units import utc_day
from tests.berth import STAY_TEXT, a_stay
from tests.record.kept import Watch
from tests.record.ropes.kept import NOW

SAME = {
    "hours_made_fast": "hours_fast",
    "hours_known": "hours_known",
    "hours_above_wll": "hours_above_wll",
    "peak_kn": "peak_kn",
    "peak_share_mbl": "peak_share_mbl",
    "stays": "stays",
    "cycles": "cycles",
}
"""Names of the lives, and those of the history."""


@pytest.mark.slow
def test_lives_and_history_have_the_same_figures_of_one_record(tmp_path: Path) -> None:
    text = STAY_TEXT.replace("balance: off", "")
    for line in "123":
        text = text.replace(f'id: "{line}",', f'id: "{line}", serial: PL-{line},')
    Watch(a_stay(tmp_path, text), tmp_path / "record").run(400).end()
    write_lives([tmp_path / "record"], json=tmp_path / "lives.json")
    keep(tmp_path / "ropes.db", [ropes_of_record(tmp_path / "record")], now=NOW, who="TK")
    with Outputs() as outputs:
        sheet_json(outputs, tmp_path / "ropes.json", read_ropes(tmp_path / "ropes.db", utc_day(NOW)))
    lives = {each["key"]: each for each in json.loads((tmp_path / "lives.json").read_text())["lives"]}
    ropes = {each["serial"]: each for each in json.loads((tmp_path / "ropes.json").read_text())["ropes"]}
    assert set(lives) == set(ropes) == {"PL-1", "PL-2", "PL-3"}
    for key, life in lives.items():
        assert life["peak_kn"] > 0.0
        assert {name: life[name] for name in SAME} == {
            name: ropes[key][other] for name, other in SAME.items()
        }
