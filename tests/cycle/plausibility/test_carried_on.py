"""A gauge that falls silent is carried on: marked, within a spread that grows, judged by its worse end."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from alongside.cycle.advance import advance
from alongside.cycle.block import Circumstances
from alongside.cycle.memory import Memory
from alongside.cycle.plausibility.sigmas import BAND_90
from alongside.forecast.basis import Basis
from alongside.readings import Quality, Reason, worst_quality
from alongside.stay.stage import Stage
from tests.cycle.plausibility.heard import EXAMPLES, example, hear, readings_of
from tests.cycle.plausibility.made import COASTER, as_readings, instants, quiet


@pytest.mark.slow
@settings(max_examples=15)
@given(st.sampled_from(["draught_fwd", "draught_aft"]), st.integers(20, 200), st.integers(10, 340))
def test_a_draught_that_is_lost_follows_the_plan(channel: str, at: int, minutes: int) -> None:
    time = instants(10.0)
    columns = quiet(time)
    truth = columns[channel].copy()
    columns[channel][at : at + minutes] = np.nan
    heard = hear(COASTER, as_readings(time, columns))
    column, rows = heard.readings.channels.index(channel), slice(at, at + minutes)
    assert (heard.readings.quality[rows, column] == Quality.EXPECTED).all()
    assert (heard.readings.reason[rows, column] == Reason.EXPECTED).all()
    spread = heard.readings.spread[rows, column]
    assert spread[0] > 0.0
    assert (np.diff(spread) >= -0.005).all(), "it grows, but where the plan comes back to the gang's pace"
    off = np.abs(heard.readings.value[rows, column] - truth[rows])
    assert (off <= 2.5 * spread).all()
    assert np.isnan(np.delete(heard.readings.spread, np.r_[rows], axis=0)).all()


def test_six_hours_on_a_reading_says_nothing_any_more() -> None:
    time = instants(9.0)
    columns = quiet(time)
    columns["draught_fwd"][60:] = np.nan
    quality = hear(COASTER, as_readings(time, columns)).readings.quality[:, 1]
    assert quality[60 + 355] == Quality.EXPECTED
    assert quality[60 + 365] == Quality.LOST


def test_a_gauge_never_heard_is_not_made_up() -> None:
    time = instants(2.0)
    columns = quiet(time)
    columns["draught_fwd"][:] = np.nan
    assert (hear(COASTER, as_readings(time, columns)).readings.quality[:, 1] == Quality.LOST).all()


@pytest.mark.slow
@pytest.mark.parametrize("name", EXAMPLES)
def test_nine_of_ten_spreads_hold_what_was_recorded(name: str) -> None:
    """Outages of an hour, one after each three hours of a recorded stay, against what the gauge said."""
    stay, log = example(name)
    readings = readings_of(stay, log)
    columns = [readings.channels.index(channel) for channel in ("draught_fwd", "draught_aft")]
    held: list[np.ndarray] = []
    for begin in range(3 * 3600, len(readings) - 3600, 4 * 3600):
        gone = readings.value.copy(), readings.quality.copy(), readings.age.copy()
        rows = slice(begin, begin + 3600)
        for column in columns:
            good = readings.quality[rows, column] == Quality.GOOD
            gone[0][rows, column], gone[1][rows, column] = np.nan, Quality.LOST
            part, upto = readings.rows(0, begin + 3600), slice(0, begin + 3600)
            cut = replace(part, value=gone[0][upto], quality=gone[1][upto])
            found = hear(stay, cut, cuts=list(range(0, begin + 3600, 3600)))
            off = np.abs(found.readings.value[rows, column] - readings.value[rows, column])
            held.append((off <= BAND_90 * found.readings.spread[rows, column])[good])
        if len(held) > 6:
            break
    assert np.concatenate(held).mean() > 0.9


@pytest.mark.slow
def test_ten_minutes_without_the_forward_gauge_leave_all_lines_known() -> None:
    stay, log = example("coal_berth")
    readings = readings_of(stay, log).rows(3600, 3600 + 1800)
    column = readings.channels.index("draught_fwd")
    value, quality, reason = readings.value.copy(), readings.quality.copy(), readings.reason.copy()
    value[1000:, column], quality[1000:, column] = np.nan, Quality.LOST
    reason[1000:, column] = Reason.SILENT
    cut = type(readings)(readings.time, readings.channels, value, quality, reason, readings.age)
    basis = Basis.of(stay)
    _, block = advance(basis, Memory.at_start(stay), cut)
    assert np.isfinite(block.hold.lines.tension_kn[1700]).all()
    assert block.situation.quality[1700] == Quality.EXPECTED
    assert worst_quality(block.readings, ["draught_fwd", "wind_speed"])[1700] == Quality.EXPECTED


@pytest.mark.slow
def test_under_the_keel_the_worse_end_counts() -> None:
    basis = Basis.of(COASTER)
    time = instants(18.0)
    columns = quiet(time)
    columns["draught_fwd"][17 * 60 :] = columns["draught_aft"][17 * 60 :] = np.nan
    _, block = advance(basis, Memory.at_start(COASTER), as_readings(time, columns))
    at = [rule.cause for rule in basis.rules].index("under_keel")
    assert COASTER.berth.charted_depth is not None
    s, row = block.situation, -1
    best = COASTER.berth.charted_depth + s.tide[row] - max(s.draught_fwd[row], s.draught_aft[row])
    assert block.assessment.value[row, at] < best - 0.03


@pytest.mark.slow
def test_lines_are_judged_at_the_worse_end_too() -> None:
    """Ours: with the tide by table alone a line is as steep, and as stretched, as at either end of its
    spread, and never less than as it is expected."""
    basis = Basis.of(COASTER)
    time = instants(18.0)
    columns = quiet(time)
    columns["tide"][17 * 60 :] = np.nan
    _, block = advance(basis, Memory.at_start(COASTER), as_readings(time, columns))
    causes = [(rule.cause, rule.line) for rule in basis.rules]
    before, after = 16 * 60, len(time) - 1
    for at, line in enumerate(COASTER.lines):
        for cause, lines in (
            ("steep", np.abs(block.hold.lines.vertical_deg)),
            ("stretch", block.hold.lines.stretch_share),
        ):
            value = block.assessment.value[:, causes.index((cause, line.id))]
            assert value[before] == pytest.approx(lines[before, at])
            assert value[after] > lines[after, at] + 1e-4


def test_a_port_that_is_not_open_is_told_at_once() -> None:
    basis = Basis.of(COASTER)
    time = instants(1.0, 1.0)
    readings = as_readings(time, quiet(time))
    memory, _ = advance(basis, Memory.at_start(COASTER), readings.rows(0, 100))
    events = []
    for row in range(100, 130):
        memory, block = advance(
            basis, memory, readings.rows(row, row + 1), (), Circumstances(closed=("gauges",))
        )
        assert (block.readings.reason[0, :3] == Reason.CLOSED).all()
        assert (block.readings.quality[0, :3] == Quality.SUSPECT).all()
        events += block.events
    raised = [event for event in events if event.event == "raised" and event.alert == "feed"]
    assert [event.stage for event in raised] == [Stage.WARNING]
    assert raised[0].time - time[100] <= 15.0, "the on-delay of a warning, no more"
    assert "port not open" in raised[0].text
