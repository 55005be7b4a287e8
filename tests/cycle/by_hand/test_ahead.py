"""The hours ahead of a watch without gauges: from the first reading on, with a cargo plan and without."""

from dataclasses import replace

import numpy as np
import pytest

from alongside.actions import Action
from alongside.cycle.gauge_samples import Samples, present_at, sampled, samples_of, without_gauge
from alongside.cycle.memory import Memory
from alongside.cycle.with_forecast import advance_with_forecast
from alongside.forecast.basis import Basis
from alongside.forecast.look_ahead import Far, look_ahead
from alongside.forecast.model import Forecast
from alongside.record.codec import from_text, to_text
from alongside.runtime.picture_maker import PictureMaker
from alongside.stay.model import Stay
from tests.cycle.by_hand.test_serving import NO_FEED, lived, nothing, read
from tests.cycle.plausibility.made import instants, witnesses_of

NO_PLAN = replace(NO_FEED, cargo=())
HOUR = 3600.0


def looked(stay: Stay, minutes: int, readings: dict[int, float]) -> Forecast:
    """The look ahead after so many minutes, with the draught forward read at some of them, aft 0.7 m more."""
    time = instants(minutes / 60.0)
    acts: dict[int, list[Action]] = {
        row: [read(float(time[row]), tide=4.5, draught_fwd=value, draught_aft=value + 0.7)]
        for row, value in readings.items()
    }
    blocks, memory = lived(stay, nothing(time), acts)
    samples: Samples = ()
    for block in blocks:
        samples = sampled(samples, block)
    present = present_at(blocks[-1], memory, samples)
    return look_ahead(Basis.of(stay), present, Far(4.0, 1800.0, 20), tend=False)


@pytest.mark.slow
@pytest.mark.parametrize("stay", [NO_FEED, NO_PLAN], ids=["plan", "no plan"])
@pytest.mark.parametrize("minutes", [3, 20, 110])
def test_it_works_from_the_first_reading_on(stay: Stay, minutes: int) -> None:
    forecast = looked(stay, minutes, {1: 2.62})
    assert not forecast.reason
    assert np.isfinite(forecast.stretch_share).all()


def test_without_a_plan_a_centimetre_of_a_reading_is_no_trend() -> None:
    forecast = looked(NO_PLAN, 20, {1: 2.62, 11: 2.64})
    assert forecast.draught_fwd.expected == pytest.approx(np.full(9, 2.64))
    assert forecast.draught_fwd.high[-1] - 2.64 > 0.5, "nobody knows where it goes"
    assert "draughts follow what was read" in " ".join(forecast.notes)


def test_two_readings_say_how_fast_it_moves_and_narrow_the_band() -> None:
    forecast = looked(NO_PLAN, 122, {1: 2.60, 121: 2.80})
    rate = 0.20 / 2.0
    assert forecast.draught_fwd.expected[-1] == pytest.approx(2.80 + 4.0 * rate)
    one = looked(NO_PLAN, 122, {121: 2.80})
    width = forecast.draught_fwd.high - forecast.draught_fwd.low
    assert width[-1] < 0.5 * (one.draught_fwd.high - one.draught_fwd.low)[-1]


@pytest.mark.parametrize("by_charts", [False, True])
def test_a_reading_that_is_entered_late_counts_from_when_it_was_made(by_charts: bool) -> None:
    time = instants(1.0)
    table = witnesses_of().table(time)
    board = read(float(time[5]), tide=float(table[5]) + 0.5)
    basis, maker = Basis.of(NO_FEED), PictureMaker(Basis.of(NO_FEED), (), looks_ahead=False)
    blocks, memory = lived(NO_FEED, nothing(time), {45: [board]})
    samples: Samples = ()
    for block in blocks:
        samples = sampled(samples, block)
        maker.add(block)
    now = float(time[-1])
    if by_charts:
        breadth, unfitted = NO_FEED.ship.breadth, without_gauge(blocks[-1].readings)
        samples = samples_of(maker.past.history(), breadth, memory, now, unfitted)
    present = present_at(blocks[-1], memory, samples)
    known = present.heard.tide[~np.isnan(present.heard.tide)]
    assert known == pytest.approx([float(table[5]) + 0.5]), "a table is no measurement"
    forecast = look_ahead(basis, present, Far(2.0, 1800.0, 4), tend=False)
    assert forecast.tide.expected[0] == pytest.approx(float(blocks[-1].situation.tide[-1]), abs=0.02)
    assert forecast.tide.expected[0] - table[-1] > 0.35, "what weather adds goes on"


@pytest.mark.slow
def test_a_replay_that_looks_ahead_has_what_was_read() -> None:
    time = instants(0.5)
    basis, memory = Basis.of(NO_FEED, ahead=True), Memory.at_start(NO_FEED)
    readings, board = nothing(time), read(float(time[3]), tide=4.9)
    for row in range(len(readings)):
        done = [board] if row == 14 else []
        memory, _ = advance_with_forecast(basis, memory, readings.rows(row, row + 1), done)
    memory = from_text(Memory, to_text(memory))
    assert memory.foresight is not None
    assert memory.foresight.present is not None
    heard = memory.foresight.present.heard
    assert heard.tide[~np.isnan(heard.tide)] == pytest.approx([4.9])
    assert (np.diff(heard.time) >= 0.0).all()
