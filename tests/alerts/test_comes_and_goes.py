"""One situation is one alert: what the alerts of invented signals (noise, swell, steps) never do.

At most once in 15 min unless worse is a common aim of alarm management (EEMUA 191, ISA 18.2); the counts are
common practice.
"""

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from alongside.actions import Acknowledge, Action, AnswerBrake, TakeOver
from alongside.alerts.assess import changed_rows
from alongside.alerts.event_text import worded
from alongside.alerts.model import Event, Standing, Watchlist
from alongside.alerts.rule_model import Assessment, Rule
from alongside.alerts.step import next_row, step
from alongside.readings import Floats
from alongside.stay.stage import Stage
from tests.alerts.bridge import START, Bridge

RULE = Rule("off_fenders", "", (0.02, 0.15, 0.50), unit="m")
"""Ship off her fenders: the default limits."""
SECONDS = 3600

quickly = settings(max_examples=60, phases=[Phase.explicit, Phase.reuse, Phase.generate])
"""An hour of seconds is long to shrink."""


@st.composite
def signal(draw: st.DrawFn) -> Floats:
    """An hour of steps with swell and noise on them, m."""
    time = np.arange(SECONDS, dtype=np.float64)
    value = np.zeros(SECONDS)
    at = 0
    while at < SECONDS:
        value[at:] = draw(st.sampled_from([0.0, 0.02, 0.10, 0.15, 0.30, 0.48, 0.52, 0.60]))
        at += draw(st.integers(5, 900))
    period = draw(st.floats(3.0, 1200.0))
    value = value + draw(st.floats(0.0, 0.4)) * np.sin(2.0 * np.pi * time / period)
    rng = np.random.default_rng(draw(st.integers(0, 1000)))
    return np.asarray(value + rng.normal(0.0, draw(st.floats(0.0, 0.05)), SECONDS))


@dataclass
class Lived:
    """What an hour came to; `rang` are (second, stage) of alerts raised that asked to be acknowledged."""

    events: list[Event] = field(default_factory=list)
    rang: list[tuple[int, Stage, float]] = field(default_factory=list)
    watch: Watchlist = field(default_factory=Watchlist)


def live(value: Floats, acknowledges: bool) -> Lived:
    """Step through a signal; where it `acknowledges`, each alert a second after it is raised."""
    limits = np.array(RULE.limits)
    level = (value[:, np.newaxis] >= limits).sum(axis=1, dtype=np.int8)[:, np.newaxis]
    keep = (value[:, np.newaxis] >= 0.95 * limits).sum(axis=1, dtype=np.int8)[:, np.newaxis]
    times = START + np.arange(value.size, dtype=np.float64)
    assessment = Assessment(times, (RULE,), value[:, np.newaxis], level, keep)
    changed, lived, row, acts = changed_rows(assessment), Lived(), 0, list[Action]()
    while row < value.size:
        lived.watch, changes = step(lived.watch, assessment.at(row), acts)
        lived.watch, new = worded(lived.watch, changes, lambda _k, stage, _onset: stage.word)
        alert = lived.watch.alerts.get(RULE.key)
        waits = alert is not None and alert.standing is Standing.UNACKNOWLEDGED and bool(alert.owed)
        for event in new:
            if event.event in ("raised", "worsened") and alert is not None and waits:
                assert event.value is not None
                lived.rang.append((row, alert.stage, event.value))
        lived.events += new
        acts = [Acknowledge(*RULE.key)] if acknowledges and waits else []
        row = row + 1 if acts else next_row(lived.watch, assessment, changed, row)
    return lived


RISING = ("raised", "worsened", "escalated")


@pytest.mark.slow
@quickly
@given(signal(), st.booleans())
def test_no_alert_is_raised_more_than_three_times_in_a_minute(value: Floats, acknowledges: bool) -> None:
    lived = live(value, acknowledges)
    times = [event.time for event in lived.events if event.event in RISING]
    assert all(later - time >= 60.0 for time, later in zip(times, times[3:], strict=False))


@pytest.mark.slow
@quickly
@given(signal())
def test_the_same_alert_rings_once_in_a_quarter_of_an_hour_unless_worse(value: Floats) -> None:
    rang = live(value, acknowledges=True).rang
    for at, (second, stage, worst) in enumerate(rang):
        for later, again, then in rang[at + 1 :]:
            if later < second + 900 and again <= stage:
                assert then >= worst + 0.05 * RULE.limits[again - 1]


@pytest.mark.slow
@quickly
@given(signal(), st.booleans())
def test_no_stage_is_raised_a_third_time_in_a_quarter_of_an_hour(value: Floats, acknowledges: bool) -> None:
    events = live(value, acknowledges).events
    for stage in (Stage.CAUTION, Stage.WARNING, Stage.ALARM):
        times = [event.time for event in events if event.event in RISING and event.stage is stage]
        assert all(third - first >= 900.0 for first, third in zip(times, times[2:], strict=False))


@pytest.mark.slow
@quickly
@given(signal(), st.booleans())
def test_an_alert_never_ends_but_by_its_condition(value: Floats, acknowledges: bool) -> None:
    """Not before its value has been better than the deadband for the whole off-delay of 60 s."""
    for event in live(value, acknowledges).events:
        if event.event in ("cleared", "rectified", "eased"):
            second = int(event.time - START)
            gone = Stage.CAUTION if event.event != "eased" else Stage((event.stage or 0) + 1)
            if event.event == "cleared" and event.stage is Stage.NORMAL:
                continue
            before = value[max(0, second - 60) : second]
            assert (before < RULE.limits[gone - 1]).all()


@pytest.mark.slow
@quickly
@given(signal(), st.booleans())
def test_an_alarm_is_never_late_for_coming_and_going(value: Floats, acknowledges: bool) -> None:
    events = live(value, acknowledges).events
    stage, stages, at = Stage.NORMAL, [], 0
    for second in range(SECONDS):
        while at < len(events) and events[at].time <= START + second:
            if events[at].event in (*RISING, "eased", "rectified", "cleared"):
                over = events[at].event in ("rectified", "cleared")
                stage = Stage.NORMAL if over else events[at].stage or Stage.NORMAL
            at += 1
        stages.append(stage)
    for second in range(5, SECONDS):
        if (value[second - 5 : second + 1] >= RULE.limits[2]).all():
            assert stages[second] is Stage.ALARM, second


def to_and_fro(low: float, high: float, half_s: int) -> Floats:
    return np.resize(np.repeat([high, low], half_s), SECONDS)


def test_a_ship_that_moves_about_the_alarm_limit_for_an_hour_is_one_alarm() -> None:
    """The alarm came and went every five minutes: eleven rows an hour."""
    for half_s in (75, 150, 300, 420):
        lived = live(to_and_fro(0.46, 0.55, half_s), acknowledges=True)
        alarms = [event for event in lived.events if event.event in RISING and event.stage is Stage.ALARM]
        assert len(alarms) == 2, half_s
        assert [stage for _s, stage, _v in lived.rang].count(Stage.ALARM) == 1
        assert lived.watch.alerts[RULE.key].held


def test_within_the_deadband_it_is_one_alarm_too() -> None:
    lived = live(to_and_fro(0.48, 0.55, 300), acknowledges=False)
    assert [event.event for event in lived.events if event.stage is Stage.ALARM] == ["raised"]


def coming_back(act: Callable[[Bridge], Bridge], again: str = "warning") -> Bridge:
    """A warning that was acknowledged, went, and comes again after three minutes; `act` in between."""
    bridge = Bridge(("steep",)).say("warning").until(15).acknowledge(20).say("normal").until(150)
    return act(bridge).say(again).until(200)


def test_what_comes_back_soon_stands_as_it_was_acknowledged() -> None:
    bridge = coming_back(lambda bridge: bridge)
    assert [(second, event) for second, event, _stage in bridge.log()[-3:]] == [
        (81, "cleared"),
        (166, "raised"),
        (166, "acknowledged"),
    ]
    assert bridge.standing is Standing.ACKNOWLEDGED
    assert bridge.alert.held
    assert sorted(bridge.sounds) == [15]


def test_what_comes_back_worse_rings() -> None:
    assert coming_back(lambda bridge: bridge, again="alarm").standing is Standing.UNACKNOWLEDGED


def test_what_comes_back_after_a_change_of_watch_rings() -> None:
    bridge = coming_back(lambda bridge: bridge.until(155, TakeOver("KM")))
    assert bridge.standing is Standing.UNACKNOWLEDGED


def test_what_comes_back_after_a_quarter_of_an_hour_rings() -> None:
    assert coming_back(lambda bridge: bridge.until(900)).until(950).standing is Standing.UNACKNOWLEDGED


def test_what_comes_and_goes_is_let_go_after_a_quiet_quarter_of_an_hour() -> None:
    bridge = coming_back(lambda bridge: bridge).say("normal").until(1065)
    assert bridge.alert.held
    assert bridge.until(1066).log()[-1] == (1066, "cleared", "warning")


def test_a_lesser_stage_that_comes_and_goes_holds_no_alarm() -> None:
    bridge = Bridge(("steep",)).say("alarm").until(10).acknowledge(11).say("warning").until(100)
    bridge.say("alarm").until(110)
    assert bridge.alert.held
    for turn in range(12):
        bridge.say("normal").until(200 + 100 * turn).say("warning").until(250 + 100 * turn)
    assert bridge.alert.stage is Stage.WARNING


@pytest.mark.parametrize(
    ("answers", "rings"), [((), False), ((AnswerBrake("3", "slipped", 0.2, "AB"),), True)]
)
def test_a_brake_that_may_have_slipped_again_is_a_new_question(
    answers: tuple[AnswerBrake, ...], rings: bool
) -> None:
    """Without an answer it is the question that was acknowledged; once that is answered, it is another."""
    bridge = Bridge(("brake",), slow=False).say("alarm").until(20).acknowledge(25)
    bridge.until(30, *answers).say("normal").until(120).say("alarm").until(150)
    assert (bridge.standing is Standing.UNACKNOWLEDGED) == rings
