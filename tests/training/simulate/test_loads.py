"""Load cells of a simulated stay read what the mechanics make of the lines."""

from dataclasses import replace

import numpy as np
import pytest

from alongside.stay.model import Bollard, Feed, LateEntry, Line, MadeFast, Point, Rope, Source, Tend
from alongside.training.simulate.log import simulate
from alongside.training.simulate.truth import Truth
from tests.training.simulate.conftest import START

ROPE = Rope("test rope", "synthetic", 400.0, ((0.0, 0.0), (8.0, 0.5), (14.0, 1.0)), 0.5)


@pytest.fixture
def one_line(stay):
    """One breast line, fast half an hour after the start at the tide and draughts of that time, tended
    to 50 kN at 05:00."""
    fast = MadeFast(START + 1800.0, 40.0, None, None, None, None)
    tended = (Tend("1", START + 7200.0, to_tension_kn=50.0),)
    line = Line("1", "breast", "F", None, "B", ROPE, None, fast, tended)
    ship = replace(stay.ship, fairleads={"F": Point(80.0, -9.5, 10.5)})
    berth = replace(stay.berth, bollards={"B": Bollard(Point(90.0, -12.0, 6.0))})
    cell = Source("tension.1", sentence="XDR", names=("HOOK1",), scale=0.001)
    return replace(
        stay, ship=ship, berth=berth, lines=(line,), feeds=(Feed("hooks", "serial:/dev/x", (cell,)),)
    )


def test_tension_before_and_after_making_fast_and_tending(one_line):
    truth = Truth(one_line, one_line.simulate, ["tension.1"])
    seconds = np.array([0.0, 1795.0, 1800.0, 3600.0])
    first = truth.next_block(START + seconds)["tension.1"]
    np.testing.assert_allclose(first[:3], [0.0, 0.0, 40.0], atol=1e-6)
    assert first[3] > 45.0  # the flood takes it up
    later = truth.next_block(START + np.array([7195.0, 7200.0]))["tension.1"]
    assert abs(later[0] - 50.0) > 5.0
    assert later[1] == pytest.approx(50.0, abs=1e-6)


def test_load_cell_writes_newtons(one_line):
    lines = list(simulate(one_line))
    raw = {int(line.split(b"c:")[1].split(b"*")[0]): float(line.split(b",")[3]) for line in lines}
    assert raw[int(START)] == pytest.approx(0.0, abs=2500.0)
    assert raw[int(START) + 1800] == pytest.approx(40_000.0, abs=2500.0)
    assert raw[int(START) + 7200] == pytest.approx(50_000.0, abs=2500.0)


def test_no_tension_is_calculated_that_nobody_asks_for(one_line):
    channels = Truth(one_line, one_line.simulate).next_block(START + np.array([0.0]))
    assert "tension.1" not in channels


def test_what_is_entered_late_reaches_the_load_cell_when_it_was_done(one_line):
    late = LateEntry("1", entered=START + 7200.0, done=START + 5400.0)
    entered_late = replace(one_line, simulate=replace(one_line.simulate, entered_late=(late,)))
    time = START + np.array([1800.0, 5395.0, 5400.0, 7195.0, 7200.0])
    done, entered = (
        Truth(stay, stay.simulate, ["tension.1"]).next_block(time) for stay in (entered_late, one_line)
    )
    np.testing.assert_allclose(done["tension.1"][:2], entered["tension.1"][:2])
    assert done["tension.1"][2] == pytest.approx(50.0, abs=1e-6)
    assert abs(entered["tension.1"][3] - done["tension.1"][3]) > 1.0
    assert abs(done["tension.1"][4] - 50.0) > 1.0  # nobody touched it again
