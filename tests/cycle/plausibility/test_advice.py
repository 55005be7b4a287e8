"""What rests on a doubtful gauge: alerts go on by the worse of gauge and witness, advice waits for a look."""

from itertools import pairwise

import numpy as np
import pytest

from alongside.alerts.model import Event
from alongside.cycle.advance import advance
from alongside.cycle.memory import Memory
from alongside.cycle.picture import Picture
from alongside.forecast.basis import Basis
from alongside.forecast.expected.witnesses import Witnesses
from alongside.forecast.tide.stand_in import Tide
from alongside.readings import Readings
from alongside.reports.json_lines import state_lines
from alongside.runtime.picture_maker import PictureMaker
from alongside.stay.model import Stay
from alongside.stay.stage import Stage
from tests.cycle.plausibility.faults import World, changed, stuck
from tests.cycle.plausibility.heard import example, readings_of

HOUR = 3600.0


def watched(stay: Stay, readings: Readings) -> tuple[list[Picture], list[Event]]:
    """A Picture every ten minutes, and all events."""
    basis = Basis.of(stay)
    memory, maker = Memory.at_start(stay), PictureMaker(basis, readings.channels)
    pictures, events = [], []
    for start, stop in pairwise([*range(0, len(readings), 600), len(readings)]):
        memory, block = advance(basis, memory, readings.rows(start, stop))
        maker.add(block)
        picture = maker.picture(memory, ())
        assert picture is not None
        pictures.append(picture)
        events += block.events
    return pictures, events


def tends(picture: Picture) -> bool:
    return picture.advice.text.startswith(("Slack", "Heave", "Stand by to slack", "Shift", "Round"))


@pytest.fixture(scope="module", params=[0.001, 0.0])
def stuck_tide(request: pytest.FixtureRequest) -> tuple[list[Picture], list[Event], float]:
    """The coaster's tide gauge stuck from three hours on: with a millimetre of jitter, to the last digit."""
    stay, log = example("coaster_quay")
    good = readings_of(stay, log)
    at = float(good.time[0]) + 3 * HOUR
    world = World(Witnesses.of(stay, Tide.of(stay)), good)
    return *watched(stay, readings_of(stay, log, stuck("tide", request.param)(world, at))), at


@pytest.mark.slow
def test_alerts_go_on_by_the_table(stuck_tide: tuple[list[Picture], list[Event], float]) -> None:
    _, events, _ = stuck_tide
    stages = {event.stage for event in events if event.alert == "under_keel" and event.stage}
    assert Stage.ALARM in stages, "0.4 m under the keel at midnight, which the gauge never says"


@pytest.mark.slow
def test_no_line_is_tended_by_a_doubtful_gauge(stuck_tide: tuple[list[Picture], list[Event], float]) -> None:
    pictures, events, at = stuck_tide
    doubted = [picture for picture in pictures if any(doubt.channel == "tide" for doubt in picture.doubts)]
    assert doubted[0].time - at < 2 * HOUR
    assert doubted[-1] is pictures[-1], "and for good"
    assert not [picture.advice.text for picture in doubted if tends(picture)]
    assert {picture.advice.large for picture in doubted} >= {"READ TIDE BOARD"}
    assert any("does not move since" in event.text for event in events if event.alert == "feed")


@pytest.mark.slow
def test_both_figures_stand_beside_each_other(stuck_tide: tuple[list[Picture], list[Event], float]) -> None:
    pictures, _, _ = stuck_tide
    last = pictures[-1]
    assert last.by_witnesses is not None
    assert abs(last.by_witnesses.tide - last.tide) == pytest.approx(abs(last.residual), abs=0.2)
    assert len(last.by_witnesses.stretch_share) == len(last.lines)
    tide = next(row for row in last.channels if row.channel == "tide")
    assert tide.why.startswith("does not move since")
    assert np.isnan(tide.spread)
    assert pictures[3].by_witnesses is None


@pytest.mark.slow
def test_a_jump_is_read_before_it_is_acted_on() -> None:
    stay, log = example("coal_berth")
    good = readings_of(stay, log)
    world = World(Witnesses.of(stay, Tide.of(stay)), good)
    at = float(good.time[0]) + 2 * HOUR
    faults = changed("tide", lambda v: v + 1.5)(world, at)
    readings = readings_of(stay, log, faults).rows(0, int(3.5 * HOUR))
    pictures, _ = watched(stay, readings)
    later = [picture for picture in pictures if picture.time > at + 600.0]
    assert later
    assert all(picture.doubts for picture in later)
    assert not [picture.advice.text for picture in later if tends(picture)]


def test_outputs_say_value_quality_why_and_spread() -> None:
    import json

    stay, log = example("coaster_quay")
    readings = readings_of(stay, log).rows(0, 600)
    basis = Basis.of(stay)
    _, block = advance(basis, Memory.at_start(stay), readings)
    state = json.loads(next(iter(state_lines(basis, block, [599]))))
    assert set(state["channels"]) == set(readings.channels)
    assert state["channels"]["tide"] == {
        "value": state["tide"],
        "quality": "good",
        "why": None,
        "spread": 0.03,
    }
    assert abs(state["tide_residual"]) < 0.1
