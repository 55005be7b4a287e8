"""A load cell counts: load, brake and bollard go by the larger of measured and computed."""

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.actions import TendLine
from alongside.alerts.load_rules import watched_by_cell_alone
from alongside.cycle.advance import advance
from alongside.cycle.block import Block
from alongside.cycle.memory import Memory
from alongside.forecast.basis import Basis
from alongside.mechanics.bollards import bollard_loads
from alongside.mechanics.cell_loads import with_cells
from alongside.mechanics.hold import hold
from alongside.readings import Quality, Readings, Reason
from alongside.reports.json_lines import state_lines
from alongside.runtime.picture_maker import PictureMaker
from alongside.stay.stage import Stage
from tests.berth import START, STAY_TEXT, a_stay

CELLS = STAY_TEXT.replace(
    "      draught_aft: {sentence: XDR, name: DRA}\n",
    "      draught_aft: {sentence: XDR, name: DRA}\n"
    "      tension.1: {sentence: XDR, name: L1}\n      tension.2: {sentence: XDR, name: L2}\n",
)
"""Lines 1 (brake 120 kN, bollard SWL 300 kN) and 2 (bollard SWL 300 kN) have cells; WLL 100 kN."""
CHANNELS = (
    "tide",
    "draught_fwd",
    "draught_aft",
    "tension.1",
    "tension_peak.1",
    "tension.2",
    "tension_peak.2",
)


def readings(kn: tuple[float, float], seconds: int = 120, start: float = START) -> Readings:
    value = np.tile([2.0, 4.0, 4.5, kn[0], kn[0] + 5.0, kn[1], kn[1] + 5.0], (seconds, 1))
    good = np.zeros(value.shape, dtype=np.int8)
    return Readings(start + np.arange(seconds), CHANNELS, value, good, good.copy(), np.zeros(value.shape))


def marked(heard: Readings, channel: str, quality: Quality, reason: Reason) -> Readings:
    at, value = heard.channels.index(channel), heard.value.copy()
    qualities, reasons = heard.quality.copy(), heard.reason.copy()
    qualities[:, at], reasons[:, at] = quality, reason
    value[:, at] = np.nan if quality is Quality.LOST else value[:, at]
    return replace(heard, value=value, quality=qualities, reason=reasons)


@pytest.fixture(scope="module")
def basis(tmp_path_factory: pytest.TempPathFactory) -> Basis:
    return Basis.of(a_stay(tmp_path_factory.mktemp("stay"), CELLS))


def watched(basis: Basis, heard: Readings) -> tuple[Memory, Block]:
    return advance(basis, Memory.at_start(basis.stay), heard)


def value(block: Block, cause: str, subject: str) -> float:
    keys = [rule.key for rule in block.assessment.rules]
    return float(block.assessment.value[-1, keys.index((cause, subject))])


def texts(block: Block) -> list[str]:
    return [event.text for event in block.events if event.event in ("raised", "worsened")]


def test_a_cell_past_the_working_limit_is_an_alarm_of_load_and_brake(basis: Basis) -> None:
    """Computed 20 kN, cell 130 kN: 130 % of the WLL of 100 kN, 108 % of the brake of 120 kN."""
    _, block = watched(basis, readings((130.0, 20.0)))
    assert value(block, "load", "1") == pytest.approx(1.30)
    assert value(block, "brake", "1") == pytest.approx(130.0 / 120.0)
    # The cell asks whether the brake slipped: then the line would carry less than what is computed.
    assert 0.10 < value(block, "slack", "1") < 0.20
    said = texts(block)
    assert "Line 1 load: cell 13.3 t, computed 2.0 t, 130 % of WLL (limit 100 %)" in said
    assert "Line 1 over its brake: slipped 0.13 m, or holds 13.3 t: look at winch 1" in said
    assert "Line 1 cell 13.3 t, computed 2.0 t (limit 5.1 t apart)" in said
    (state,) = state_lines(basis, block, [len(block.readings) - 1])
    line = json.loads(state)["lines"][0]
    assert (line["stages"]["load"], line["stages"]["tension"]) == ("alarm", "alarm")
    assert (line["measured_kn"], line["peak_kn"], line["by_cell"]) == (130.0, 135.0, True)
    assert line["tension_kn"] == pytest.approx(20.0)


def test_the_line_of_the_picture_has_the_load_that_counts(basis: Basis) -> None:
    memory, block = watched(basis, readings((130.0, 10.0)))
    maker = PictureMaker(basis, CHANNELS, looks_ahead=False)
    maker.add(block)
    picture = maker.picture(memory, ())
    assert picture is not None
    one, two, three = picture.lines
    assert (one.by_cell, one.counted_kn, one.peak_kn) == (True, 130.0, 135.0)
    assert one.counted_share(100.0) == pytest.approx(1.3)
    assert np.hypot(*one.counted_pull[:2]) ** 2 + one.counted_pull[2] ** 2 == pytest.approx(130.0**2)
    assert (two.by_cell, two.counted_kn) == (False, two.tension_kn)
    assert (three.by_cell, np.isnan(three.peak_kn)) == (False, True)


def test_a_bollard_bears_the_larger_of_each_line(basis: Basis) -> None:
    _, block = watched(basis, readings((270.0, 20.0)))
    assert value(block, "bollard", "B1") == pytest.approx(0.90)
    assert value(block, "bollard", "B2") == pytest.approx(20.0 / 300.0, rel=1e-3)


@given(st.lists(st.floats(0.0, 300.0), min_size=3, max_size=3))
def test_the_larger_pulls_along_the_line(basis: Basis, cells: list[float]) -> None:
    """Whatever the cells say, no line counts less than computed, none less than its cell, and the pull has
    the line's own direction."""
    _, block = watched(basis, readings((20.0, 20.0), seconds=2))
    lines, known = block.hold.lines, np.zeros((2, 3), dtype=np.int8)
    counted = with_cells(lines, np.tile(cells, (2, 1)), known)
    assert (counted.tension_kn >= lines.tension_kn).all()
    assert (counted.tension_kn >= cells).all()
    size = np.sqrt(counted.ahead_kn**2 + counted.in_kn**2 + counted.down_kn**2)
    np.testing.assert_allclose(size, counted.tension_kn, atol=1e-6)
    angle = np.degrees(np.arctan2(counted.down_kn, np.hypot(counted.ahead_kn, counted.in_kn)))
    np.testing.assert_allclose(angle, lines.vertical_deg, atol=1e-6)
    np.testing.assert_allclose(bollard_loads(basis.arrangement, counted), counted.tension_kn, atol=1e-6)


@pytest.mark.parametrize(
    ("quality", "reason", "counts"),
    [
        (Quality.SUSPECT, Reason.STALE, True),
        (Quality.SUSPECT, Reason.STILL, True),
        (Quality.SUSPECT, Reason.NO_LINE, False),
        (Quality.LOST, Reason.SILENT, False),
    ],
)
def test_a_doubtful_cell_counts_beside_its_witness(
    basis: Basis, quality: Quality, reason: Reason, counts: bool
) -> None:
    _, block = watched(basis, marked(readings((130.0, 20.0)), "tension.1", quality, reason))
    assert (value(block, "brake", "1") > 1.0) == counts


def test_an_agreeing_cell_is_no_second_alert(basis: Basis) -> None:
    """Tended to 90 kN, the cell says 93: stretch has the alert, load has none; the brake goes by the cell."""
    memory, _ = watched(basis, readings((20.0, 20.0), seconds=1))
    memory, block = advance(
        basis, memory, readings((93.0, 20.0), start=START + 1), [TendLine("1", to_tension_kn=90.0)]
    )
    assert value(block, "load", "1") == -np.inf
    assert value(block, "brake", "1") == pytest.approx(93.0 / 120.0)
    raised = {event.alert for event in block.events if event.event == "raised" and event.line == "1"}
    assert raised == {"stretch", "brake"}


def test_a_line_slack_by_what_is_computed_names_its_cell_that_carries_load(basis: Basis) -> None:
    """Slacked by 2 m it has no load by what is computed; its cell still reads 25 kN a minute later."""
    memory, _ = watched(basis, readings((20.0, 20.0), seconds=10))
    memory, block = advance(
        basis, memory, readings((25.0, 20.0), seconds=240, start=START + 10.0), [TendLine("1", paid_out=2.0)]
    )
    assert value(block, "slack", "1") == 0.0
    assert "Line 1 slack: no load (limit 1 % of WLL)" in texts(block), "the cell's mean was of before"
    maker = PictureMaker(basis, CHANNELS, looks_ahead=False)
    maker.add(block)
    picture = maker.picture(memory, ())
    assert picture is not None
    (slack,) = (alert for alert in picture.alerts if alert.cause == "slack")
    assert slack.text.startswith("Line 1 slack: cell 2.5 t, computed no load (limit 1 % of WLL)")


def test_a_mean_of_before_a_tending_says_nothing_of_now(basis: Basis) -> None:
    """For the 30 s of the cell's mean after its length changed, also where the blocks are cut."""
    memory, _ = watched(basis, readings((95.0, 20.0), seconds=60))
    deed, causes = [TendLine("1", paid_out=0.10)], []
    for second in range(60, 120):
        heard = readings((95.0, 20.0), seconds=1, start=START + second)
        memory, block = advance(basis, memory, heard, deed)
        deed = []
        causes.append(np.isnan(value(block, "tension", "1")))
    assert causes == [True] * 30 + [False] * 30


def test_a_cell_alone_is_known_at_its_limit(basis: Basis) -> None:
    """Without a tide nothing is computed: a cell at 130 % of WLL is an alarm all the same, one at 50 % makes
    no line normal."""
    for kn, stage in ((130.0, Stage.ALARM), (50.0, None)):
        heard = marked(readings((kn, 20.0)), "tide", Quality.LOST, Reason.SILENT)
        memory, block = watched(basis, heard)
        maker = PictureMaker(basis, CHANNELS, looks_ahead=False)
        maker.add(block)
        picture = maker.picture(memory, ())
        assert picture is not None
        assert picture.lines[0].stage is stage


def test_the_hours_ahead_say_it_by_stretch_alone(basis: Basis) -> None:
    """There nothing is measured: the load of a line watched for its cell alone says no more than stretch."""
    assert watched_by_cell_alone(basis.stay) == {"1", "2"}


def test_a_load_known_by_its_cell_alone_has_the_lead(tmp_path: Path) -> None:
    """A line whose length is not known: the bollard bears what its cell says, along its lead."""
    basis = Basis.of(a_stay(tmp_path, CELLS))
    _, block = watched(basis, readings((130.0, 20.0), seconds=2))
    unknown = block.hold.lines.unstretched_m.copy()
    unknown[:, 0] = np.nan
    held = hold(basis.arrangement, block.situation, unknown)
    counted = with_cells(
        held.lines, np.tile([130.0, np.nan, np.nan], (2, 1)), np.zeros((2, 3), dtype=np.int8)
    )
    assert bollard_loads(basis.arrangement, counted)[:, 0] == pytest.approx(130.0)
