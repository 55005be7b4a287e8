"""A rule that watches several things: one more of them that goes wrong is news, though the stage stays.

That an alert which was answered must be answered again when there is more to it: IMO MSC.302(87) asks it of
an alert that worsens; what counts as worse here is ours.
"""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from alongside.actions import Accept, Acknowledge, Action, TakeOver
from alongside.alerts.assess import assess, changed_rows
from alongside.alerts.model import EventWord, Standing, Watchlist
from alongside.alerts.rule_model import Assessment, DueBy, Rule
from alongside.alerts.rules import rules_of
from alongside.alerts.step import step
from alongside.readings import Reason
from alongside.stay.model import Order
from alongside.stay.stage import Stage
from tests.alerts.bridge import START, Bridge
from tests.alerts.scene import findings, invented
from tests.berth import STAY_TEXT, a_stay, sentence
from tests.record.kept import Watch

STAY = invented()
WIND, TIDE, HEEL = 1, 2, 4


def answered() -> Bridge:
    """The wind was lost, and somebody has acknowledged that."""
    bridge = Bridge(("feed",), ("gauges",), slow=False).call(WIND).until(20).acknowledge(30)
    assert bridge.log() == [(15, "raised", "warning"), (30, "acknowledged", "warning")]
    return bridge


def test_a_further_part_must_be_acknowledged_too() -> None:
    bridge = answered().call(WIND | TIDE).until(1031)
    assert bridge.log()[2:] == [(31, "worsened", "warning")]
    assert bridge.standing is Standing.UNACKNOWLEDGED
    assert bridge.sounds[31] is Stage.WARNING
    assert bridge.acknowledge(1032).standing is Standing.ACKNOWLEDGED
    assert bridge.until(3000).log()[-1] == (1032, "acknowledged", "warning")


def test_one_more_while_nobody_has_answered_is_on_record_and_sounds_on() -> None:
    bridge = Bridge(("feed",), ("gauges",), slow=False).call(WIND).until(40).silence(40)
    bridge.call(WIND | TIDE).until(41)
    assert bridge.standing is Standing.UNACKNOWLEDGED
    assert bridge.log()[-1] == (41, "worsened", "warning")


def test_a_part_less_is_no_news_and_the_same_again_only_after_a_quarter_of_an_hour() -> None:
    bridge = answered().call(WIND | TIDE).until(40).acknowledge(41)
    said = len(bridge.events)
    bridge.call(WIND).until(500).call(WIND | TIDE).until(700).call(WIND).until(900).call(TIDE | WIND).until(
        930
    )
    assert len(bridge.events) == said
    assert bridge.standing is Standing.ACKNOWLEDGED
    bridge.call(WIND).until(1000).call(WIND | TIDE).until(1001)
    assert bridge.log()[said:] == [(1001, "worsened", "warning")]


def test_another_part_in_place_of_the_first_is_news() -> None:
    bridge = answered().call(TIDE).until(31)
    assert bridge.log()[2:] == [(31, "worsened", "warning")]


def test_raised_again_for_another_part_it_is_not_as_answered() -> None:
    bridge = answered().call(0).until(100).call(TIDE).until(120)
    assert bridge.log()[2:] == [(91, "cleared", "warning"), (116, "raised", "warning")]
    assert bridge.standing is Standing.UNACKNOWLEDGED
    same = answered().call(0).until(100).call(WIND).until(120)
    assert same.standing is Standing.ACKNOWLEDGED


def accepted() -> Bridge:
    bridge = Bridge(("feed",), ("gauges",), slow=False).call(WIND).until(30)
    accept = Accept("feed", "gauges", START + 7200.0, "vane on deck", "KM")
    assert bridge.until(31, accept).alert.is_accepted
    return bridge


@pytest.mark.parametrize("gap", [0, 200])
def test_accepted_for_one_part_it_is_not_for_another(gap: int) -> None:
    bridge = accepted()
    if gap:
        bridge.call(0).until(31 + gap)
        assert not bridge.watch.alerts
    bridge.call(WIND | HEEL).until(60 + gap)
    assert not bridge.alert.is_accepted
    assert bridge.standing is Standing.UNACKNOWLEDGED
    (ended,) = (event.text for event in bridge.events if event.event == "acceptance_ended")
    assert ended.startswith("No longer accepted, there is more to it: 0 warning")


def test_accepted_anew_by_the_relief_it_is_for_the_same_parts() -> None:
    bridge = accepted().until(40, TakeOver("RB", accepts=True)).call(WIND).until(50)
    assert bridge.alert.is_accepted
    assert not bridge.call(WIND | TIDE).until(51).alert.is_accepted


def due(order: Order, minutes: float) -> DueBy:
    by = START + 60.0 * minutes
    wind = (20.0, 200.0, by + 3600.0)
    return DueBy("disconnect", "disconnect", order, by, 600.0, by + 600.0, 1.0, wind, 18.0)


def test_the_next_order_is_another_part() -> None:
    """The gang was called for in time, that was acknowledged, and so it was given: tugs are due now."""
    rule = Rule("decide", "disconnect", (60.0, 15.0, 0.0), sense=-1, unit="min")
    watch = Watchlist()
    words: list[tuple[float, EventWord]] = []
    steps: list[tuple[float, Order, tuple[Action, ...]]] = [
        (0.0, "gang", ()),
        (20.0, "gang", ()),
        (30.0, "gang", (Acknowledge(*rule.key),)),
        (40.0, "gang", ()),
        (50.0, "tugs", ()),
        (60.0, "tugs", ()),
    ]
    for second, order, actions in steps:
        found = replace(findings(STAY), due=(due(order, 10.0),))
        seen = replace(assess((rule,), found).at(0), time=START + second)
        watch, changes = step(watch, seen, actions)
        words += [(second, each.event.event) for each in changes if each.event is not None]
    assert words == [(20.0, "raised"), (30.0, "acknowledged"), (50.0, "worsened")]


def test_which_channels_are_lost_and_why_there_is_no_answer() -> None:
    """A channel that is lost is a part, one that is late is none; the row at which one more goes is a row at
    which the alerts are stepped."""
    rules = rules_of(STAY)
    place = {rule.key: at for at, rule in enumerate(rules)}
    lost = assess(rules, findings(STAY, spoilt={"tide": Reason.SILENT, "draught_fwd": Reason.STALE}))
    more = assess(rules, findings(STAY, spoilt={"tide": Reason.SILENT, "draught_fwd": Reason.SILENT}))
    at = place["feed", "gauges"]
    one, both = int(lost.parts[at][0]), int(more.parts[at][0])
    assert (one.bit_count(), both.bit_count(), one & both) == (1, 2, one)
    both_rows = Assessment(
        np.concatenate([lost.time, more.time + 1.0]),
        rules,
        np.concatenate([lost.value, lost.value]),
        np.concatenate([lost.level, lost.level]),
        np.concatenate([lost.keep, lost.keep]),
        {at: np.concatenate([lost.parts[at], more.parts[at]])},
    )
    assert changed_rows(both_rows).tolist() == [1]


@pytest.mark.slow
def test_what_was_lost_hours_ago_does_not_hide_what_is_lost_now(tmp_path: Path) -> None:
    """One port for wind and tide: the wind was lost and acknowledged when the tide goes too."""
    wind = "      wind_speed: {sentence: MWV}\n      wind_from: {sentence: MWV}\n"
    aft = "      draught_aft: {sentence: XDR, name: DRA}\n"
    assert aft in STAY_TEXT
    stay = a_stay(tmp_path, STAY_TEXT.replace(aft, aft + wind))
    watch = Watch(stay, tmp_path / "record")

    def run(seconds: int, vane: bool, tide: bool) -> None:
        for _ in range(seconds):
            watch.second += 1.0
            if tide:
                levels = "IIXDR,D,2.000,M,TIDE,D,4.000,M,DRF,D,4.500,M,DRA"
                watch.desk.hear(watch.wall() - 0.25, "gauges", sentence(levels))
            if vane:
                watch.desk.hear(watch.wall() - 0.25, "gauges", sentence("WIMWV,240.0,T,5.0,M,A"))
            watch.desk.cycle()

    run(30, True, True)
    run(240, False, True)
    watch.desk.act(Acknowledge("feed", "gauges", by="KM"))
    run(2, False, True)
    (alert,) = watch.last.alerts
    assert alert.standing is Standing.ACKNOWLEDGED
    run(320, False, False)
    (alert,) = watch.last.alerts
    assert alert.standing is Standing.UNACKNOWLEDGED
    assert alert.text.startswith(
        "Feed gauges: tide no signal since 04:04; wind, wind direction no signal since 04:00"
    )
    assert alert.text.endswith("not watched: all lines, UKC, wind")
    rung = [event for event in watch.last.log if event.event == "worsened" and event.stage is Stage.WARNING]
    assert len(rung) == 2, "once for the wind, once for the tide"
    watch.kill()
    again = Watch(
        a_stay(tmp_path, STAY_TEXT.replace(aft, aft + wind)), tmp_path / "record", watch.second + 5.0
    )
    again.run(3, heard=False)
    assert [each.text for each in again.last.alerts] == [alert.text], "and no other after a restart"
    again.end()
