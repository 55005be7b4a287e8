"""Stages, states and their changes after IMO MSC.302(87), bridge alert management; the delays, repeats and
counts are this program's own (manual/alerts.md)."""

import pytest

from alongside.alerts.model import Standing
from alongside.stay.stage import Stage
from tests.alerts.bridge import Bridge


@pytest.mark.parametrize(("stage", "after"), [("caution", 60), ("warning", 15), ("alarm", 5)])
def test_a_stage_is_raised_when_it_has_lasted(stage: str, after: int) -> None:
    bridge = Bridge().say(stage).until(after - 1)
    assert bridge.log() == []
    assert bridge.until(after).log() == [(after, "raised", stage)]


def test_a_value_that_is_not_slow_raises_its_caution_sooner() -> None:
    assert Bridge(slow=False).say("caution").until(15).log() == [(15, "raised", "caution")]


def test_an_alarm_is_never_delayed_by_the_stages_on_the_way() -> None:
    bridge = Bridge().say("caution").until(3).say("warning").until(6).say("alarm").until(12)
    assert bridge.log() == [(12, "raised", "alarm")]


def test_the_caution_clock_runs_on_while_the_value_climbs() -> None:
    bridge = Bridge().say("caution").until(49).say("warning").until(65)
    assert bridge.log() == [(60, "raised", "caution"), (65, "worsened", "warning")]


def test_one_situation_is_one_alert_that_worsens_and_eases() -> None:
    bridge = Bridge().say("warning").until(15).say("alarm").until(21).say("warning").until(82)
    assert bridge.log() == [(15, "raised", "warning"), (21, "worsened", "alarm"), (82, "eased", "warning")]
    assert len(bridge.watch.alerts) == 1


def test_a_spike_shorter_than_its_delay_raises_nothing() -> None:
    bridge = Bridge().say("alarm").until(4).say("normal").until(200)
    assert bridge.log() == []
    assert not bridge.watch.conditions


def test_within_the_deadband_a_delay_runs_on() -> None:
    bridge = Bridge().say("warning").until(5).say("caution", keep="warning").until(15)
    assert bridge.log() == [(15, "raised", "warning")]


def test_within_the_deadband_an_alert_stays() -> None:
    bridge = Bridge().say("warning").until(15).say("caution", keep="warning").until(100)
    assert bridge.alert.stage is Stage.WARNING


def test_an_acknowledged_warning_clears_sixty_seconds_after_its_condition() -> None:
    bridge = Bridge().say("warning").until(15).acknowledge(20).say("normal").until(81)
    assert bridge.log()[1:] == [(20, "acknowledged", "warning"), (81, "cleared", "warning")]
    assert bridge.standing is None


def test_a_caution_needs_no_acknowledgement_and_clears_itself() -> None:
    bridge = Bridge().say("caution").until(60).acknowledge(61).say("normal").until(122)
    assert bridge.log() == [(60, "raised", "caution"), (122, "cleared", "caution")]
    assert not bridge.sounds


def test_rectified_but_unacknowledged_stays_until_acknowledged() -> None:
    bridge = Bridge(("steep",)).say("warning").until(15).say("normal").until(4000)
    assert bridge.log()[1:] == [(76, "rectified", "warning")]
    assert bridge.standing is Standing.RECTIFIED
    assert bridge.alert.flashes
    bridge.acknowledge(4001, by="KM")
    assert bridge.log()[2:] == [(4001, "acknowledged", "warning"), (4001, "cleared", "warning")]
    assert bridge.events[2].text.startswith("Acknowledged by KM")
    assert bridge.standing is None


def test_an_unanswered_warning_that_eases_to_a_caution_still_wants_an_answer() -> None:
    bridge = Bridge(("steep",)).say("warning").until(15).say("caution").until(100).say("normal").until(161)
    assert bridge.log()[1:] == [(76, "eased", "caution"), (161, "rectified", "warning")]


def test_a_rectified_alert_that_comes_again_is_raised_again() -> None:
    bridge = Bridge(("steep",)).say("warning").until(15).say("normal").until(80).say("warning").until(96)
    assert bridge.log()[1:] == [(76, "rectified", "warning"), (96, "raised", "warning")]
    assert bridge.standing is Standing.UNACKNOWLEDGED


def test_worsening_of_an_acknowledged_alert_makes_it_unacknowledged_again() -> None:
    bridge = Bridge().say("warning").until(15).acknowledge(16).say("alarm").until(22)
    assert bridge.standing is Standing.UNACKNOWLEDGED
    assert bridge.alert.flashes


def test_easing_leaves_an_acknowledged_alert_acknowledged() -> None:
    bridge = Bridge().say("alarm").until(5).acknowledge(6).say("warning").until(67)
    assert bridge.log()[2:] == [(67, "eased", "warning")]
    assert bridge.standing is Standing.ACKNOWLEDGED


def test_alerts_are_acknowledged_one_at_a_time() -> None:
    bridge = Bridge(subjects=("3", "4")).say("alarm").until(5).acknowledge(6, k=1)
    standings = {key[1]: alert.standing for key, alert in bridge.watch.alerts.items()}
    assert standings == {"3": Standing.UNACKNOWLEDGED, "4": Standing.ACKNOWLEDGED}


def test_acknowledging_what_does_not_stand_does_nothing() -> None:
    assert Bridge().acknowledge(5).log() == []


def test_silence_lasts_thirty_seconds_then_the_alarm_sounds_again() -> None:
    bridge = Bridge().say("alarm").until(5).silence(10).until(39)
    assert bridge.standing is Standing.SILENCED
    assert bridge.alert.flashes
    bridge.until(60)
    assert bridge.standing is Standing.UNACKNOWLEDGED
    assert sorted(bridge.sounds) == [5, 40, 50, 60]


def test_a_silenced_warning_stays_silent() -> None:
    bridge = Bridge(("steep",)).say("warning").until(15).silence(20).until(500)
    assert bridge.standing is Standing.SILENCED
    assert sorted(bridge.sounds) == [15]


def test_a_new_alert_sounds_although_others_are_silenced() -> None:
    bridge = Bridge(subjects=("3", "4")).say("alarm", 0).until(5).silence(6).say("alarm", 1).until(12)
    assert sorted(bridge.sounds) == [5, 12]


def test_silencing_is_one_event_and_nothing_where_nothing_sounds() -> None:
    bridge = Bridge(subjects=("3", "4")).silence(0).say("alarm").until(6).silence(7).silence(8)
    assert [event for _t, event, _s in bridge.log()] == ["raised", "raised", "silenced"]


def test_sounds_repeat_at_ten_seconds_for_an_alarm_and_sixty_for_a_warning() -> None:
    warned = Bridge(("steep",)).say("warning").until(140)
    assert warned.sounds == {15: Stage.WARNING, 75: Stage.WARNING, 135: Stage.WARNING}
    alarmed = Bridge().say("alarm").until(30).acknowledge(31).until(60)
    assert alarmed.sounds == {5: Stage.ALARM, 15: Stage.ALARM, 25: Stage.ALARM}


@pytest.mark.parametrize("cause", ["load", "stretch"])
def test_an_unacknowledged_warning_on_load_or_stretch_becomes_an_alarm(cause: str) -> None:
    bridge = Bridge((cause,)).say("warning").until(134)
    assert bridge.alert.stage is Stage.WARNING
    bridge.until(135)
    assert bridge.log()[1:] == [(135, "escalated", "alarm")]
    assert bridge.alert.escalated
    assert bridge.sounds[135] is Stage.ALARM


def test_other_causes_do_not_escalate() -> None:
    assert Bridge(("steep",)).say("warning").until(1000).log() == [(15, "raised", "warning")]


def test_a_silenced_warning_escalates_and_sounds_as_an_alarm() -> None:
    bridge = Bridge().say("warning").until(15).silence(16).until(135)
    assert bridge.standing is Standing.UNACKNOWLEDGED
    assert bridge.sounds[135] is Stage.ALARM


def test_an_escalated_alarm_stays_one_until_acknowledged_then_eases_to_what_it_is() -> None:
    bridge = Bridge().say("warning").until(135).say("caution").until(400)
    assert bridge.alert.stage is Stage.ALARM
    bridge.acknowledge(401)
    assert bridge.log()[2:] == [(401, "acknowledged", "alarm"), (401, "eased", "caution")]


def test_an_escalated_alarm_is_rectified_when_its_condition_goes() -> None:
    bridge = Bridge().say("warning").until(135).say("normal").until(196)
    assert bridge.log()[2:] == [(196, "rectified", "alarm")]


def test_a_warning_that_is_just_going_does_not_escalate_but_does_when_it_comes_back() -> None:
    bridge = Bridge().say("warning").until(100).say("normal").until(140)
    assert bridge.log() == [(15, "raised", "warning")]
    assert bridge.say("warning").until(141).log()[1:] == [(141, "escalated", "alarm")]


def test_an_acknowledged_warning_does_not_escalate() -> None:
    assert Bridge().say("warning").until(15).acknowledge(100).until(1000).alert.stage is Stage.WARNING
