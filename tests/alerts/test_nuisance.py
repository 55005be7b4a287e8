"""Chatter, flood and lost inputs: what keeps a list of alerts fit to be read. The counts are common practice
of alarm management, no source read."""

from itertools import pairwise

import numpy as np

from alongside.alerts.event_text import refreshed
from alongside.alerts.model import Standing
from alongside.alerts.order import groups_of, worst_first
from alongside.alerts.rule_model import AssessedInstant
from alongside.stay.stage import Stage
from tests.alerts.bridge import START, Bridge


def chattering(bridge: Bridge, start: int, stage: str, times: int) -> Bridge:
    """On for four seconds, off for sixteen."""
    for turn in range(times):
        bridge.until(start + 20 * turn - 1).say(stage)
        bridge.until(start + 20 * turn + 3).say("normal")
    return bridge.until(start + 20 * (times - 1) + 4)


def test_the_third_rise_within_a_minute_is_raised_at_once_and_held() -> None:
    bridge = chattering(Bridge(("steep",)), 100, "warning", 2)
    assert bridge.log() == []
    bridge = chattering(Bridge(("steep",)), 100, "warning", 3)
    assert bridge.log() == [(140, "raised", "warning")]
    assert bridge.alert.held
    assert "comes and goes" in bridge.alert.text
    assert "comes and goes" in bridge.events[0].text


def test_a_held_alert_ends_when_steady_for_five_minutes() -> None:
    bridge = chattering(Bridge(("steep",)), 100, "warning", 3).until(439)
    assert bridge.alert.held
    assert bridge.until(440).log()[1:] == [(440, "rectified", "warning")]
    assert not bridge.alert.held


def test_every_further_rise_holds_it_longer() -> None:
    bridge = chattering(Bridge(("steep",)), 100, "warning", 3).until(399).say("warning").until(403)
    bridge.say("normal").until(699)
    assert bridge.alert.held
    assert bridge.until(700).standing is Standing.RECTIFIED


def test_an_active_alert_that_comes_and_goes_is_held() -> None:
    bridge = Bridge(("steep",)).say("warning").until(30)
    chattering(bridge, 40, "normal", 1)
    bridge.until(45).say("warning").until(50).say("normal").until(55).say("warning").until(60)
    bridge.say("normal").until(65).say("warning").until(70).say("normal").until(300)
    assert bridge.alert.held
    assert bridge.alert.stage is Stage.WARNING


def test_worsening_step_by_step_is_not_chatter() -> None:
    bridge = Bridge().say("caution").until(60).say("warning").until(80).say("alarm").until(90)
    assert not bridge.alert.held


def test_more_than_ten_new_alerts_in_ten_minutes_are_grouped_by_cause() -> None:
    subjects = tuple("abcdef")
    bridge = Bridge(("steep", "slack"), subjects)
    for k in range(10):
        bridge.say("warning", k).until(30 * (k + 1))
    assert groups_of(bridge.watch) == ()
    bridge.say("alarm", 10).until(310)
    groups = groups_of(bridge.watch)
    assert [(group.cause, group.stage, len(group.alerts)) for group in groups] == [
        ("slack", Stage.ALARM, 5),
        ("steep", Stage.WARNING, 6),
    ]


def test_a_flood_ends_when_fewer_than_five_are_new() -> None:
    bridge = Bridge(("steep",), tuple("abcdefghijk"))
    for k in range(11):
        bridge.say("warning", k).until(30 * (k + 1))
    # raised at 15, 45, 75, … 315; the seventh leaves the last ten minutes at 195 + 600
    assert bridge.until(794).watch.flood
    assert not bridge.until(796).watch.flood


def test_input_lost_suspends_the_alert_and_its_clocks() -> None:
    bridge = Bridge().say("warning").until(75).say("unknown").until(1000)
    assert bridge.alert.suspended
    assert not bridge.alert.flashes
    assert bridge.alert.stage is Stage.WARNING
    assert bridge.log() == [(15, "raised", "warning")]
    assert sorted(bridge.sounds) == [15, 75]
    # lost at 76 with 59 s to go to its escalation
    bridge.say("warning").until(1059)
    assert not bridge.alert.suspended
    assert bridge.alert.stage is Stage.WARNING
    assert bridge.until(1060).log()[1:] == [(1060, "escalated", "alarm")]


def test_an_input_that_comes_back_normal_clears_after_the_whole_off_delay() -> None:
    bridge = Bridge(("steep",)).say("warning").until(15).acknowledge(16).say("normal").until(70)
    bridge.say("unknown").until(500).say("normal").until(560)
    assert bridge.alert.stage is Stage.WARNING
    assert bridge.until(561).log()[2:] == [(561, "cleared", "warning")]


def test_an_input_lost_while_a_delay_runs_starts_it_anew() -> None:
    bridge = Bridge().say("warning").until(10).say("unknown").until(12).say("warning").until(27)
    assert bridge.log() == []
    assert bridge.until(28).log() == [(28, "raised", "warning")]


def test_worst_first_unacknowledged_before_acknowledged_newest_first() -> None:
    bridge = Bridge(("steep",), ("a", "b", "c", "d"))
    bridge.say("warning", 0).until(20).say("warning", 1).until(40).say("warning", 2).until(60)
    bridge.say("alarm", 3).until(70).acknowledge(71, k=2)
    assert [alert.subject for alert in worst_first(bridge.watch)] == ["d", "b", "a", "c"]


def seen(bridge: Bridge, value: float) -> AssessedInstant:
    nothing = np.zeros(1, dtype=np.int8)
    return AssessedInstant(START, bridge.rules, np.array([value]), nothing, nothing)


def test_shown_texts_and_values_are_those_of_now() -> None:
    bridge = Bridge(("steep",)).say("warning").until(15)
    shown = refreshed(bridge.watch, seen(bridge, 0.97), lambda _k, stage, _onset: f"97 {stage.word}")
    (alert,) = shown.alerts.values()
    assert (alert.value, alert.text) == (0.97, "97 warning")
    lost = bridge.say("unknown").until(20)
    (alert,) = refreshed(lost.watch, seen(bridge, np.nan), lambda _k, _s, _onset: "-").alerts.values()
    assert alert.text.endswith("input lost")


def test_a_slack_caution_outlasts_the_gusts_and_a_slack_warning_does_not() -> None:
    bridge = Bridge(("slack",)).say("caution").until(60).say("normal").until(359)
    assert bridge.log() == [(60, "raised", "caution")]
    assert bridge.until(361).log()[1:] == [(361, "cleared", "caution")]
    eased = Bridge(("slack",)).say("warning").until(15).acknowledge(16).say("caution").until(80)
    assert eased.log()[2:] == [(77, "eased", "caution")]


def test_a_wind_that_is_too_much_again_within_ten_minutes_is_the_same_alert() -> None:
    bridge = Bridge(("holding",)).say("caution").until(60)
    for lull in range(100, 3000, 500):
        bridge.say("normal").until(lull).say("caution").until(lull + 20)
    assert bridge.log() == [(60, "raised", "caution")]
    assert bridge.say("normal").until(4000).log()[1:] == [(3221, "cleared", "caution")]


def test_a_stage_is_told_with_the_value_that_reached_it() -> None:
    bridge = Bridge(("steep",)).say("warning").until(5).say("caution", keep="warning").until(15)
    (raised,) = bridge.events
    assert (raised.event, raised.value, raised.limit) == ("raised", 0.9, 0.85)


def test_three_alarms_beat_as_one_every_ten_seconds() -> None:
    """Raised at different seconds, each is heard when it comes; then one beat for all of them."""
    bridge = Bridge(subjects=("3", "4", "5"))
    for k, second in enumerate((0, 3, 7)):
        bridge.until(second).say("alarm", k)
    last = max(event.time for event in bridge.until(20).events if event.event == "raised") - START
    beats = sorted(second for second in bridge.until(120).sounds if second >= last)
    assert len(bridge.watch.alerts) == 3
    assert [after - before for before, after in pairwise(beats)] == [10] * (len(beats) - 1)
    assert len(beats) >= 10
    assert all(bridge.sounds[second] is Stage.ALARM for second in beats)


def test_warnings_beside_an_alarm_add_no_beat() -> None:
    bridge = Bridge(("steep",), ("3", "4", "5")).say("warning").until(30).say("alarm", 1).until(200)
    beats = sorted(second for second in bridge.sounds if second > 40)
    assert {bridge.sounds[second] for second in beats} == {Stage.ALARM}
    assert all(after - before >= 10 for before, after in pairwise(beats))
