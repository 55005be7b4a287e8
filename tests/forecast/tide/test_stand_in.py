"""A tide gauge that fails: the expected level stands in, marked, the same however instants are cut."""

from dataclasses import replace

import numpy as np
import pytest

from alongside.alerts.hearing import feed_events
from alongside.alerts.text import Facts, describe
from alongside.cycle.advance import advance
from alongside.cycle.memory import Memory
from alongside.forecast.basis import Basis
from alongside.forecast.tide.prediction import expected_level, tide_table
from alongside.forecast.tide.stand_in import Tide, with_stand_in
from alongside.readings import Quality, Readings, Reason
from alongside.stay.model import TidePlan
from alongside.stay.stage import Stage
from tests.berth import START
from tests.forecast.scene import HIGH_LOW, stay_ahead

CHANNELS = ("tide", "draught_fwd", "draught_aft")
HEARD_S, SILENT_S = 3600, 7200


@pytest.fixture
def stay(tmp_path):
    return stay_ahead(tmp_path, cargo=())


def readings(stay, surge=0.30, heard_s=HEARD_S, silent_s=SILENT_S, reason=Reason.SILENT):
    """Tide and draughts each second; the tide gauge is lost after an hour."""
    time = START + np.arange(float(heard_s + silent_s))
    level = expected_level(tide_table(stay.tide), time).metres + surge
    n = time.size
    value = np.stack([level, np.full(n, 4.0), np.full(n, 4.5)], axis=1)
    quality = np.zeros((n, 3), dtype=np.int8)
    why = np.zeros((n, 3), dtype=np.int8)
    value[heard_s:, 0], quality[heard_s:, 0], why[heard_s:, 0] = np.nan, Quality.LOST, reason
    age = np.zeros((n, 3))
    age[heard_s:, 0] = np.arange(1.0, silent_s + 1.0)
    return Readings(time, CHANNELS, value, quality, why, age)


def test_prediction_and_fading_residual_stand_in_marked_as_expected(stay):
    # 0.30 exp(-h / 24 h) an hour on: 0.2878 m. Ours.
    read = readings(stay)
    found, _ = with_stand_in(Tide.of(stay), read, ())
    lost = slice(HEARD_S, None)
    assert (found.quality[lost, 0] == Quality.EXPECTED).all()
    assert (found.reason[lost, 0] == Reason.EXPECTED).all()
    added = found.value[lost, 0] - expected_level(tide_table(stay.tide), found.time[lost]).metres
    assert added[3600] == pytest.approx(
        0.30 * np.exp(-1.0 / 24.0), abs=5e-4
    )  # m; the last sample is a minute old
    assert np.array_equal(found.value[:HEARD_S], read.value[:HEARD_S])
    assert np.isnan(read.value[lost, 0]).all()


@pytest.mark.parametrize("cut", [1, 7, 300, 3600])
def test_how_instants_are_cut_makes_no_difference(stay, cut):
    read, tide = readings(stay, heard_s=1500, silent_s=600), Tide.of(stay)
    whole, samples = with_stand_in(tide, read, ())
    parts, kept = [], ()
    for at in range(0, len(read), cut):
        part, kept = with_stand_in(tide, read.rows(at, min(at + cut, len(read))), kept)
        parts.append(part.value)
    assert np.array_equal(np.concatenate(parts), whole.value, equal_nan=True)
    assert kept == samples


def test_a_gauge_never_heard_is_waited_for(stay):
    read = readings(stay, heard_s=0, silent_s=600, reason=Reason.WAITING)
    found, samples = with_stand_in(Tide.of(stay), read, ())
    assert np.isnan(found.value[:, 0]).all()
    assert (found.reason[:, 0] == Reason.WAITING).all()
    assert samples == ()


def test_beyond_the_table_nothing_is_made_up(stay):
    short = replace(stay, tide=TidePlan(high_low=tuple(row for row in HIGH_LOW if row[0] < START + 20_000.0)))
    assert len(short.tide.high_low) == 2
    read = readings(stay, silent_s=20_000)
    found, _ = with_stand_in(Tide.of(short), read, ())
    ends = short.tide.high_low[-1][0]
    assert np.isnan(found.value[found.time > ends, 0]).all()
    assert (found.quality[found.time > ends, 0] == Quality.LOST).all()


def test_a_stay_without_a_tide_section_stays_blind(stay):
    memory, block = advance(Basis.of(replace(stay, tide=None)), Memory.at_start(stay), readings(stay))
    assert np.isnan(block.situation.tide[HEARD_S:]).all()
    assert memory.residuals == ()


def test_lines_are_watched_on_and_the_alert_says_why(stay):
    basis = Basis.of(stay)
    memory, block = advance(basis, Memory.at_start(stay), readings(stay))
    assert not np.isnan(block.hold.lines.tension_kn[-1]).any()
    assert block.situation.quality[-1] == Quality.EXPECTED
    alert = memory.watchlist.alerts["feed", "gauges"]
    assert alert.stage is Stage.WARNING
    assert alert.text == "Tide gauge: no signal since 04:59; expected from table"
    words = describe(Facts(stay, block.assessment, block.readings, len(block.readings) - 1))
    at = [rule.cause for rule in basis.rules].index("feed")
    assert "not watched" not in words(at, Stage.WARNING)
    lost = [event for event in feed_events(stay, None, block.readings) if event.event == "feed_lost"]
    assert [event.subject for event in lost] == ["tide"]
    assert float(lost[0].time) == START + HEARD_S
