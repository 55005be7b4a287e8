"""Alerts accepted for a time, with a reason: which ones, what they do meanwhile, and what ends that."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from alongside.actions import Accept, Action, TakeOver
from alongside.alerts.acceptance import ALARMS_ACCEPTED, MOST_ACCEPTED_S
from alongside.alerts.assess import changed_rows
from alongside.alerts.event_text import worded
from alongside.alerts.model import Event, Standing, Watchlist
from alongside.alerts.order import worst_first
from alongside.alerts.rule_model import Assessment
from alongside.alerts.step import next_row, step
from alongside.readings import Floats
from alongside.stay.causes import CAUSES, Cause
from alongside.stay.stage import Stage
from tests.alerts.bridge import START, Bridge, rule


def accept(bridge: Bridge, second: int, until: float = 3600.0, by: str = "AB", k: int = 0) -> Bridge:
    cause, subject = bridge.rules[k].key
    return bridge.until(second, Accept(cause, subject, START + until, "short breasts", by))


def accepted(cause: str = "steep", stage: str = "warning") -> Bridge:
    return accept(Bridge((cause,)).say(stage).until(60), 61)


def test_an_accepted_warning_is_quiet_and_stands() -> None:
    bridge = accepted().until(1000)
    assert bridge.alert.is_accepted
    assert bridge.alert.stage is Stage.WARNING
    assert not bridge.alert.flashes
    assert max(bridge.sounds) == 15
    (event,) = (event for event in bridge.events if event.event == "accepted")
    assert event.text == "Accepted until 05:00 (short breasts) by AB: 0 warning"
    assert (event.alert, event.subject, event.time) == ("steep", "3", START + 61)


def test_a_caution_can_be_accepted() -> None:
    assert accepted("holding", "caution").alert.is_accepted


@pytest.mark.parametrize("cause", CAUSES)
def test_an_alarm_can_be_accepted_of_four_causes_only(cause: Cause) -> None:
    assert accepted(cause, "alarm").alert.is_accepted == (cause in ("steep", "slack", "tension", "gangway"))
    assert accepted(cause, "warning").alert.is_accepted
    assert len(ALARMS_ACCEPTED) == 4


@pytest.mark.parametrize(
    ("until", "reason", "by"),
    [
        (MOST_ACCEPTED_S + 62.0, "short", "AB"),
        (61.0, "short", "AB"),
        (float("nan"), "short", "AB"),
        (3600.0, "", "AB"),
        (3600.0, "short", ""),
    ],
)
def test_at_most_twelve_hours_and_not_without_reason_and_initials(until: float, reason: str, by: str) -> None:
    bridge = Bridge(("steep",)).say("warning").until(60)
    bridge.until(61, Accept("steep", "3", START + until, reason, by))
    assert not bridge.alert.is_accepted
    assert bridge.standing is Standing.UNACKNOWLEDGED


def test_what_is_not_known_or_gone_cannot_be_accepted() -> None:
    bridge = Bridge(("steep",)).say("warning").until(60).say("unknown").until(65)
    assert not accept(bridge, 66).alert.is_accepted
    gone = Bridge(("steep",)).say("warning").until(60).say("normal").until(200)
    assert not accept(gone, 201).watch.accepted


def test_it_ends_at_its_time() -> None:
    bridge = accepted().until(3599)
    assert bridge.alert.is_accepted
    bridge.until(3600)
    assert not bridge.alert.is_accepted
    assert bridge.standing is Standing.UNACKNOWLEDGED
    assert bridge.log()[-1] == (3600, "acceptance_ended", "warning")
    assert "its time is up" in bridge.events[-1].text
    assert bridge.sounds[3600] is Stage.WARNING


def test_it_ends_when_the_stage_worsens() -> None:
    bridge = accepted("feed").say("alarm").until(200)
    assert bridge.log()[-2:] == [(67, "worsened", "alarm"), (67, "acceptance_ended", "alarm")]
    assert bridge.standing is Standing.UNACKNOWLEDGED


def test_it_goes_on_while_the_stage_eases_and_comes_back() -> None:
    bridge = accepted().say("caution").until(300).say("warning").until(400)
    assert bridge.alert.is_accepted
    assert max(bridge.sounds) == 15


def test_it_outlasts_a_time_within_limits() -> None:
    bridge = accepted().say("normal").until(300)
    assert not bridge.watch.alerts
    bridge.say("warning").until(400)
    assert bridge.alert.is_accepted
    assert [event for _s, event, _stage in bridge.log()[-2:]] == ["acknowledged", "accepted"]
    assert bridge.log()[-3] == (316, "raised", "warning")
    assert max(bridge.sounds) == 15


def with_values(values: list[float], cause: Cause = "steep") -> tuple[Assessment, dict[int, Action]]:
    """A warning with these values, one a second from the tenth minute on, accepted at the first of them."""
    value = np.concatenate([np.full(600, values[0]), values])[:, np.newaxis]
    one = replace(rule(cause), limits=(0.70, 0.85, 2.00))
    level = np.where(value >= 0.85, 2, np.where(value >= 0.70, 1, 0)).astype(np.int8)
    times = START + np.arange(value.size, dtype=np.float64)
    acts: dict[int, Action] = {600: Accept(cause, "3", START + 7200.0, "short", "AB")}
    return Assessment(times, (one,), value, level, level), acts


def ended_at(assessment: Assessment, acts: dict[int, Action], every: bool) -> tuple[Watchlist, list[Event]]:
    watch, events, row = Watchlist(), list[Event](), 0
    changed = changed_rows(assessment)
    while row < assessment.time.size:
        watch, changes = step(watch, assessment.at(row), [acts[row]] if row in acts else [])
        watch, new = worded(watch, changes, lambda _k, stage, _onset: stage.word)
        events += new
        following = next_row(watch, assessment, changed, row)
        row = row + 1 if every else min([following, *(at for at in acts if at > row)])
    return watch, events


def test_it_ends_when_the_value_is_worse_by_five_per_cent_of_the_limit() -> None:
    """Limit 0.85: 5 % of it is 0.0425."""
    case = with_values([0.90] * 20 + [0.94] * 20 + [0.943] * 5)
    _watch, events = ended_at(*case, every=False)
    assert (events[-1].event, events[-1].time) == ("acceptance_ended", START + 640)
    assert "its value is worse" in events[-1].text


def test_an_age_that_grows_by_itself_does_not_end_it() -> None:
    watch, _events = ended_at(*with_values([0.9, 1.0, 1.5, 1.9], "feed"), every=False)
    assert watch.accepted


@pytest.mark.slow
@settings(max_examples=60)
@given(st.lists(st.floats(0.5, 1.2), min_size=1, max_size=120))
def test_leaping_finds_the_same_end_as_every_second(values: list[float]) -> None:
    case = with_values([0.9, *values])
    assert ended_at(*case, every=False) == ended_at(*case, every=True)


@settings(max_examples=60)
@given(st.lists(st.floats(0.86, 1.2), min_size=1, max_size=60))
def test_no_value_that_is_worse_stays_accepted(values: list[float]) -> None:
    watch, _events = ended_at(*with_values([0.9, *values]), every=False)
    worst: Floats = np.max([0.9, *values])
    assert bool(watch.accepted) == bool(worst < 0.9 + 0.05 * 0.85)


def test_it_ends_when_the_watch_changes() -> None:
    bridge = accepted().until(100, TakeOver("KM"))
    assert not bridge.watch.accepted
    assert bridge.standing is Standing.UNACKNOWLEDGED
    assert "the watch changed" in bridge.events[-1].text


def test_the_relief_may_accept_anew() -> None:
    bridge = accepted().until(100, TakeOver("KM", accepts=True))
    acceptance = bridge.alert.acceptance
    assert acceptance is not None
    assert (acceptance.by, acceptance.until, acceptance.reason) == ("KM", START + 3600, "short breasts")
    assert bridge.log()[-1] == (100, "accepted", "warning")


def test_an_accepted_warning_of_stretch_does_not_become_an_alarm() -> None:
    bridge = accept(Bridge(("stretch",)).say("warning").until(60), 61).until(2000)
    assert bridge.alert.stage is Stage.WARNING


def test_accepted_ones_stand_last() -> None:
    bridge = Bridge(("steep",), ("a", "b", "c")).say("alarm", 0).say("warning", 1).say("caution", 2)
    accept(bridge.until(100), 101)
    assert [alert.subject for alert in worst_first(bridge.watch)] == ["b", "c", "a"]


def test_accepted_ones_ring_no_second_time_while_others_do() -> None:
    bridge = Bridge(("steep",), ("a", "b")).say("warning", 0).until(60)
    accept(bridge, 61).say("warning", 1).until(100)
    assert sorted(bridge.sounds) == [15, 77]
