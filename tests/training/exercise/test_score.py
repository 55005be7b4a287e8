"""Scoring by cases worked by hand."""

from collections.abc import Sequence
from dataclasses import replace

import pytest

from alongside.actions import Acknowledge, Done, Note, Silence, TendLine
from alongside.alerts.model import Alert, Event, Standing
from alongside.stay.model import Stay
from alongside.stay.stage import Stage
from alongside.training.exercise.score import lines_bearing_on, rounds_made, score_alerts
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


def with_silence(time: float, events: Sequence[Event] = STRETCH) -> list[Event]:
    """The events with one of the silence key."""
    return sorted([*events, Event(time, "silenced", stage=Stage.WARNING)], key=lambda each: each.time)


def test_one_alert_from_its_rise_to_its_end(stay: Stay) -> None:
    """A caution at 100, a warning at 400, silenced at 450, acknowledged at 600 (200 s after it called for
    that), its line slacked at 700, over at 900."""
    done = [
        Done(300.0, TendLine("1", paid_out=0.2)),
        Done(450.0, Silence()),
        Done(600.0, Acknowledge("stretch", "2")),
        Done(700.0, TendLine("2", paid_out=0.5)),
    ]
    (alert,) = score_alerts(stay, with_silence(450.0), done)
    assert (alert.raised_at, alert.stage) == (100.0, Stage.ALARM)
    assert (alert.seen_s, alert.acknowledged_s, alert.acted_s, alert.rectified_s) == (
        350.0,
        200.0,
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
    (alert,) = score_alerts(stay, with_silence(160.0), done)
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


def test_an_alert_that_rose_again_before_it_was_acknowledged_is_another(stay: Stay) -> None:
    """Over at 300, raised again at 500, and never over again: the first is over after 200 s, the second is
    not; the one acknowledgement at 560 answers both."""
    events = [
        event(100.0, "raised", Stage.WARNING),
        event(300.0, "rectified", Stage.WARNING),
        event(500.0, "raised", Stage.ALARM),
        event(560.0, "acknowledged", Stage.ALARM),
    ]
    first, second = score_alerts(stay, events, [Done(510.0, TendLine("2", paid_out=0.2))])
    assert (first.rectified_s, first.acted_s, first.stage) == (200.0, None, Stage.WARNING)
    assert (second.rectified_s, second.acted_s, second.stage) == (None, 10.0, Stage.ALARM)
    assert (first.acknowledged_s, second.acknowledged_s) == (460.0, 60.0)


def test_feeds_have_rows_of_their_own(stay: Stay) -> None:
    events = [
        Event(at, word, "feed", subject, Stage.WARNING)
        for at, word, subject in (
            (10.0, "raised", "gauges"),
            (20.0, "raised", "wind"),
            (90.0, "rectified", "gauges"),
            (120.0, "raised", "gauges"),
        )
    ]
    rows = [(alert.subject, alert.rectified_s) for alert in score_alerts(stay, events, [])]
    assert rows == [("gauges", 80.0), ("wind", None), ("gauges", None)]


def test_what_grew_worse_after_its_acknowledgement_asks_for_another(stay: Stay) -> None:
    """Warning at 100, acknowledged at 150; alarm at 400, and nobody answers that."""
    events = [
        event(100.0, "raised", Stage.WARNING),
        event(150.0, "acknowledged", Stage.WARNING),
        event(400.0, "worsened", Stage.ALARM),
    ]
    (alert,) = score_alerts(stay, events, [])
    assert [(call.stage, call.since) for call in alert.calls] == [
        (Stage.WARNING, 100.0),
        (Stage.ALARM, 400.0),
    ]
    assert alert.calls[0].waited_s == 50.0
    assert alert.acknowledged_s is None
    answered = [*events, event(430.0, "acknowledged", Stage.ALARM)]
    (alert,) = score_alerts(stay, answered, [])
    assert alert.acknowledged_s == 50.0, "the longer of 50 and 30 s"


@pytest.mark.parametrize(
    ("silenced", "seen"),
    [
        (150.0, 50.0),  # a warning that sounds
        (250.0, None),  # acknowledged: it does not sound
        (350.0, None),  # eased to a caution
        (450.0, 350.0),  # it grew worse, and sounds again
        (650.0, None),  # over, and only waits to be acknowledged
    ],
)
def test_silencing_is_seeing_only_what_sounds(stay: Stay, silenced: float, seen: float | None) -> None:
    events = [
        event(100.0, "raised", Stage.WARNING),
        event(200.0, "acknowledged", Stage.WARNING),
        event(300.0, "eased", Stage.CAUTION),
        event(400.0, "worsened", Stage.WARNING),
        event(600.0, "rectified", Stage.WARNING),
    ]
    (alert,) = score_alerts(stay, with_silence(silenced, events), [Done(silenced, Silence())])
    assert alert.seen_s == seen


def test_an_alert_that_stood_at_the_start_has_a_row(stay: Stay) -> None:
    """A warning raised long before, not acknowledged; the exercise begins at 1000. A caution needs no
    acknowledgement; what was over before is nobody's any more."""
    own = Alert(
        "stretch", "2", "2", Stage.WARNING, Standing.UNACKNOWLEDGED, 10.0, 10.0, 0.86, 0.85, "", "stretch 2"
    )
    warning = replace(own, owed=Stage.WARNING)
    caution = replace(own, subject="1", line="1", stage=Stage.CAUTION)
    over = replace(warning, subject="3", line="3", standing=Standing.RECTIFIED)
    events = [event(1040.0, "acknowledged", Stage.WARNING), event(1200.0, "cleared", Stage.WARNING)]
    done = [Done(1100.0, TendLine("2", paid_out=0.2))]
    first, second = score_alerts(stay, events, done, (warning, caution, over), 1000.0)
    assert first.episode.stood
    assert (first.raised_at, first.acknowledged_s, first.acted_s, first.rectified_s) == (
        1000.0,
        40.0,
        100.0,
        200.0,
    )
    assert (second.key, second.asks_acknowledgement, second.rectified_s) == (("stretch", "1"), False, None)


def test_the_alarm_of_a_line_that_parted(stay: Stay) -> None:
    """Its load goes to the others: tending one of those is acting, a note of it is seeing."""
    parted = Event(100.0, "raised", "parted", "3", Stage.ALARM, "3", text="Line 3 parted 04:01")
    done = [
        Done(110.0, TendLine("3", paid_out=0.2)),
        Done(130.0, Note("Line 3 gone, let go the rest of it")),
        Done(160.0, TendLine("1", paid_out=0.2)),
    ]
    (row,) = score_alerts(stay, [parted], done)
    assert (row.seen_s, row.acted_s, row.asks_acknowledgement, row.stage) == (30.0, 60.0, True, Stage.ALARM)


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
