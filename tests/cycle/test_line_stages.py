"""Stages of the lines as the Picture and the output of states have them."""

import json
from pathlib import Path

import numpy as np
import pytest

from alongside.cycle.advance import advance
from alongside.cycle.block import Block
from alongside.cycle.chart_history import Past
from alongside.cycle.line_row import LineRow
from alongside.cycle.memory import Memory
from alongside.cycle.past_series import series_names
from alongside.cycle.picture import Picture
from alongside.cycle.picture_of import picture_of
from alongside.forecast.basis import Basis
from alongside.reports.json_lines import state_lines
from alongside.stay.stage import Stage
from tests.berth import STAY_TEXT, a_stay
from tests.cycle.test_advance import readings_of

HIGH_BOLLARD = STAY_TEXT.replace("B2: {x: 70.0, y: -8.0, z: 4.0", "B2: {x: 70.0, y: -8.0, z: 16.0")
"""Line 2 leads up to it by 50 degrees."""
LATER = "{at: 2026-03-02T04:00:00Z, tension_kn: 20}"
NOT_YET = HIGH_BOLLARD.replace(LATER, "{at: 2026-03-03T04:00:00Z, tension_kn: 20}")
"""Line 1 is made fast a day later."""


def shown(folder: Path, text: str, tide: float = 2.0) -> tuple[Basis, Block, Picture]:
    basis = Basis.of(a_stay(folder, text))
    memory, block = advance(basis, Memory.at_start(basis.stay), readings_of(np.full(5, tide)))
    past = Past(series_names(basis, block.readings.channels))
    return basis, block, picture_of(basis, block, memory, past, (), ())


def row(picture: Picture, line: str) -> LineRow:
    return next(each for each in picture.lines if each.id == line)


def states(basis: Basis, block: Block) -> dict[str, dict[str, object]]:
    (text,) = state_lines(basis, block, [len(block.readings) - 1])
    return {line["id"]: line for line in json.loads(text)["lines"]}


def test_a_line_that_leads_up_is_an_alarm_everywhere(tmp_path: Path) -> None:
    basis, block, picture = shown(tmp_path, HIGH_BOLLARD)
    line = row(picture, "2")
    assert line.vertical_deg == pytest.approx(-50.3, abs=0.2)  # atan((16 - 6.35) / 8), ours
    assert (line.stage, line.because, line.stages["steep"]) == (Stage.ALARM, "steep", Stage.ALARM)
    assert picture.stages["steep", "2"] is Stage.ALARM
    assert states(basis, block)["2"] | {"why": "x"} == states(basis, block)["2"] | {
        "stage": "alarm",
        "because": "steep",
        "stages": {cause: stage.word for cause, stage in line.stages.items()},
        "why": "x",
    }
    assert states(basis, block)["2"]["why"] is None


def test_a_line_of_which_nothing_is_known_says_why(tmp_path: Path) -> None:
    basis, block, picture = shown(tmp_path, NOT_YET)
    assert (row(picture, "1").why, row(picture, "2").why) == ("not made fast", "")
    assert row(picture, "1").stages == {}
    state = states(basis, block)["1"]
    assert [state[name] for name in ("stage", "because", "stages", "why")] == [
        None,
        None,
        {},
        "not made fast",
    ]


def test_without_a_tide_nothing_is_known(tmp_path: Path) -> None:
    basis, block, picture = shown(tmp_path, HIGH_BOLLARD, tide=float("nan"))
    assert [line.why for line in picture.lines] == ["tide not known"] * 3
    assert [state["stage"] for state in states(basis, block).values()] == [None] * 3


def test_a_line_that_hangs_slack_is_normal_however_steep_its_lead(tmp_path: Path) -> None:
    slack = HIGH_BOLLARD.replace(
        "fairlead: FM, bollard: B2, rope: polyester,",
        "fairlead: FM, bollard: B2, rope: polyester, tended: [{at: 2026-03-02T04:00:02Z, paid_out: 2.0}],",
    )
    basis, block, picture = shown(tmp_path, slack)
    line = row(picture, "2")
    assert line.vertical_deg < -49.0
    assert line.tension_kn == 0.0
    assert line.stages["steep"] is Stage.NORMAL
    assert line.because == "slack"
    assert states(basis, block)["2"]["because"] == "slack"


def test_a_normal_line_has_its_nearest_limit_but_no_cause_of_a_stage(tmp_path: Path) -> None:
    basis, block, picture = shown(tmp_path, STAY_TEXT)
    quiet = [each for each in picture.lines if each.stage is Stage.NORMAL]
    assert quiet
    for line in quiet:
        assert line.worst
        assert 0.0 <= line.bar < 70.0
        assert line.because == ""
        assert states(basis, block)[line.id]["because"] is None
