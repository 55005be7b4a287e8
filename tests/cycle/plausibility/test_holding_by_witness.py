"""A gyro the wrong way round turns a wind off the quay into one onto it: the holding is judged by both."""

import numpy as np
import pytest

from alongside.alerts.model import Event
from alongside.cycle.advance import advance
from alongside.cycle.memory import Memory
from alongside.forecast.basis import Basis
from alongside.record.codec import to_text
from alongside.stay.model import Stay
from alongside.stay.stage import Stage
from tests.cycle.plausibility.made import as_readings

OFF_THE_QUAY, ONTO_IT = 160.0, 340.0
WIND_MS = 27.0
MINUTES = 12


def watched(stay: Stay, come_from: float, heading: float, cuts: list[int]) -> tuple[Memory, list[Event]]:
    assert stay.simulate is not None
    time = stay.simulate.start + 10.0 * np.arange(6 * MINUTES)
    same = np.ones(time.size)
    readings = as_readings(
        time,
        {
            "tide": 1.0 * same,
            "draught_fwd": 10.1 * same,
            "draught_aft": 10.5 * same,
            "heading": heading * same,
            "wind_speed": WIND_MS * same,
            "wind_from": come_from * same,
        },
    )
    basis, memory = Basis.of(stay), Memory.at_start(stay)
    events: list[Event] = []
    for start, stop in zip([0, *cuts], [*cuts, time.size], strict=True):
        memory, block = advance(basis, memory, readings.rows(start, stop))
        events += block.events
    return memory, [event for event in events if event.alert == "holding"]


def test_the_worse_wind_is_alerted(full_stay: Stay) -> None:
    _, onto = watched(full_stay, ONTO_IT, 70.0, [])
    _, off = watched(full_stay, OFF_THE_QUAY, 70.0, [])
    assert not onto
    stage = max(event.stage for event in off if event.stage is not None)
    assert stage > Stage.CAUTION
    _, turned = watched(full_stay, ONTO_IT, 250.0, [])
    assert max(event.stage for event in turned if event.stage is not None) == stage
    assert turned[0].value == pytest.approx(off[0].value, rel=0.01)


@pytest.mark.slow
@pytest.mark.parametrize("cuts", [[1, 20, 31, 33], list(range(1, 6 * MINUTES))])
def test_cuts_make_no_difference(full_stay: Stay, cuts: list[int]) -> None:
    whole, cut = (watched(full_stay, ONTO_IT, 250.0, each) for each in ([], cuts))
    assert cut[1] == whole[1]
    assert whole[0].held_by_witness is not None
    assert to_text(cut[0].held_by_witness) == to_text(whole[0].held_by_witness)
