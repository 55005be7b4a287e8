"""What is to be ordered for the wind to come, in the hand-over: what, by when, why, ordered by whom."""

from dataclasses import replace

from alongside.cycle.decide_memory import as_remembered
from alongside.cycle.orders_given import Answered
from alongside.cycle.picture import Picture
from alongside.reports.handover import handover_text
from alongside.reports.handover_decide import decide_part
from alongside.wording.times import DayClock
from tests.screens import invented


def rows_of(picture: Picture) -> list[str]:
    return decide_part(picture, DayClock(picture.stay.display, picture.time))


def test_open_orders_stand_before_those_that_are_given_with_their_initials() -> None:
    here = invented.deciding()
    memory = replace(here.decided, answers=(Answered("stop_cargo", invented.NOW - 60.0, "TK"),))
    given = replace(here, decisions=as_remembered(memory, here.decisions, here.stay, here.time))
    first, second = rows_of(given)
    assert first.startswith(
        "Order tugs by 05:54; 38 kn from 200° at 11:12, lines hold 33 kn (load of line B4)"
    )
    assert second == "Cargo stopped 04:11 (TK)"
    page = handover_text(given, here.time - 3600.0)
    at = page.index("TO DECIDE")
    assert page[at + 1 : at + 3] == [f"  {first}", f"  {second}"]


def test_what_was_missed_stands_there_as_on_the_page() -> None:
    here = invented.deciding()
    (said,) = here.decided.said
    memory = replace(here.decided, said=(replace(said, missed=invented.NOW - 1800.0),))
    late = replace(here, decisions=as_remembered(memory, here.decisions, here.stay, here.time))
    assert rows_of(late)[0].startswith("Stop cargo now, due 03:42, newest 04:33: cargo stands still 04:27")


def test_it_says_why_where_nothing_is_known_and_nothing_where_nothing_is_agreed() -> None:
    here = invented.deciding()
    assert rows_of(replace(here, decisions=None)) == ["Not calculated yet"]
    assert rows_of(replace(here, forecast_hidden=True)) == ["Hidden in this exercise"]
    assert here.decisions is not None
    (nothing,) = rows_of(replace(here, decisions=replace(here.decisions, rows=())))
    assert nothing.startswith("Nothing to decide")
    without = replace(here, stay=replace(here.stay, decide=None))
    assert rows_of(without) == []
    assert "TO DECIDE" not in handover_text(without, here.time)
