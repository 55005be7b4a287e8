"""While a brake is in question every cause is judged in both states and the worse is alerted; the alarm of
the brake stands until the answer. Expected values: ours."""

import json
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from alongside.actions import AnswerBrake
from alongside.alerts.assess import assess
from alongside.alerts.findings import Findings
from alongside.cycle.advance import advance
from alongside.cycle.block import Block
from alongside.cycle.chart_history import Past
from alongside.cycle.memory import Memory
from alongside.cycle.other_states import BY_LENGTHS
from alongside.cycle.past_series import series_names
from alongside.cycle.picture_of import picture_of
from alongside.forecast.basis import Basis
from alongside.readings import Readings
from alongside.reports.json_lines import state_lines
from alongside.stay.stage import Stage
from tests.berth import START, STAY_TEXT, a_stay

CHANNELS = ("tide", "draught_fwd", "draught_aft")
SETTLED = 200
"""Seconds: more than the longest mean, 180 s."""
WORN = STAY_TEXT.replace("brake_kn: 120", "brake_kn: 30")


def rising(levels: list[float]) -> Readings:
    """Tide 2.0 m until the means have settled, then to each level in 20 minutes, as no gauge jumps."""
    at = SETTLED + 1200.0 * np.arange(len(levels) + 1)
    tide = np.interp(np.arange(at[-1]), at, [2.0, *levels])
    n = tide.size
    codes = np.zeros((n, 3), dtype=np.int8)
    value = np.column_stack([tide, np.full(n, 4.0), np.full(n, 4.5)])
    return Readings(START + np.arange(float(n)), CHANNELS, value, codes, codes, np.zeros((n, 3)))


def watched(folder: Path, levels: list[float], actions: dict[int, AnswerBrake] | None = None) -> list[Block]:
    basis = Basis.of(a_stay(folder, WORN))
    memory, readings, blocks = Memory.at_start(basis.stay), rising(levels), []
    edges = sorted({0, *(actions or {}), len(readings)})
    for start, stop in pairwise(edges):
        done = [actions[start]] if actions and start in actions else []
        memory, block = advance(basis, memory, readings.rows(start, stop), done)
        blocks.append(block)
    return blocks


@settings(max_examples=25)
@given(levels=st.lists(st.floats(1.5, 4.5), min_size=1, max_size=5))
def test_every_cause_of_lines_is_the_worse_of_both(
    levels: list[float], tmp_path_factory: pytest.TempPathFactory
) -> None:
    folder = tmp_path_factory.mktemp("stay")
    (block,) = watched(folder, levels)
    slipped = block.others.slipped
    if slipped is None or block.others.by_witnesses is not None or block.others.rest:
        return  # never over its brake; or a gauge is in doubt, and there are more states
    basis = Basis.of(a_stay(folder, WORN))
    rules = tuple(rule for rule in basis.rules if rule.cause in BY_LENGTHS)
    both = [
        assess(rules, Findings.of(basis.stay, basis.arrangement, block.situation, held, block.readings)).level
        for held in (block.hold, slipped.hold)
    ]
    worse = np.maximum(*both)
    columns = [basis.rules.index(rule) for rule in rules]
    found = block.assessment.level[:, columns]
    asked = ~np.isnan(slipped.over.ran_out_m[:, 0])
    brake = [at for at, rule in enumerate(rules) if rule.cause == "brake"]
    others = [at for at in range(len(rules)) if at not in brake]
    np.testing.assert_array_equal(found[:, others], worse[:, others])
    assert (found[np.ix_(asked, brake)] == Stage.ALARM).all()
    np.testing.assert_array_equal(found[np.ix_(~asked, brake)], worse[np.ix_(~asked, brake)])


def test_the_alarm_stands_until_the_answer_however_low_the_load(tmp_path: Path) -> None:
    answer_at = SETTLED + 3000
    before, after = watched(tmp_path, [4.2, 2.0, 2.0], {answer_at: AnswerBrake("1", "slipped", by="RV")})
    alarm = [e for e in before.events if e.alert == "brake"][-1]
    assert (alarm.event, alarm.stage) == ("worsened", Stage.ALARM)
    assert alarm.text.startswith("Line 1 over its brake: slipped ")
    assert alarm.text.endswith("look at winch 1")
    assert before.hold.lines.tension_kn[-1, 0] < 30.0  # the water has fallen again
    assert next(e.event for e in after.events if e.alert == "brake") in ("rectified", "eased")
    (answered,) = [e for e in after.events if e.event == "brake_slipped"]
    assert answered.time == START + answer_at
    assert answered.value == pytest.approx(
        after.hold.lines.unstretched_m[0, 0] - before.hold.lines.unstretched_m[-1, 0]
    )
    assert after.others.slipped is None


def test_a_brake_in_question_is_the_highest_bar_everywhere(tmp_path: Path) -> None:
    """The water has fallen again and the line bears less than half of what its brake holds; asked it is an
    alarm all the same, by the highest load since."""
    basis = Basis.of(a_stay(tmp_path, WORN))
    memory, block = advance(basis, Memory.at_start(basis.stay), rising([4.2, 2.0, 2.0]))
    past = Past(series_names(basis, block.readings.channels))
    row = picture_of(basis, block, memory, past, (), ()).lines[0]
    assert row.asked is not None
    assert row.tension_kn < 30.0
    assert row.bar == pytest.approx(100.0 * row.asked.most_kn / 30.0)
    assert row.bar >= 100.0
    assert (row.worst, row.because, row.stage) == ("brake", "brake", Stage.ALARM)
    (text,) = state_lines(basis, block, [len(block.readings) - 1])
    assert json.loads(text)["lines"][0]["because"] == "brake"
    assert np.isnan(row.bar_per_h)  # it stands still by the highest load, whatever the load shown does
