"""Times to decide by from one look ahead to the next: what has moved them, what was missed, what is
ordered."""

from dataclasses import replace
from math import inf, isnan, nan

import pytest

from alongside.actions import Action, CallOut, ChangeCargo, Correct, LetTugGo, SayTransfer
from alongside.alerts.rule_model import DueBy, Rule
from alongside.alerts.text import decide_text
from alongside.cycle.decide_memory import NOTHING_DECIDED, DecideMemory, as_remembered, decide_after
from alongside.cycle.due_now import due_now
from alongside.forecast.decide_words import order_words
from alongside.forecast.decided import DecideRow, Decisions, LimitToCome
from alongside.forecast.transfer import TransferSaid
from alongside.record.codec import from_text, to_text
from alongside.stay.model import Order, Stay, TugAlongside, WindLimit
from alongside.wording.times import DayClock
from tests.forecast.decide.made import HOUR, MINUTE, NOW, kn, stay_with

STAY = stay_with("display: {force: t, speed: kn, zone: '+00:00'}\n")
LIMIT = LimitToCome(
    "tugs",
    WindLimit("tugs", kn(30.0)),
    kn(30.0),
    NOW + 5 * HOUR,
    NOW + 6 * HOUR,
    0.6,
    kn(38.0),
    NOW + 7 * HOUR,
    200.0,
    False,
)
LEAD = 90 * MINUTE


def looked(
    limit: LimitToCome = LIMIT, at: float = NOW, newest: float = NOW - HOUR, order: Order = "tugs"
) -> Decisions:
    rows = (DecideRow(order, limit, LEAD),)
    return Decisions(at, at + 12 * HOUR, 50, rows, (limit,), False, newest=newest)


def nothing_due(at: float) -> Decisions:
    return Decisions(at, at + 12 * HOUR, 50, (), (), False, newest=NOW - HOUR)


def after(memory: DecideMemory, decisions: Decisions, *actions: Action) -> tuple[DecideMemory, list[str]]:
    memory, events = decide_after(memory, STAY, decisions, decisions.time, actions)
    return memory, [event.text for event in events]


def due_of(memory: DecideMemory, decisions: Decisions | None, now: float = nan) -> tuple[DueBy, ...] | None:
    """What is due at an instant, else at that of the look ahead."""
    now = decisions.time if isnan(now) and decisions is not None else now
    return due_now(as_remembered(memory, decisions, STAY, now), now)


def first() -> DecideMemory:
    memory, words = after(NOTHING_DECIDED, looked())
    assert words == []
    return memory


def test_a_forecast_that_has_the_wind_earlier_is_named_as_the_reason() -> None:
    entered = NOW + 10 * MINUTE
    sooner = replace(LIMIT, first=NOW + 4 * HOUR, first_before=NOW + 5 * HOUR)
    memory, words = after(first(), looked(sooner, NOW + 20 * MINUTE, entered))
    assert words == ["Forecast of 04:10 has the wind earlier: order tugs by 06:30, was 07:30"]
    due = due_of(memory, looked(sooner, NOW + 20 * MINUTE))
    assert due is not None
    assert (due[0].was, due[0].why) == (NOW + 3.5 * HOUR, "forecast of 04:10 has the wind earlier")


def test_a_forecast_that_has_less_is_named_too_and_that_nothing_is_due_any_more() -> None:
    later = replace(LIMIT, first=NOW + 7 * HOUR, first_before=NOW + 5 * HOUR)
    _, words = after(first(), looked(later, NOW + 20 * MINUTE, NOW + 10 * MINUTE))
    assert words == ["Forecast of 04:10 has the wind later: order tugs by 09:30, was 07:30"]
    near, _ = after(NOTHING_DECIDED, looked(replace(LIMIT, first=NOW + 3 * HOUR)))
    gone = replace(nothing_due(NOW + 20 * MINUTE), newest=NOW + 10 * MINUTE)
    assert after(near, gone)[1] == ["Forecast of 04:10 has less wind: order tugs due no more, was 05:30"]


def test_lines_that_hold_less_and_another_set_of_limits_are_reasons() -> None:
    by_lines = replace(LIMIT, agreed=None, limit_ms=kn(38.0))
    memory, _ = after(NOTHING_DECIDED, looked(by_lines))
    less = replace(by_lines, limit_ms=kn(33.0), first=NOW + 4 * HOUR)
    _, words = after(memory, looked(less, NOW + 10 * MINUTE))
    assert words == ["Lines hold 33 kn, held 38 kn: order tugs by 06:30, was 07:30"]
    _, words = after(first(), looked(replace(LIMIT, with_transfer=True, first=NOW + 4 * HOUR), NOW + 600.0))
    assert words == ["With transfer other limits count: order tugs by 06:30, was 07:30"]


@pytest.mark.parametrize(("moves_min", "words"), [(-9, 0), (-29, 0), (-31, 1), (9, 0), (300, 0)])
def test_the_wind_itself_is_said_to_bring_it_forward_only_from_half_an_hour_on(
    moves_min: float, words: int
) -> None:
    moved = replace(LIMIT, first=LIMIT.first + moves_min * MINUTE)
    memory, said = after(first(), looked(moved, NOW + 600.0))
    assert len(said) == words
    due = due_of(memory, looked(moved, NOW + 600.0), NOW + 600.0)
    assert due is not None
    assert due[0].by == moved.first - LEAD, "what is shown is always the time of now"


def test_a_time_that_is_past_stays_the_one_that_was_missed() -> None:
    """Due 07:30; at 08:00 the limit may be reached at once: what was missed is 07:30, not 06:30."""
    memory = first()
    for hours in (4.0, 5.0, 6.0):
        now = NOW + hours * HOUR
        here = looked(replace(LIMIT, first=max(LIMIT.first, now)), now)
        memory, words = after(memory, here)
        assert words == []
        due = due_of(memory, here, now)
        assert due is not None
        assert due[0].by == NOW + 3.5 * HOUR
    later = looked(replace(LIMIT, first=NOW + 9 * HOUR), NOW + 6.5 * HOUR)
    memory, _ = after(memory, later)
    due = due_of(memory, later, NOW + 6.5 * HOUR)
    assert due is not None
    assert due[0].by == NOW + 7.5 * HOUR, "the wind is late: there is time again"


@pytest.mark.parametrize(
    ("order", "action"),
    [
        ("tugs", CallOut("tugs", by="TK")),
        ("pilot", CallOut("pilot", by="TK")),
        ("gang", CallOut("linesmen", by="TK")),
        ("stop_cargo", ChangeCargo("stopped", by="TK")),
        ("disconnect", SayTransfer(False, "TK")),
    ],
)
def test_what_the_watch_enters_answers_an_order(order: Order, action: Action) -> None:
    here = looked(order=order)
    memory, _ = after(NOTHING_DECIDED, here, action)
    answered = memory.answered(order, STAY, NOW)
    assert (answered.order, answered.at, answered.by) == (order, NOW, "TK")
    (due,) = due_of(memory, here, NOW) or ()
    assert (due.is_open, due.answered) == (False, NOW)
    assert isnan(memory.answered(order, STAY, NOW + 13 * HOUR).at), "it does not serve for ever"


def test_a_call_for_something_else_answers_nothing() -> None:
    memory, _ = after(first(), looked(), CallOut("master", by="TK"), CallOut("engineer", "tide", "TK"))
    assert len(due_of(memory, looked(), NOW) or ()) == 1


def test_tugs_alongside_answer_until_they_are_let_go_and_a_call_is_taken_back() -> None:
    there = replace(STAY, tugs=(TugAlongside(300.0, 40.0),))
    assert NOTHING_DECIDED.answered("tugs", there, NOW).at == -inf
    memory, _ = after(first(), looked(), CallOut("tugs"))
    gone, _ = after(memory, looked(), LetTugGo("1"))
    assert isnan(gone.answered("tugs", STAY, NOW).at)
    back, words = after(memory, looked(), Correct(line="call", by="TK"))
    assert isnan(back.answered("tugs", STAY, NOW).at)
    assert words == ["Taken back: order tugs (TK)"]


def test_what_was_said_of_arms_stands_until_it_is_taken_back() -> None:
    memory, words = after(first(), looked(), SayTransfer(True, "TK"))
    assert memory.transfer == TransferSaid(True, NOW)
    assert words == ["Arms or hoses connected (TK)"]
    memory, _ = after(memory, looked(), Correct(line="transfer", by="TK"))
    assert memory.transfer is None


def test_what_is_taken_back_is_the_last_deed_of_that_subject_and_no_order_given_before_it() -> None:
    """Tugs called, then cargo stopped, then the master called: three deeds, each taken back by itself."""
    given: tuple[Action, ...] = (CallOut("tugs"), ChangeCargo("stopped"), CallOut("master"))
    memory, _ = after(first(), looked(), *given)
    master, words = after(memory, looked(), Correct(line="call", by="TK"))
    assert words == ["Taken back: called master (TK)"]
    assert master.answered("tugs", STAY, NOW).at == NOW
    tugs, words = after(master, looked(), Correct(line="call"))
    assert words == ["Taken back: order tugs"]
    assert isnan(tugs.answered("tugs", STAY, NOW).at)
    assert tugs.answered("stop_cargo", STAY, NOW).at == NOW, "the cargo was no call"
    goes_on, words = after(memory, looked(), Correct(line="cargo"))
    assert words == [], "said where the cargo plan is taken back"
    assert isnan(goes_on.answered("stop_cargo", STAY, NOW).at)
    assert goes_on.answered("tugs", STAY, NOW).at == NOW
    _, words = after(tugs, looked(), Correct(line="call"))
    assert words == ["Call: not done: nothing was entered that can be taken back"]


def test_what_ended_an_order_is_taken_back_too() -> None:
    stopped, _ = after(first(), looked(), ChangeCargo("stopped"), CallOut("tugs"))
    memory, _ = after(
        stopped, looked(), ChangeCargo("rate", "coal", 600.0), ChangeCargo("begun"), LetTugGo("1")
    )
    assert all(isnan(memory.answered(order, STAY, NOW).at) for order in ("stop_cargo", "tugs"))
    memory, _ = after(memory, looked(), Correct(line="cargo"), Correct(line="tug"))
    assert memory.answered("stop_cargo", STAY, NOW).at == NOW
    assert memory.answered("tugs", STAY, NOW).at == NOW
    memory, _ = after(memory, looked(), Correct(line="cargo"))
    assert memory.answered("stop_cargo", STAY, NOW).at == NOW, "that was the rate"


def test_of_arms_what_was_said_before_stands_again() -> None:
    memory, _ = after(first(), looked(), SayTransfer(True, "TK"))
    memory, _ = after(memory, looked(at=NOW + HOUR), SayTransfer(False, "TK"))
    assert memory.transfer == TransferSaid(False, NOW + HOUR)
    memory, words = after(memory, looked(at=NOW + HOUR), Correct(line="transfer", by="TK"))
    assert words == ["Taken back: what was entered of arms or hoses (TK)"]
    assert memory.transfer == TransferSaid(True, NOW)
    assert isnan(memory.answered("disconnect", STAY, NOW + HOUR).at)


def test_a_line_that_is_named_as_a_call_is_a_line() -> None:
    memory, _ = after(first(), looked(), CallOut("tugs"))
    named = replace(STAY, lines=(replace(STAY.lines[0], id="call"), *STAY.lines[1:]))
    same, events = decide_after(memory, named, looked(), NOW, [Correct(line="call")])
    assert (same.answers, events) == (memory.answers, ())


def test_what_is_due_no_more_says_whether_the_transfer_or_the_wind_is_over() -> None:
    """Disconnected at 04:20: that the wind may reach limits is as true as before."""
    near = replace(LIMIT, do="disconnect", with_transfer=True, first=NOW + 3 * HOUR)
    memory, _ = after(NOTHING_DECIDED, looked(near, order="disconnect"))
    later = looked(at=NOW + 20 * MINUTE)
    assert after(memory, later)[1] == [
        "Without transfer other limits count: disconnect due no more, was 05:30"
    ]
    assert after(memory, replace(later, connected=True))[1] == [
        "Nothing calls for it any more: disconnect due no more, was 05:30"
    ]
    gone = replace(nothing_due(NOW + 20 * MINUTE), connected=True)
    assert after(memory, gone)[1] == ["No limit is likely to be reached: disconnect due no more, was 05:30"]


def test_one_alert_a_deed_with_what_comes_after_it() -> None:
    limit = replace(LIMIT, do="disconnect", with_transfer=True)
    rows = tuple(
        DecideRow(order, limit, lead * MINUTE)
        for order, lead in (("gang", 75), ("stop_cargo", 60), ("disconnect", 45))
    )
    here = replace(looked(), rows=rows, limits=(limit,))
    memory, _ = after(NOTHING_DECIDED, here)
    (due,) = due_of(memory, here, NOW) or ()
    assert (due.do, due.order) == ("disconnect", "gang")
    assert [order for order, _ in due.then] == ["stop_cargo", "disconnect"]
    memory, _ = after(memory, here, CallOut("linesmen"))
    (due,) = due_of(memory, here, NOW) or ()
    assert due.order == "stop_cargo"
    assert due.comes == NOW + 75 * MINUTE, "cargo that stops now waits for the gang that was called now"


def test_nothing_is_known_where_nobody_has_looked_and_memory_goes_on_record() -> None:
    assert due_of(first(), None, NOW) is None
    memory, _ = after(first(), looked(), CallOut("tugs"), SayTransfer(False))
    assert repr(from_text(DecideMemory, to_text(memory))) == repr(memory), "NaN is no NaN"
    lacking = replace(looked(), rows=(DecideRow("tugs", LIMIT, nan, ("tugs",)),))
    (due,) = due_of(NOTHING_DECIDED, lacking, NOW) or ()
    assert due.by == LIMIT.first, "without a lead time the limit itself is the time"


def test_the_alert_says_when_what_is_ordered_comes() -> None:
    rule = Rule("decide", "tugs", (60.0, 15.0, 0.0), sense=-1, unit="min")
    memory, here = first(), looked(replace(LIMIT, first=NOW + HOUR))
    before = due_of(memory, here, NOW) or ()
    words = decide_text(STAY.display, rule, NOW, before)
    assert words == (
        "Order tugs now, due 03:30: tugs come 05:30, 30 min after the limit; 38 kn from 200° at 11:00, "
        "limit 30 kn; may be reached 05:00, in 6 of 10 cases"
    )
    memory, _ = after(memory, here, CallOut("tugs"))
    ordered = due_of(memory, here, NOW) or ()
    words = decide_text(STAY.display, rule, NOW, ordered)
    assert words == "Tugs ordered 04:00: tugs come 05:30, 30 min after the limit"
    assert decide_text(STAY.display, rule, NOW, ()) == "Time to order tugs: nothing calls for it any more"


def test_what_was_said_before_any_wind_was_measured_has_not_moved() -> None:
    """As a console begins: the first look ahead may have the forecast alone."""
    memory, _ = after(NOTHING_DECIDED, replace(looked(), measured=False))
    memory, words = after(memory, looked(replace(LIMIT, first=NOW + 3 * HOUR), NOW + 60.0))
    assert words == []
    (due,) = due_of(memory, looked(replace(LIMIT, first=NOW + 3 * HOUR)), NOW + 60.0) or ()
    assert isnan(due.was)


def test_before_any_wind_is_heard_nothing_is_remembered_as_missed() -> None:
    """The first look has the first row of the forecast stand in as now, far beyond the limit: due 02:30,
    before the watch began at 04:00. Heard at 04:01, it blows less: due 05:30."""
    stay = with_gauge()
    blown = looked(replace(LIMIT, first=NOW))
    memory, _ = decide_after(NOTHING_DECIDED, stay, replace(blown, measured=False), NOW + 2.0, [])
    words = said_alike(memory, replace(blown, measured=False), NOW + 2.0)
    assert words == "Order tugs now: tugs come 05:30, 90 min after the limit"
    heard = looked(replace(LIMIT, first=NOW + 3 * HOUR), NOW + MINUTE)
    memory, events = decide_after(memory, stay, heard, NOW + MINUTE, [])
    assert events == ()
    assert said_alike(memory, heard, NOW + MINUTE) == "Order tugs by 05:30"


def test_no_time_before_the_watch_began_is_missed_and_one_since_is() -> None:
    stay = with_gauge()
    memory = NOTHING_DECIDED
    for minutes in (0, 10, 100):  # beyond the limit throughout: what it was due by goes with the clock
        now = NOW + minutes * MINUTE
        late = looked(replace(LIMIT, first=now), now)
        memory, _ = decide_after(memory, stay, late, now, [])
        assert said_alike(memory, late, now).startswith("Order tugs now: tugs come")
    assert memory.began == NOW
    now = NOW + 2 * HOUR
    again = looked(replace(LIMIT, first=now + 2 * HOUR), now)
    memory, events = decide_after(memory, stay, again, now, [])
    assert events == ()
    assert said_alike(memory, again, now) == "Order tugs by 06:30"
    memory, _ = decide_after(memory, stay, replace(again, time=now + HOUR), now + HOUR, [])
    assert said_alike(memory, again, now + HOUR).startswith("Order tugs now, due 06:30: tugs come 08:30")


def test_without_a_gauge_for_the_wind_the_forecast_is_all_there_is() -> None:
    blind = replace(looked(), measured=False)
    memory, _ = after(NOTHING_DECIDED, blind)
    assert memory.began == NOW
    now = NOW + 4 * HOUR
    memory, _ = after(memory, replace(blind, time=now))
    assert said_alike(memory, blind, now).startswith("Order tugs now, due 07:30")


def with_gauge() -> Stay:
    source = replace(STAY.feeds[0].channels[0], channel="wind_speed")
    return replace(STAY, feeds=(replace(STAY.feeds[0], channels=(*STAY.feeds[0].channels, source)),))


def said_alike(memory: DecideMemory, here: Decisions, now: float) -> str:
    """What both page and alert say of the tugs: the same, but for a mark."""
    clock = DayClock(STAY.display, now)
    remembered = as_remembered(memory, here, STAY, now)
    assert remembered is not None
    rule = Rule("decide", "tugs", (60.0, 15.0, 0.0), sense=-1, unit="min")
    alert = decide_text(STAY.display, rule, now, due_now(remembered, now) or ())
    page = order_words(remembered.rows[0], remembered, now, clock)
    assert alert.replace(": 38 kn", "; 38 kn", 1) == page.replace(": 38 kn", "; 38 kn", 1)
    assert (due_now(remembered, now) or ())[0].by == remembered.rows[0].due
    return page.partition("; ")[0]


def test_page_and_alert_name_one_due_time_of_an_order_that_was_missed() -> None:
    """Due 07:30, missed; at 08:10 the newest calculation has 07:45: past as well, so 07:30 stands, both are
    said. A time to come, by at least ten minutes later, is the due time again, with what it was."""
    memory = first()
    now = NOW + 4 * HOUR
    memory, _ = after(memory, looked(at=now))
    assert said_alike(memory, looked(at=now), now).startswith("Order tugs now, due 07:30: tugs come 09:30")
    now += 10 * MINUTE
    later = looked(replace(LIMIT, first=LIMIT.first + 15 * MINUTE), now)
    memory, words = after(memory, later)
    assert words == []
    expected = "Order tugs now, due 07:30, newest 07:45: tugs come 09:40"
    assert said_alike(memory, later, now).startswith(expected)
    soon = looked(replace(LIMIT, first=LIMIT.first + 45 * MINUTE), now + 7 * MINUTE)
    memory, words = after(memory, soon)
    assert words == [], "08:15 is past too at 08:17"
    soon = looked(replace(LIMIT, first=LIMIT.first + 55 * MINUTE), now + 8 * MINUTE)
    memory, words = after(memory, soon)
    assert words == []
    assert said_alike(memory, soon, soon.time).startswith("Order tugs now, due 07:30, newest 08:25")
    now += 10 * MINUTE
    again = looked(replace(LIMIT, first=LIMIT.first + HOUR), now)
    memory, words = after(memory, again)
    assert words == ["The wind may come later than was expected: order tugs by 08:30, was 07:30"]
    assert said_alike(memory, again, now).startswith("Order tugs by 08:30")


def test_what_is_missed_is_the_time_that_stood_there_as_it_passed() -> None:
    """It crept from 07:30 to 07:38 in looks of ten minutes: nobody saw 07:30 pass."""
    memory = first()
    crept = replace(LIMIT, first=LIMIT.first + 8 * MINUTE)
    memory, _ = after(memory, looked(crept, NOW + 3.4 * HOUR))
    now = NOW + 4 * HOUR
    here = looked(replace(LIMIT, first=LIMIT.first + 4 * MINUTE), now)
    memory, _ = after(memory, here)
    assert said_alike(memory, here, now).startswith("Order tugs now, due 07:38, newest 07:34")


def test_once_the_limit_is_reached_the_newest_time_goes_with_the_clock_and_is_not_said() -> None:
    memory = first()
    for hours in (4.0, 6.0, 7.0):
        now = NOW + hours * HOUR
        here = looked(replace(LIMIT, first=max(LIMIT.first, now)), now)
        memory, _ = after(memory, here)
    assert said_alike(memory, here, now).startswith("Order tugs now, due 07:30: tugs come")


def test_what_moved_it_is_said_no_more_once_it_crept_back_beyond_what_it_was() -> None:
    """Forward from 07:30 to 06:50, and by itself to 07:15 and 07:42: not `by 07:42, was 07:30: … earlier`."""
    memory, whys = first(), []
    for minutes in (-40, -15, 12):
        now = NOW + HOUR + minutes
        here = looked(replace(LIMIT, first=LIMIT.first + minutes * MINUTE), now)
        memory, _ = after(memory, here)
        (due,) = due_of(memory, here) or ()
        whys.append(due.why)
    earlier = "the wind may come earlier than was expected"
    assert whys == [earlier, earlier, ""]


def test_disconnected_she_has_no_cargo_to_stop_before_the_next_calculation_is_there() -> None:
    stop = replace(LIMIT, do="stop_cargo", with_transfer=True)
    rows = (DecideRow("stop_cargo", stop, 15 * MINUTE), DecideRow("tugs", LIMIT, LEAD))
    here = replace(looked(), rows=rows, limits=(stop, LIMIT), connected=True)
    memory, _ = after(NOTHING_DECIDED, here)
    assert [due.do for due in due_of(memory, here) or ()] == ["tugs", "stop_cargo"]
    memory, _ = decide_after(memory, STAY, here, NOW + 60.0, [SayTransfer(False, "TK")])
    assert [due.do for due in due_of(memory, here, NOW + 60.0) or ()] == ["tugs"]
    later = replace(here, turns=(NOW + HOUR,))
    assert len(due_of(memory, later, NOW + 60.0) or ()) == 2, "the limit is one of a later transfer"
