"""The hours ahead where a gauge is in doubt: they span what the gauge and what its witness says."""

from dataclasses import replace

import numpy as np
import pytest

from alongside.cycle.advance import advance
from alongside.cycle.gauge_samples import present_at, sampled
from alongside.cycle.memory import Memory
from alongside.forecast.basis import Basis
from alongside.forecast.expected.ensemble import expected_situations
from alongside.forecast.expected.witnesses import Witnesses
from alongside.forecast.look_ahead import Far, look_ahead
from alongside.forecast.present import SURE, Present
from alongside.forecast.tide.stand_in import Tide
from alongside.forecast.words import AheadWords
from alongside.readings import Quality, Reason
from alongside.stay.model import Stay
from tests.cycle.plausibility.faults import Fault, World, changed
from tests.cycle.plausibility.heard import example, readings_of

pytestmark = pytest.mark.slow

HOUR = 3600.0
JUMP = 1.5


def present_after(name: str, fault: Fault | None, hours: float, lost: str = "") -> tuple[Stay, Present]:
    """An example played so far, with a fault two hours after its begin; or a channel `lost` from then on."""
    stay, log = example(name)
    good = readings_of(stay, log)
    world = World(Witnesses.of(stay, Tide.of(stay)), good)
    at = float(good.time[0]) + 2 * HOUR
    readings = readings_of(stay, log, fault(world, at) if fault else {}).rows(0, int(hours * HOUR))
    if lost:
        value, quality, reason = readings.value.copy(), readings.quality.copy(), readings.reason.copy()
        after, column = readings.time > at, readings.channels.index(lost)
        value[after, column], quality[after, column] = np.nan, Quality.LOST
        reason[after, column] = Reason.SILENT
        readings = replace(readings, value=value, quality=quality, reason=reason)
    basis, memory = Basis.of(stay), Memory.at_start(stay)
    samples, block = (), None
    for start in range(0, len(readings), 600):
        memory, block = advance(basis, memory, readings.rows(start, start + 600))
        samples = sampled(samples, block)
    assert block is not None
    return stay, present_at(block, memory, samples)


@pytest.fixture(scope="module")
def jumped() -> tuple[Stay, Present]:
    return present_after("coal_berth", changed("tide", lambda v: v + JUMP), 3.5)


def test_a_gauge_that_is_believed_is_sure() -> None:
    _, present = present_after("coal_berth", None, 3.5)
    assert present.unsure == SURE
    assert present.believed is present.heard


def test_a_tide_in_doubt_goes_on_by_gauge_and_by_table(jumped: tuple[Stay, Present]) -> None:
    stay, present = jumped
    time = present.time + HOUR * np.arange(13.0)
    ahead = expected_situations(stay, present, time, 60)
    assert ahead.tide[0, 0] == pytest.approx(present.tide, abs=0.01), "what is expected begins at the gauge"
    fades, kept, table = (np.median(ahead.tide[part::3], axis=0) for part in range(3))
    assert kept - table == pytest.approx(np.full(13, JUMP), abs=0.35)
    fading = fades - table
    assert fading[0] == pytest.approx(JUMP, abs=0.35)
    assert fading[12] == pytest.approx(JUMP * np.exp(-0.5), abs=0.35)
    assert any("tide gauge is doubtful" in note for note in ahead.notes)


def test_no_round_rests_on_a_tide_in_doubt(jumped: tuple[Stay, Present]) -> None:
    stay, present = jumped
    basis, far = Basis.of(stay), Far(6.0, 600.0, 30)
    sure = look_ahead(basis, replace(present, unsure=SURE), far)
    assert sure.tending.rounds, "there is something to tend"
    doubted = look_ahead(basis, present, far)
    assert doubted.tending.waits_for == "tide"
    assert not doubted.tending.rounds
    assert doubted.limits, "what comes is told all the same"
    rows = [text for _, text in AheadWords(stay.display, present.time).tending(doubted)]
    assert any(text.startswith("Read the tide board first") for text in rows)
    assert not any("No tending needed" in text for text in rows)


def test_what_was_measured_in_doubt_teaches_nothing(jumped: tuple[Stay, Present]) -> None:
    _, present = jumped
    doubted = present.heard.time >= present.unsure.tide_since
    assert doubted.sum() >= 10
    assert not np.isnan(present.heard.tide[doubted]).any()
    assert np.isnan(present.believed.tide[doubted]).all()
    assert not np.isnan(present.believed.tide[~doubted]).any()


def test_a_draught_in_doubt_goes_on_by_gauge_and_by_plan() -> None:
    stay, present = present_after("coal_berth", changed("draught_fwd", lambda v: v - 0.8), 3.5)
    ahead = expected_situations(stay, present, present.time + HOUR * np.arange(3.0), 60)
    by_gauge, by_plan = ahead.draught_fwd[::2, 0], ahead.draught_fwd[1::2, 0]
    assert by_gauge == pytest.approx(np.full(30, present.draught_fwd))
    assert by_plan - present.draught_fwd == pytest.approx(np.full(30, 0.8), abs=0.15)
    assert any("draught gauge is doubtful" in note for note in ahead.notes)


def test_a_draught_that_is_only_expected_is_spread() -> None:
    stay, present = present_after("coal_berth", None, 3.0, lost="draught_fwd")
    assert present.unsure.spread_fwd > 0.01
    assert present.unsure.spread_aft == 0.0
    ahead = expected_situations(stay, present, np.array([present.time]), 200)
    assert ahead.draught_fwd[0, 0] == pytest.approx(present.draught_fwd, abs=1e-6)
    assert ahead.draught_fwd[:, 0].std() == pytest.approx(present.unsure.spread_fwd, rel=0.1)
    assert ahead.draught_aft[:, 0].std() == pytest.approx(0.0, abs=1e-9)
