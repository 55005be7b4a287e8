"""What was to be ordered for the wind to come, as rows of the report."""

from dataclasses import replace
from math import isnan

from alongside.actions import Action, CallOut, ChangeCargo, Correct, SayTransfer
from alongside.alerts.model import Event, EventWord
from alongside.record.reader import Done
from alongside.reports.stay.line_figures import line_figures
from alongside.reports.stay.orders import orders_on_record
from alongside.reports.stay.page import page as page_of
from alongside.reports.stay.record_arrays import RecordArrays
from tests.berth import START
from tests.reports.stay.strict import Page

TUGS = "Order tugs by 03:40: 38 kn from 200° at 05:50, lines hold 33 kn"


def alert(minute: float, word: EventWord, text: str, subject: str = "tugs") -> Event:
    return Event(START + 60.0 * minute, word, "decide", subject, text=text)


def done(minute: float, action: Action) -> Done:
    return Done(START + 60.0 * minute, action)


def test_an_order_stands_with_what_was_said_last_and_who_gave_it() -> None:
    late = TUGS.replace("by 03:40", "now, due 03:40")
    events = [
        alert(1, "raised", TUGS),
        alert(9, "worsened", late),
        alert(20, "cleared", "Tugs ordered 04:10"),
    ]
    actions = [done(3, CallOut("pilot", by="AB")), done(10, CallOut("tugs", by="TK"))]
    (row,) = orders_on_record(events, actions)
    assert (row.order, row.named, row.text) == ("tugs", START + 60.0, late)
    assert (row.answered, row.by, row.is_open) == (START + 600.0, "TK", False)
    assert isnan(row.over), "given before no limit called for it"
    (open_again,) = orders_on_record(events[:2], [*actions, done(12, Correct(line="call", by="TK"))])
    assert open_again.is_open
    assert open_again.by == ""


def test_one_alert_names_several_orders_one_after_the_other_and_what_is_over_is_open_no_more() -> None:
    events = [
        alert(1, "raised", "Call gang by 03:40: 30 kn", "disconnect"),
        alert(6, "worsened", "Disconnect by 04:10: 30 kn", "disconnect"),
        alert(30, "rectified", "Time to disconnect: nothing calls for it any more", "disconnect"),
        alert(40, "raised", "Disconnect by 05:10: 31 kn", "disconnect"),
    ]
    gang, first, again = orders_on_record(events, [done(5, CallOut("linesmen", by="TK"))])
    assert (gang.order, gang.by) == ("gang", "TK")
    assert first.over == START + 1800.0
    assert again.is_open
    given = [done(5, CallOut("linesmen")), done(45, SayTransfer(False, "R&B"))]
    (_, _, again) = orders_on_record(events, given)
    assert again.by == "R&B"


def test_that_an_order_is_given_names_no_other_one() -> None:
    """The alert goes on after it is disconnected: `Disconnected 04:45` is no order to disconnect."""
    events = [
        alert(40, "raised", "Disconnect by 05:10: 31 kn", "disconnect"),
        alert(46, "eased", "Disconnected 04:45", "disconnect"),
    ]
    (row,) = orders_on_record(events, [done(45, SayTransfer(False, "TK"))])
    assert (row.text, row.by) == ("Disconnect by 05:10: 31 kn", "TK")


def test_a_call_that_is_taken_back_leaves_other_orders_given() -> None:
    events = [alert(1, "raised", TUGS), alert(2, "raised", "Stop cargo by 03:00: 30 kn", "stop_cargo")]
    actions = [done(3, CallOut("tugs")), done(4, ChangeCargo("stopped")), done(5, CallOut("master"))]
    back = Correct(line="call")
    assert [row.is_open for row in orders_on_record(events, [*actions, done(6, back)])] == [False, False]
    twice = [*actions, done(6, back), done(7, back)]
    assert [row.is_open for row in orders_on_record(events, twice)] == [True, False]
    cargo = [*actions, done(6, Correct(line="cargo"))]
    assert [row.is_open for row in orders_on_record(events, cargo)] == [False, True]


def test_open_orders_stand_in_the_report(arrays: RecordArrays) -> None:
    events = [alert(1, "raised", TUGS), alert(2, "raised", "Stop cargo by 03:00: 30 kn <b>", "stop_cargo")]
    actions = [done(3, CallOut("tugs", by="T<K"))]
    here = replace(arrays, events=(*arrays.events, *events), actions=(*arrays.actions, *actions))
    shown = Page(page_of(here, line_figures(here), None))
    shown.harmless()
    _, tugs, stop = shown.rows["decide"]
    assert tugs[1] == TUGS
    assert tugs[3] == "T<K"
    assert stop[2:] == ["not ordered, open as the record ends", "—"]
    assert "decide" not in Page(page_of(arrays, line_figures(arrays), None)).rows
