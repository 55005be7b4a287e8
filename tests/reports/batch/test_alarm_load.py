"""The alarm load: what is announced, what comes again, what stands. Measures are those of the standards
named in the module (from memory)."""

from collections.abc import Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.alerts.model import Event, EventWord
from alongside.reports.batch.alarm_load import AlarmLoad, added, alarm_load
from alongside.reports.batch.alert_counts import (
    alert_counts,
    announcing,
    episodes_by_value,
    first_alarm,
    time_in_stages,
)
from alongside.reports.batch.outcome import AlertCount
from alongside.stay.causes import Cause
from alongside.stay.stage import Stage

BEGIN = 1_772_424_000.0
HOUR = 3600.0
RAISED = st.tuples(st.integers(0, 35_000), st.sampled_from("123"), st.integers(1, 3))


def event(at: float, word: EventWord, cause: Cause = "stretch", of: str = "1", stage: int = 1) -> Event:
    return Event(BEGIN + at, word, cause, of, Stage(stage))


def load(events: Sequence[Event], hours: float = 10.0, name: str = "quay") -> AlarmLoad:
    end = BEGIN + hours * HOUR
    return alarm_load(name, announcing(events), episodes_by_value(events), BEGIN, end, 0.0)


def test_each_stage_reached_is_announced_and_waiting_is_not() -> None:
    found = load([event(60, "raised"), event(120, "worsened", stage=2), event(240, "escalated", stage=3)])
    assert found.announced == (1, 1, 0)
    assert found.per_hour == pytest.approx(0.2)


def test_three_times_in_a_minute_chatters_and_in_more_does_not() -> None:
    def three(apart: float) -> list[Event]:
        each = ((at * apart, word) for at in range(3) for word in ("raised", "cleared"))
        return [event(at, word) for at, word in each]  # type: ignore[arg-type]

    assert load(three(30.0)).chattering == 1
    assert load(three(30.5)).chattering == 0


def test_more_than_ten_in_ten_minutes_are_a_flood() -> None:
    many = [event(at, "raised", of=str(at)) for at in range(11)]
    assert (load(many[:10]).floods, load(many[:10]).most) == (0, 10)
    assert (load(many).floods, load(many).most) == (1, 11)
    assert load(many).periods == 60


def test_the_same_again_no_worse_within_a_quarter_of_an_hour() -> None:
    once = [event(0, "raised"), event(100, "cleared")]
    assert load([*once, event(1000, "raised")]).again == 1
    assert load([*once, event(1001, "raised")]).again == 0, "later"
    assert load([*once, event(1000, "raised", stage=2)]).again == 0, "worse"
    assert load([*once, event(1000, "raised", of="2")]).again == 0, "another"


def test_what_stands_longer_than_a_day_is_listed() -> None:
    stands = [event(0, "raised"), event(0, "raised", of="2"), event(24 * HOUR, "cleared", of="2")]
    found = load(stands, hours=30.0)
    assert [(one.subject, one.stood_s) for one in found.standing] == [("1", 30.0 * HOUR)]


@given(
    st.lists(
        st.lists(st.tuples(st.integers(0, 35_000), st.sampled_from("123"), st.integers(1, 3)), max_size=30),
        max_size=5,
    )
)
def test_loads_of_several_stays_add_up(stays: list[list[tuple[int, str, int]]]) -> None:
    loads = [
        load([event(at, "raised", of=of, stage=stage) for at, of, stage in sorted(stay)], name=str(number))
        for number, stay in enumerate(stays)
    ]
    whole = added(loads)
    assert whole.hours == sum(one.hours for one in loads)
    assert whole.total == sum(map(len, stays)) == sum(whole.announced)
    assert whole.most == max((one.most for one in loads), default=0)
    assert added([added(loads[:2]), added(loads[2:])]) == whole
    assert [one.announced for one in whole.each] == sorted(
        (one.announced for one in whole.each), reverse=True
    )


def test_an_alert_counts_at_its_worst_and_as_an_alarm_only_by_its_own_value() -> None:
    events = [
        event(0, "raised", stage=2),
        event(120, "escalated", stage=3),
        event(200, "cleared"),
        event(300, "raised", of="2"),
        event(400, "worsened", of="2", stage=3),
        event(500, "raised", cause="brake", of="2", stage=1),
    ]
    assert set(alert_counts(episodes_by_value(events))) == {
        AlertCount("stretch", "warning", 1),
        AlertCount("stretch", "alarm", 1),
        AlertCount("brake", "caution", 1),
    }
    first = first_alarm(event for event in events if event.event != "escalated")
    assert first is not None
    assert (first.subject, first.time) == ("2", "2026-03-02T04:06:40Z")


def test_a_stay_is_in_the_worst_stage_that_stands_and_a_gap_is_in_none() -> None:
    events = [
        event(100, "raised", stage=2),
        event(200, "raised", of="2", stage=3),
        event(260, "eased", of="2", stage=1),
        Event(BEGIN + 1000.0, "gap", value=500.0),
        event(1100, "cleared"),
        event(1200, "rectified", of="2", stage=3),
    ]
    seconds, blind = time_in_stages(events, BEGIN, BEGIN + 2000.0)
    assert seconds == (100.0 + 800.0, 100.0, 100.0 + 240.0 + 100.0, 60.0)
    assert blind == 500.0


WORDS: list[EventWord] = ["raised", "worsened", "eased", "cleared", "rectified"]


@given(st.lists(st.tuples(st.integers(0, 7200), st.sampled_from(WORDS), st.integers(1, 3)), max_size=30))
def test_the_times_in_stages_add_up_to_the_watch(drawn: list[tuple[int, EventWord, int]]) -> None:
    events = [event(at, word, stage=stage) for at, word, stage in sorted(drawn)]
    seconds, blind = time_in_stages(events, BEGIN, BEGIN + 7200.0)
    assert sum(seconds) + blind == pytest.approx(7200.0)
    assert min(seconds) >= 0.0
