"""Water under the keel that was sounded: where it is less than computed the alert goes by it."""

from dataclasses import replace

import numpy as np
import pytest

from alongside.cycle.block import Block
from alongside.cycle.readings_needed import only_at_an_end
from alongside.forecast.basis import Basis
from alongside.mechanics.keel import under_keel_m
from alongside.readings import Floats
from tests.cycle.by_hand.test_serving import lived, read
from tests.cycle.plausibility.made import COASTER, as_readings, instants, quiet

DEPTH = COASTER.berth.charted_depth or 0.0


def judged(block: Block) -> Floats:
    at = next(at for at, rule in enumerate(block.assessment.rules) if rule.cause == "under_keel")
    return block.assessment.value[:, at]


def computed(block: Block) -> Floats:
    here = block.situation
    return under_keel_m(COASTER.ship, DEPTH, here.tide, here.draught_fwd, here.draught_aft, here.heel_deg)


@pytest.mark.parametrize(("sounded_off", "counts"), [(-2.0, True), (1.0, False)])
def test_the_less_counts_for_an_hour(sounded_off: float, counts: bool) -> None:
    time = instants(3.0)
    readings = as_readings(time, quiet(time))
    (before,), _ = lived(COASTER, readings.rows(0, 60))
    sounded = float(computed(before)[-1]) + sounded_off
    act = read(float(time[60]), under_keel=sounded)
    blocks, memory = lived(COASTER, readings, {60: [act]})
    here = judged(blocks[1])
    if not counts:
        np.testing.assert_allclose(here, computed(blocks[1]))
        return
    assert here[0] == pytest.approx(sounded, abs=1e-6)
    moved = np.diff(computed(blocks[1])[:60]).sum()
    assert here[59] - here[0] == pytest.approx(moved, abs=0.05), "carried on by table and plan"
    np.testing.assert_allclose(here[62:], computed(blocks[1])[62:])
    (short,), _ = lived(COASTER, readings.rows(60, 65), {0: [read(float(time[60]), under_keel=0.4)]})
    assert not only_at_an_end(Basis.of(COASTER), short), "a sounding is no end of a spread"
    (event,) = [each for each in blocks[1].events if each.event == "reading"]
    assert event.text.startswith(f"Read by hand: under keel {sounded:.2f} m at ")
    assert memory.by_hand[-1].channel == "under_keel"


def test_without_a_charted_depth_it_is_kept_and_no_more() -> None:
    time = instants(0.5)
    stay = replace(COASTER, berth=replace(COASTER.berth, charted_depth=None))
    blocks, memory = lived(stay, as_readings(time, quiet(time)), {5: [read(float(time[5]), under_keel=0.4)]})
    assert memory.by_hand[-1].value == 0.4
    assert not [rule for rule in blocks[1].assessment.rules if rule.cause == "under_keel"]
