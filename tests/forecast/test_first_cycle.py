"""The hours ahead are there from the first cycle: by table, stay file and one reading, before any trend."""

from dataclasses import replace
from typing import Final

import numpy as np
import pytest

from alongside.actions import Action, ReadByHand
from alongside.cycle.advance import advance
from alongside.cycle.block import Block
from alongside.cycle.gauge_samples import present_at, sampled
from alongside.cycle.memory import Memory
from alongside.forecast.basis import Basis
from alongside.forecast.look_ahead import look_ahead
from alongside.forecast.model import Forecast
from alongside.forecast.present import Present
from alongside.readings import Readings
from alongside.reports.ahead_json import ahead_object
from alongside.runtime.picture_maker import PictureMaker
from alongside.stay.model import Stay
from tests.cycle.plausibility.made import BEGIN, COASTER, as_readings, quiet

NO_FEED: Final = replace(COASTER, feeds=())
ALONE: Final = "tide by prediction alone"


def nothing(count: int = 1) -> Readings:
    """Instants at which no feed says anything: there is none."""
    time = BEGIN + np.arange(float(count))
    empty = np.empty((count, 0))
    codes = empty.astype(np.int8)
    return Readings(time, (), empty, codes, codes, empty)


def first(stay: Stay, readings: Readings, *acts: Action) -> tuple[Basis, Memory, Block]:
    basis = Basis.of(stay, ahead=True)
    memory, block = advance(basis, Memory.at_start(stay), readings, acts)
    return basis, memory, block


def present(memory: Memory, block: Block) -> Present:
    return present_at(block, memory, sampled((), block))


def looked(stay: Stay, readings: Readings, *acts: Action) -> Forecast:
    basis, memory, block = first(stay, readings, *acts)
    return look_ahead(basis, present(memory, block))


def table_now(stay: Stay) -> float:
    tide = Basis.of(stay).tide
    assert tide is not None
    return float(tide.at(np.array([BEGIN]))[0])


def width(forecast: Forecast, row: int) -> float:
    return float(forecast.tide.high[row] - forecast.tide.low[row])


def test_without_any_feed_the_first_cycle_looks_ahead() -> None:
    forecast = looked(NO_FEED, nothing())
    assert forecast.reason == ""
    assert forecast.known_until == forecast.times[-1]
    assert np.isfinite(forecast.stretch_share).all()
    assert any(note.startswith(ALONE) for note in forecast.notes)
    assert width(forecast, 0) > 0.5


@pytest.mark.slow
def test_one_reading_of_the_board_narrows_it() -> None:
    """20 cm above the table now, which fades; the hours ahead begin at what was read."""
    level = table_now(NO_FEED) + 0.20
    before = looked(NO_FEED, nothing())
    after = looked(NO_FEED, nothing(), ReadByHand((("tide", level),), BEGIN, by="TK"))
    assert not any(note.startswith(ALONE) for note in after.notes)
    assert after.tide.expected[0] == pytest.approx(level, abs=0.01)
    assert width(after, 0) < 0.15 < width(before, 0)
    hour = int(np.searchsorted(after.times, after.times[0] + 3600.0))
    assert after.tide.expected[hour] - before.tide.expected[hour] == pytest.approx(
        0.2 * np.exp(-1 / 24), abs=0.02
    )
    assert width(after, hour) < width(before, hour)


def test_the_draughts_that_were_read_go_on_by_the_plan() -> None:
    read = ReadByHand((("draught_fwd", 3.11), ("draught_aft", 3.62)), BEGIN, by="TK")
    forecast = looked(NO_FEED, nothing(), read)
    assert forecast.draught_fwd.expected[0] == pytest.approx(3.11, abs=0.01)
    assert forecast.draught_aft.expected[0] == pytest.approx(3.62, abs=0.01)
    plain = looked(NO_FEED, nothing())
    moved, planned = (
        each.draught_fwd.expected[-1] - each.draught_fwd.expected[0] for each in (forecast, plain)
    )
    assert moved == pytest.approx(planned, abs=0.05)
    assert abs(planned) > 0.05


def test_by_gauges_the_first_values_are_enough() -> None:
    now = np.array([BEGIN])
    forecast = looked(COASTER, as_readings(now, quiet(now)))
    assert forecast.reason == ""
    assert np.isfinite(forecast.stretch_share).all()
    assert not any(note.startswith(ALONE) for note in forecast.notes)


def test_gauges_that_have_never_spoken_are_done_without() -> None:
    """As the page says: it waits for them until tide board and draughts have been read."""
    now = np.array([BEGIN])
    silent = as_readings(now, {name: np.full(1, np.nan) for name in quiet(now)})
    assert looked(COASTER, silent).reason in ("tide not known", "draught not known")
    levels = (("tide", table_now(COASTER)), ("draught_fwd", 3.1), ("draught_aft", 3.6))
    forecast = looked(COASTER, silent, ReadByHand(levels, BEGIN, by="TK"))
    assert forecast.reason == ""
    assert np.isfinite(forecast.stretch_share).all()


def test_other_programs_have_it_too() -> None:
    basis, memory, block = first(NO_FEED, nothing())
    found = ahead_object(look_ahead(basis, present(memory, block)))
    samples = found["samples"]
    assert isinstance(samples, list)
    assert len(samples) > 100
    assert all(sample[key] is not None for sample in samples for key in ("tide", "draught_fwd"))


def test_beside_a_watch_the_first_cycle_asks_for_it() -> None:
    basis, memory, block = first(NO_FEED, nothing())
    keeper = PictureMaker(basis, ())
    keeper.add(block)
    keeper.picture(memory, ())
    keeper.forecasts.wait(60.0)
    picture = keeper.picture(memory, ())
    assert picture is not None
    assert picture.forecast is not None
    assert picture.forecast.time == BEGIN
    assert picture.forecast.reason == ""
