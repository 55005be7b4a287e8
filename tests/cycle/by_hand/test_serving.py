"""What is read by hand serves: without any feed, beside a feed, apart from one; taken back; resumed."""

from dataclasses import replace
from itertools import pairwise
from math import hypot, isnan

import numpy as np
import pytest

from alongside.actions import Action, Correct, JudgeChannel, ReadByHand
from alongside.cycle.advance import advance
from alongside.cycle.block import Block
from alongside.cycle.memory import Memory
from alongside.cycle.plausibility.by_hand import HandReading, carried_by_hand, sigma_of
from alongside.cycle.plausibility.sigmas import GAUGE
from alongside.forecast.basis import Basis
from alongside.readings import Floats, Quality, Readings, Reason
from alongside.record.codec import from_text, to_text
from alongside.stay.model import Stay
from tests.cycle.plausibility.made import BEGIN, COASTER, as_readings, instants, quiet, witnesses_of

WIND = ("wind_speed", "wind_from")
BLIND = replace(
    COASTER,
    feeds=tuple(
        replace(feed, channels=tuple(each for each in feed.channels if each.channel in WIND))
        for feed in COASTER.feeds
    ),
)
NO_FEED = replace(COASTER, feeds=())


def nothing(time: Floats) -> Readings:
    empty = np.empty((time.size, 0))
    codes = empty.astype(np.int8)
    return Readings(time, (), empty, codes, codes, empty)


def lived(
    stay: Stay, readings: Readings, acts: dict[int, list[Action]] | None = None
) -> tuple[list[Block], Memory]:
    basis, memory, blocks = Basis.of(stay), Memory.at_start(stay), []
    edges = sorted({0, len(readings), *(acts or {})})
    for start, stop in pairwise(edges):
        memory, block = advance(basis, memory, readings.rows(start, stop), (acts or {}).get(start, []))
        blocks.append(block)
    return blocks, memory


def of(block: Block, channel: str, row: int = -1) -> tuple[float, Quality, Reason, float, float]:
    at, seen = block.readings.channels.index(channel), block.readings
    spread = float("nan") if seen.spread is None else float(seen.spread[row, at])
    quality, reason = Quality(int(seen.quality[row, at])), Reason(int(seen.reason[row, at]))
    return float(seen.value[row, at]), quality, reason, spread, float(seen.age[row, at])


def read(at: float, way: str = "quay", waves: float = 0.0, **values: float) -> ReadByHand:
    return ReadByHand(tuple(values.items()), at, way, waves, "TK")  # type: ignore[arg-type]


def test_without_any_feed_table_plan_and_stay_file_serve_from_the_start() -> None:
    time = instants(1.0)
    (block,), _ = lived(NO_FEED, nothing(time))
    tide, quality, reason, spread, _ = of(block, "tide")
    assert tide == pytest.approx(witnesses_of().table(time)[-1])
    assert (quality, reason) == (Quality.EXPECTED, Reason.EXPECTED)
    assert spread >= 0.36
    assert np.isfinite(block.hold.lines.tension_kn[-1]).all(), "loads are known"
    fwd, quality, reason, *_ = of(block, "draught_fwd")
    assert fwd == pytest.approx(witnesses_of().draughts(time)[-1, 0])
    assert (quality, reason) == (Quality.EXPECTED, Reason.EXPECTED)


def test_a_reading_serves_from_the_cycle_on_in_which_it_is_entered() -> None:
    time = instants(3.0)
    done = read(float(time[60]), tide=3.0, draught_fwd=2.75, draught_aft=3.40)
    blocks, memory = lived(NO_FEED, nothing(time), {60: [done]})
    assert of(blocks[0], "draught_fwd")[2] is Reason.EXPECTED
    value, quality, reason, spread, age = of(blocks[1], "draught_fwd", 0)
    assert (value, quality, reason, age) == (2.75, Quality.EXPECTED, Reason.BY_HAND, 0.0)
    assert spread == pytest.approx(0.025)
    later, _, _, wider, age = of(blocks[1], "draught_fwd")
    moved = witnesses_of().draughts(time)[-1, 0] - witnesses_of().draughts(time)[60, 0]
    assert later == pytest.approx(2.75 + moved)
    assert age == time[-1] - time[60]
    hours = age / 3600.0
    assert wider == pytest.approx(hypot(0.025, max(0.15 * abs(moved), 0.02 * hours)))
    events = [event for event in blocks[1].events if event.event == "reading"]
    assert [event.subject for event in events] == ["tide", "draught_fwd", "draught_aft"]
    assert events[1].text.startswith("Read by hand: draught forward 2.75 m at ")
    assert events[1].text.endswith("from the quay (TK)")
    assert blocks[1].readings.why("draught_fwd", -1).startswith("by hand ")
    assert len(memory.by_hand) == 3


@pytest.mark.parametrize(
    ("way", "waves", "sigma"),
    [("boat", 0.0, 0.01), ("quay", 0.0, 0.025), ("waves", 0.5, 0.05), ("quay", 0.6, 0.06)],
)
def test_the_spread_goes_by_how_it_was_read(way: str, waves: float, sigma: float) -> None:
    assert sigma_of("draught_fwd", way, waves) == pytest.approx(sigma)


def test_the_last_of_several_readings_serves_whatever_order_they_came_in() -> None:
    time = instants(2.0)
    late = [read(float(time[50]), draught_fwd=2.70), read(float(time[20]), draught_fwd=2.60)]
    blocks, _ = lived(NO_FEED, nothing(time), {60: late})
    assert of(blocks[1], "draught_fwd", 0)[4] == time[60] - time[50]


def test_where_a_gauge_falls_silent_the_smaller_spread_serves() -> None:
    time = instants(4.0)
    columns = quiet(time)
    columns["draught_fwd"][30:] = np.nan
    blocks, _ = lived(COASTER, as_readings(time, columns), {120: [read(float(time[120]), draught_fwd=2.62)]})
    assert of(blocks[0], "draught_fwd")[2] is Reason.EXPECTED
    value, quality, reason, spread, _ = of(blocks[1], "draught_fwd", 0)
    assert (value, quality, reason) == (2.62, Quality.EXPECTED, Reason.BY_HAND)
    assert spread < of(blocks[0], "draught_fwd")[3]
    assert not [event for block in blocks[1:] for event in block.events if event.event == "feed_back"]


def test_a_better_reading_goes_before_a_good_gauge_until_it_is_older() -> None:
    time = instants(4.0)
    columns = quiet(time)
    boat = read(float(time[60]), "boat", draught_fwd=float(columns["draught_fwd"][60]) + 0.01)
    blocks, _ = lived(COASTER, as_readings(time, columns), {60: [boat]})
    assert of(blocks[1], "draught_fwd", 0)[2] is Reason.BY_HAND
    assert of(blocks[1], "draught_fwd")[1] is Quality.GOOD, "its spread has grown"
    assert not [event for event in blocks[1].events if event.event == "feed_lost" or event.alert == "feed"]
    quay = read(float(time[60]), "quay", waves=0.5, draught_fwd=float(columns["draught_fwd"][60]) + 0.01)
    blocks, _ = lived(COASTER, as_readings(time, columns), {60: [quay]})
    assert of(blocks[1], "draught_fwd", 0)[1] is Quality.GOOD, "the gauge is better"


def apart() -> tuple[Floats, Readings, ReadByHand]:
    time = instants(2.0)
    columns = quiet(time)
    return (
        time,
        as_readings(time, columns),
        read(float(time[60]), draught_fwd=columns["draught_fwd"][60] - 0.2),
    )


def test_more_than_three_sigma_apart_both_are_doubtful_and_the_worse_is_alerted() -> None:
    _, readings, done = apart()
    assert 3.0 * hypot(GAUGE["draught_fwd"], 0.025) < 0.2
    blocks, _ = lived(COASTER, readings, {60: [done]})
    value, quality, reason, *_ = of(blocks[1], "draught_fwd", 5)
    assert (quality, reason) == (Quality.SUSPECT, Reason.APART)
    assert value == pytest.approx(readings.value[65, 1])
    other = blocks[1].others.by_witnesses
    assert other is not None
    assert other.situation.draught_fwd[5] == pytest.approx(value - 0.2, abs=0.03)
    doubts = [doubt for doubt in blocks[1].doubts if doubt.channel == "draught_fwd"]
    assert [doubt.against for doubt in doubts] == ["hand"]
    assert of(blocks[1], "draught_fwd")[1] is Quality.SUSPECT, (
        "an hour later too: growing spread ends no doubt"
    )


def test_a_better_reading_that_stands_apart_never_serves_unopposed() -> None:
    """Between the minutes at which channels are judged the gauge stays."""
    time = instants(1.0, 20.0)
    columns = quiet(time)
    boat = read(float(time[100]), "boat", draught_fwd=columns["draught_fwd"][100] - 0.3)
    blocks, _ = lived(COASTER, as_readings(time, columns), {100: [boat]})
    for row in range(10):
        value, quality, *_ = of(blocks[1], "draught_fwd", row)
        assert value == columns["draught_fwd"][100 + row]
        assert quality is (Quality.GOOD if row < 2 else Quality.SUSPECT)


@pytest.mark.slow
@pytest.mark.parametrize(("pace", "doubted"), [(0.0, False), (2.0, False), (-2.0, True)])
def test_a_gang_that_stops_after_a_reading_casts_no_doubt_on_the_gauge(pace: float, doubted: bool) -> None:
    time = instants(6.0)
    columns = quiet(time)
    planned = witnesses_of().draughts(time)[:, 0]
    columns["draught_fwd"][60:] += (pace - 1.0) * (planned[60:] - planned[60])
    done = read(float(time[60]), draught_fwd=float(planned[60]))
    blocks, _ = lived(COASTER, as_readings(time, columns), {60: [done]})
    at = blocks[1].readings.channels.index("draught_fwd")
    assert abs(planned[-1] - planned[60]) > 0.2, "the plan goes on"
    assert (blocks[1].readings.reason[:, at] == Reason.APART).any() == doubted


@pytest.mark.parametrize("right", ["gauge", "witness"])
def test_the_officer_chooses_between_gauge_and_reading(right: str) -> None:
    _, readings, done = apart()
    choice = JudgeChannel("draught_fwd", right, "TK")  # type: ignore[arg-type]
    blocks, memory = lived(COASTER, readings, {60: [done], 70: [choice]})
    _, quality, reason, *_ = of(blocks[2], "draught_fwd", 3)
    if right == "gauge":
        assert quality is Quality.GOOD
        assert not memory.by_hand, "the reading is dropped"
        assert not blocks[2].doubts
    else:
        assert (quality, reason) == (Quality.EXPECTED, Reason.BY_HAND)


@pytest.mark.slow
def test_a_gauge_that_another_witness_doubts_stands_back_for_a_reading_that_agrees() -> None:
    time = instants(3.0)
    columns = quiet(time)
    columns["tide"][60:] += 1.5
    real = float(witnesses_of().table(time)[90])
    blocks, _ = lived(COASTER, as_readings(time, columns), {90: [read(float(time[90]), tide=real)]})
    assert of(blocks[0], "tide")[1] is Quality.SUSPECT
    assert of(blocks[1], "tide", 2)[2] in (Reason.APART, Reason.JUMPED)
    choice = {90: [read(float(time[90]), tide=real)], 95: [JudgeChannel("tide", "witness", "TK")]}
    blocks, _ = lived(COASTER, as_readings(time, columns), choice)
    value, quality, reason, *_ = of(blocks[2], "tide", 2)
    assert (quality, reason) == (Quality.EXPECTED, Reason.BY_HAND)
    assert value == pytest.approx(witnesses_of().table(time)[97], abs=0.01)


def test_a_correction_takes_back_the_last_reading_and_is_on_record() -> None:
    time = instants(2.0)
    acts: dict[int, list[Action]] = {
        30: [read(float(time[30]), draught_fwd=2.70)],
        60: [read(float(time[60]), draught_fwd=7.20)],
        62: [Correct("draught_fwd", "TK")],
    }
    blocks, memory = lived(NO_FEED, nothing(time), acts)
    assert of(blocks[2], "draught_fwd", 0)[0] == 7.20
    assert of(blocks[3], "draught_fwd", 0)[4] == time[62] - time[30]
    (event,) = [event for event in blocks[3].events if event.event == "reading"]
    assert event.text.startswith("Reading taken back: draught forward 7.20 m")
    assert [each.value for each in memory.by_hand] == [2.70]
    blocks, _ = lived(NO_FEED, nothing(time), {5: [Correct("tide", "TK")]})
    assert not [event for event in blocks[1].events if event.event == "reading"], "nothing to take back"


def test_what_makes_a_pair_is_taken_back_together() -> None:
    time = instants(1.0)
    done = read(float(time[10]), wind_speed=12.0, wind_from=270.0, heel=1.0)
    acts: dict[int, list[Action]] = {10: [done], 12: [Correct("wind_speed", "TK")]}
    blocks, memory = lived(NO_FEED, nothing(time), acts)
    assert [each.channel for each in memory.by_hand] == ["heel"]
    assert len([event for event in blocks[2].events if event.event == "reading"]) == 2


def test_the_same_reading_twice_is_one() -> None:
    time = instants(1.0)
    once = read(float(time[10]), draught_fwd=2.70)
    blocks, memory = lived(NO_FEED, nothing(time), {10: [once], 11: [once]})
    assert len(memory.by_hand) == 1
    assert not [event for event in blocks[2].events if event.event == "reading"]


@pytest.mark.slow
@pytest.mark.parametrize("cut", [61, 75, 100])
def test_however_it_is_cut_and_resumed_it_is_the_same(cut: int) -> None:
    time, readings, done = apart()
    basis = Basis.of(COASTER)
    whole, _ = lived(COASTER, readings, {60: [done]})
    memory, _ = advance(basis, Memory.at_start(COASTER), readings.rows(0, 60))
    memory, first = advance(basis, memory, readings.rows(60, cut), [done])
    back = from_text(Memory, to_text(memory))
    assert back.by_hand == memory.by_hand
    _, second = advance(basis, back, readings.rows(cut, len(readings)))
    joined = np.concatenate([first.readings.value, second.readings.value])
    np.testing.assert_array_equal(joined, whole[1].readings.value)
    joined = np.concatenate([first.readings.reason, second.readings.reason])
    np.testing.assert_array_equal(joined, whole[1].readings.reason)
    assert time.size == len(readings)


def test_a_record_without_readings_by_hand_goes_on() -> None:
    text = to_text(Memory.at_start(COASTER)).replace(',"by_hand":[]', "")
    assert "by_hand" not in text
    assert from_text(Memory, text).by_hand == ()


def test_a_reading_of_a_day_ago_says_nothing_any_more() -> None:
    time = BEGIN + np.array([0.0, 23.9, 24.1]) * 3600.0
    carried = carried_by_hand(witnesses_of(), (HandReading("tide", BEGIN, 3.0, 0.025),), "tide", time)
    assert [isnan(each) for each in carried.level.tolist()] == [False, False, True]
    before = carried_by_hand(witnesses_of(), (HandReading("tide", BEGIN, 3.0, 0.025),), "tide", time - 60.0)
    assert isnan(before.level[0]), "nothing before it was read"


def test_heel_and_wind_are_read_where_no_gauge_is() -> None:
    time = instants(1.0)
    done = read(float(time[10]), heel=1.5, wind_speed=12.0, wind_from=270.0)
    blocks, _ = lived(NO_FEED, nothing(time), {10: [done]})
    assert blocks[0].situation.heel_deg[-1] == 0.0
    assert blocks[1].situation.heel_deg[0] == 1.5
    assert blocks[1].situation.wind_speed[0] == 12.0
    assert isnan(blocks[0].situation.wind_speed[-1])
