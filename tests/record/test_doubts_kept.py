"""A state on record is judged as the watch judged it: by the worse of gauge and witness, with the doubt in
words."""

from pathlib import Path

import numpy as np
import pytest

from alongside.actions import JudgeChannel
from alongside.alerts.assess import line_levels
from alongside.cycle.advance import advance
from alongside.cycle.memory import Memory
from alongside.forecast.basis import Basis
from alongside.forecast.expected.witnesses import Witnesses
from alongside.forecast.tide.stand_in import Tide
from alongside.record.reader import RecordReader
from alongside.record.states import Columns, pack, unpack
from tests.cycle.plausibility.faults import World, changed
from tests.cycle.plausibility.heard import example, readings_of
from tests.record.kept import Watch, flood_stay

HOUR = 3600.0
STEP = 900


@pytest.mark.slow
def test_a_tide_gauge_that_jumped() -> None:
    stay, log = example("coal_berth")
    good = readings_of(stay, log)
    world = World(Witnesses.of(stay, Tide.of(stay)), good)
    faults = changed("tide", lambda v: v + 1.5)(world, float(good.time[0]) + 2 * HOUR)
    readings = readings_of(stay, log, faults).rows(0, int(3.5 * HOUR))
    basis, memory = Basis.of(stay), Memory.at_start(stay)
    columns = Columns.of(stay, readings.channels)
    lines = tuple(line.id for line in stay.lines)
    doubted = 0
    for start in range(0, len(readings), STEP):
        memory, live = advance(basis, memory, readings.rows(start, start + STEP))
        row = len(live.readings) - 1
        state = unpack(stay, columns, [float(live.readings.time[row])], [pack(live, row, lines)])
        kept = state.block(basis, memory)
        assert kept.doubts == live.doubts
        assert kept.readings.why("tide", 0) == live.readings.why("tide", row)
        assert np.array_equal(
            line_levels(kept.assessment, lines)[0], line_levels(live.assessment, lines)[row]
        )
        assert np.array_equal(state.stages()[0], line_levels(live.assessment, lines)[row])
        one, other = (
            None if block.others.by_witnesses is None else block.others.by_witnesses.situation
            for block in (kept, live)
        )
        assert (one is None) == (other is None)
        if one is not None and other is not None:
            doubted += 1
            np.testing.assert_allclose(one.tide[0], other.tide[row], atol=1e-5)
            assert abs(one.tide[0] - kept.situation.tide[0]) > 1.0
    assert doubted >= 5


def test_who_looked_at_a_gauge_stands_in_the_log_and_on_record(tmp_path: Path) -> None:
    folder = tmp_path / "record"
    watch = Watch(flood_stay(tmp_path), folder).run(20, {10: JudgeChannel("tide", "gauge", "AB")})
    watch.kill()
    words = [(event.event, event.subject, event.text) for event in watch.last.log]
    assert ("accepted", "tide", "Looked: gauge tide is right (AB)") in words
    with RecordReader(folder) as record:
        assert [done.action for done in record.actions()] == [JudgeChannel("tide", "gauge", "AB")]
        assert ("accepted", "Looked: gauge tide is right (AB)") in [
            (event.event, event.text) for _, event in record.events()
        ]
