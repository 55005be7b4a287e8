"""Scoring by cases worked by hand."""

from dataclasses import replace

import pytest

from console.actions import Acknowledge, Done, Note, Silence, TendLine
from console.alerts.model import Event
from console.assessment import Stage
from console.exercise.score import lines_bearing_on, rounds_made, score_alerts
from console.stay.model import Stay
from tests.berth import a_stay


@pytest.fixture(scope="module")
def stay(tmp_path_factory: pytest.TempPathFactory) -> Stay:
    return a_stay(tmp_path_factory.mktemp("stay"))


def event(time: float, word: str, stage: Stage, cause: str = "stretch", line: str | None = "2") -> Event:
    return Event(time, word, cause, line or "", stage, line, text=f"{cause} {line}")


STRETCH = (
    event(100.0, "raised", Stage.CAUTION),
    event(400.0, "worsened", Stage.WARNING),
    event(520.0, "escalated", Stage.ALARM),
    event(600.0, "acknowledged", Stage.ALARM),
    event(900.0, "rectified", Stage.ALARM),
    event(900.0, "cleared", Stage.ALARM),
)


def test_one_alert_from_its_rise_to_its_end(stay: Stay) -> None:
    """Raised at 100, silenced at 450, acknowledged at 600, its line slacked at 700, over at 900."""
    done = [
        Done(300.0, TendLine("1", paid_out=0.2)),
        Done(450.0, Silence()),
        Done(600.0, Acknowledge("stretch", "2")),
        Done(700.0, TendLine("2", paid_out=0.5)),
    ]
    (alert,) = score_alerts(stay, STRETCH, done)
    assert (alert.raised_at, alert.stage) == (100.0, Stage.ALARM)
    assert (alert.seen_s, alert.acknowledged_s, alert.acted_s, alert.rectified_s) == (
        350.0,
        500.0,
        600.0,
        800.0,
    )
    assert alert.asks_acknowledgement
    assert alert.asks_act


def test_what_concerns_another_is_not_seeing(stay: Stay) -> None:
    done = [
        Done(150.0, Acknowledge("stretch", "1")),
        Done(160.0, Silence()),  # it is a caution still, which makes no sound
        Done(170.0, TendLine("1", paid_out=0.2)),
        Done(180.0, Note("line 20 looks well")),
        Done(950.0, TendLine("2", paid_out=0.2)),  # too late: it is over
    ]
    (alert,) = score_alerts(stay, STRETCH, done)
    assert (alert.seen_s, alert.acted_s) == (None, None)


@pytest.mark.parametrize("text", ["Line 2 stiff", "looked at line 2", "LINE 2."])
def test_a_note_that_names_its_line_is_seeing(stay: Stay, text: str) -> None:
    (alert,) = score_alerts(stay, STRETCH, [Done(130.0, Note(text))])
    assert alert.seen_s == 30.0
    assert alert.acted_s is None


def test_an_alert_that_stood_before_counts_from_when_it_grew_worse(stay: Stay) -> None:
    (alert,) = score_alerts(stay, STRETCH[1:], [])
    assert (alert.raised_at, alert.rectified_s) == (400.0, 500.0)


def test_an_alert_that_comes_again_is_another(stay: Stay) -> None:
    again = [replace(each, time=each.time + 1000.0) for each in STRETCH]
    first, second = score_alerts(stay, [*STRETCH, *again], [Done(1110.0, TendLine("2", paid_out=0.2))])
    assert (first.acted_s, second.acted_s) == (None, 10.0)


def test_a_gauge_asks_for_no_tending(stay: Stay) -> None:
    feed = Event(10.0, "raised", "feed", "gauges", Stage.WARNING, None, text="Input lost")
    done = [Done(20.0, TendLine("2", paid_out=0.2)), Done(40.0, Note("gauges dead, called the engineer"))]
    (alert,) = score_alerts(stay, [feed], done)
    assert (alert.seen_s, alert.acted_s, alert.asks_act) == (30.0, None, False)


def test_which_lines_bear_on_what(stay: Stay) -> None:
    assert lines_bearing_on(stay, "stretch", "2", "2") == {"2"}
    assert lines_bearing_on(stay, "bollard", "B2", None) == {"2"}
    assert lines_bearing_on(stay, "holding", "", None) == {"1", "2", "3"}
    assert lines_bearing_on(stay, "steep", "2", "2") == set(), "a lead is not cured by tending"
    assert lines_bearing_on(stay, "under_keel", "", None) == set()


def test_tendings_within_a_quarter_of_an_hour_are_one_round() -> None:
    """At 0, 10, 24 min: one round; at 40 min, sixteen after the last: another."""
    minutes = [0, 10, 24, 40]
    events = [Event(60.0 * at, "tended", line=str(at)) for at in minutes]
    events.insert(1, Event(30.0, "note"))
    rounds = rounds_made(events)
    assert [[event.line for event in each] for each in rounds] == [["0", "10", "24"], ["40"]]
    assert rounds_made([]) == ()
