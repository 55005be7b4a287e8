"""When the next reading by hand is due, and what is said of it."""

from dataclasses import replace
from math import nan

import pytest

from alongside.actions import ReadByHand
from alongside.cycle.advance import advance
from alongside.cycle.advice.advise import advise
from alongside.cycle.advice.scene import Scene
from alongside.cycle.memory import Memory
from alongside.cycle.picture import Advice, ChannelRow, Picture
from alongside.cycle.plausibility.by_hand import HandReading
from alongside.cycle.readings_needed import only_at_an_end
from alongside.forecast.basis import Basis
from alongside.mechanics.keel import under_keel_m
from alongside.readings import Quality, Reason
from alongside.reports.handover import handover_text
from alongside.runtime.picture_maker import PictureMaker
from alongside.stay.model import ByHand, StageLimits, Stay
from alongside.stay.stage import Stage
from tests.cycle.by_hand.test_serving import NO_FEED, nothing
from tests.cycle.plausibility.made import COASTER, as_readings, instants, quiet
from tests.cycle.test_advice import NOW, STAY, alert, line

BARE = replace(STAY, feeds=(), tide=COASTER.tide)
HOUR = 3600.0


def by_hand(name: str, age: float, spread: float = 0.03) -> ChannelRow:
    return ChannelRow(name, "", 2.0, Quality.EXPECTED, Reason.BY_HAND, age, "by hand 04:00", spread)


def by_table() -> ChannelRow:
    return ChannelRow("tide", "", 2.0, Quality.EXPECTED, Reason.EXPECTED, nan, "", 0.36)


def watched(ages: dict[str, float], stay: Stay = BARE, **more: object) -> Advice:
    """Advice where channels were read so long ago, seconds; the tide by table where it is not among them."""
    channels = [by_hand(name, age) for name, age in ages.items()]
    channels += [] if "tide" in ages else [by_table()]
    unmeasured = tuple(dict.fromkeys((*ages, "tide")))
    scene = Scene(stay, NOW, [line("1"), line("3", 0.54)], (), channels, unmeasured=unmeasured)
    return advise(replace(scene, **more))  # type: ignore[arg-type]


def all_read(age: float) -> dict[str, float]:
    return dict.fromkeys(("draught_fwd", "draught_aft", "tide"), age)


def test_a_table_is_no_reading() -> None:
    advice = watched({"draught_fwd": 60.0, "draught_aft": 60.0})
    assert (advice.large, advice.stage) == ("READ TIDE BOARD", Stage.CAUTION)
    assert advice.text == "Read tide board: not read yet"


def test_before_it_is_due_it_stands_there_with_its_time() -> None:
    advice = watched(all_read(1800.0))
    assert (advice.large, advice.by, advice.stage) == ("READ DRAUGHTS", "07:30", Stage.NORMAL)
    assert advice.text == (
        "Nothing to do: 2 lines within limits, highest stretch 54 % (line 3); "
        "read draughts and tide board by 07:30"
    )


@pytest.mark.parametrize(("every_min", "due"), [(120.0, True), (121.0, False), (60.0, True)])
def test_it_is_due_at_the_interval_of_the_stay_file(every_min: float, due: bool) -> None:
    advice = watched(all_read(2 * HOUR), replace(BARE, by_hand=ByHand(every_min)))
    assert (advice.stage is Stage.CAUTION) == due
    if due:
        assert advice.text.startswith("Read draughts and tide board: read 04:00, due ")


def test_nobody_is_reminded_where_the_file_says_never() -> None:
    advice = watched(all_read(20 * HOUR), replace(BARE, by_hand=ByHand(None)))
    assert (advice.large, advice.stage) == ("CHECK LINES", Stage.NORMAL), "never all normal, never empty"


@pytest.mark.parametrize(("age", "due"), [(29 * 60.0, False), (31 * 60.0, True)])
def test_it_is_due_sooner_where_the_spread_reaches_a_limit(age: float, due: bool) -> None:
    advice = watched(all_read(age), only_at_an_end={("under_keel", "")})
    assert (advice.stage is Stage.CAUTION) == due
    if due:
        assert advice.text.endswith("the spread since then reaches a limit")


def test_only_what_is_wide_is_read_sooner() -> None:
    channels = [by_hand("draught_fwd", HOUR, 0.2), by_hand("draught_aft", HOUR, 0.2), by_hand("tide", HOUR)]
    advice = watched(all_read(HOUR), channels=channels, only_at_an_end={("under_keel", "")})
    assert advice.text.startswith("Read draughts: read 05:00, the spread")


def test_a_caution_stands_behind_it_a_warning_before_it() -> None:
    steep = alert("steep", "1", Stage.CAUTION, 26.0)
    advice = watched(all_read(3 * HOUR), alerts=[steep])
    assert advice.large == "READ DRAUGHTS"
    assert advice.text.endswith("; 1 more alert")
    stretch = alert("stretch", "1", Stage.WARNING, 0.9)
    advice = watched(all_read(3 * HOUR), alerts=[stretch])
    assert advice.large != "READ DRAUGHTS"
    assert "; read draughts" in advice.text


def test_what_only_an_end_of_the_spread_calls_for_is_read_first() -> None:
    stretch = alert("stretch", "1", Stage.ALARM, 1.28, text="Line 1 stretch 128 % (limit 100 %)")
    at_an_end = {"alerts": [stretch], "only_at_an_end": {stretch.key}}
    advice = watched(all_read(11 * 60.0), **at_an_end)  # type: ignore[arg-type]
    assert (advice.large, advice.stage) == ("READ DRAUGHTS", Stage.ALARM)
    first = "Read draughts and tide board first: line 1 stretch 128 % (limit 100 %) at worst"
    assert advice.text == first
    just_read = watched(all_read(9 * 60.0), **at_an_end)  # type: ignore[arg-type]
    assert just_read.large != "READ DRAUGHTS", "what was read just now is read no better"
    assert watched(all_read(3 * HOUR), alerts=[stretch]).large != "READ DRAUGHTS", "by the figure itself"


def test_a_tide_without_a_table_is_read_before_it_serves_no_more() -> None:
    stay = replace(BARE, tide=None)
    assert watched(all_read(44 * 60.0), stay).stage is Stage.NORMAL
    assert watched(all_read(46 * 60.0), stay).text.startswith("Read tide board: read ")
    gone = tuple(HandReading(name, NOW - 2 * HOUR, 2.0, 0.02) for name in all_read(0.0))
    unknown = replace(line("1"), tension_kn=nan, stage=None)
    advice = watched({}, stay, channels=[], by_hand=gone, lines=[unknown], unmeasured=tuple(all_read(0.0)))
    assert advice.text == "Read draughts and tide board: no load is known before; check lines by eye"
    assert advice.stage is Stage.WARNING


CALM = replace(NO_FEED, limits=replace(NO_FEED.limits, steep_deg=StageLimits(), slack_share=StageLimits()))


def picture(stay: Stay, by_feeds: bool, acts: tuple[ReadByHand, ...], minutes: int) -> Picture:
    time = instants(minutes / 60.0)
    readings = as_readings(time, quiet(time)) if by_feeds else nothing(time)
    basis = Basis.of(stay)
    memory, block = advance(basis, Memory.at_start(stay), readings, acts)
    maker = PictureMaker(basis, readings.channels, looks_ahead=False)
    maker.add(block)
    seen = maker.picture(memory, ())
    assert seen is not None
    return seen


@pytest.mark.slow
def test_a_watch_without_gauges_is_told_to_read_and_then_when() -> None:
    assert picture(CALM, False, (), 5).advice.large == "READ TIDE BOARD", "draughts are the stay file's"
    begin = float(instants(1.0)[0])
    read = ReadByHand((("tide", 4.6), ("draught_fwd", 2.6), ("draught_aft", 3.3)), begin, by="TK")
    assert "by 09:30" in picture(CALM, False, (read,), 5).advice.text
    assert picture(CALM, False, (read,), 125).advice.large == "READ DRAUGHTS"


@pytest.mark.slow
@pytest.mark.parametrize(("off", "matters"), [(0.02, True), (0.6, False), (-0.02, False)])
def test_the_spread_matters_where_only_its_end_reaches_the_limit(off: float, matters: bool) -> None:
    time = instants(0.5)
    act = ReadByHand((("tide", 4.6), ("draught_fwd", 2.6), ("draught_aft", 3.3)), float(time[0]), by="TK")
    seen = picture(CALM, False, (act,), 30)
    depth = CALM.berth.charted_depth
    assert depth is not None
    under_keel = under_keel_m(CALM.ship, depth, seen.tide, seen.draught_fwd, seen.draught_aft, 0.0)
    limits = replace(
        CALM.limits, under_keel_m=StageLimits(float(under_keel) - off), stretch_share=StageLimits()
    )
    stay = replace(CALM, limits=limits)
    basis = Basis.of(stay)
    _, block = advance(basis, Memory.at_start(stay), nothing(time), (act,))
    assert (("under_keel", "") in only_at_an_end(basis, block)) == matters


def test_gauges_that_are_good_need_no_reading() -> None:
    begin = float(instants(1.0)[0])
    boat = ReadByHand((("draught_fwd", 2.6),), begin, "boat", by="TK")
    seen = picture(COASTER, True, (boat,), 12)
    assert "read" not in seen.advice.text


def test_the_hand_over_has_what_was_read_and_what_goes_by_hand() -> None:
    begin = float(instants(1.0)[0])
    read = ReadByHand((("tide", 4.6), ("draught_fwd", 2.6)), begin, by="TK")
    seen = picture(CALM, False, (read,), 5)
    rows = "\n".join(handover_text(seen, begin))
    assert "Read by hand: draught forward 2.60 m at 07:30 from the quay (TK)" in rows
    assert "tide and draught forward: by hand 07:30" in rows
    assert "draught aft: no gauge, not read; expected from plan and last reading" in rows
    assert "read draughts" in rows
