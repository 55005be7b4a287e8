"""The hand-over page, taking over with initials, and the keys of a trainer."""

from dataclasses import replace

import pytest

from alongside.actions import HandOver, TakeOver
from alongside.actions.controls import Step, ToAlert, ToTend
from alongside.alerts.model import Event
from alongside.cycle.picture import Picture
from alongside.cycle.watchkeeping import HAND_OVER, LastHandOver, Watchkeeping
from tests.screens import invented
from tests.screens.shown import console


@pytest.mark.slow
@pytest.mark.parametrize("size", [(80, 24), (120, 30), (160, 50)], ids=lambda size: f"{size[0]}x{size[1]}")
async def test_all_of_the_page_can_be_read(size: tuple[int, int]) -> None:
    picture = invented.one_warning()
    async with console(picture, size=size) as shown:
        await shown.turn("handover")
        assert "▸Hand-over " in shown.text
        seen = shown.text
        for _ in range(12):
            await shown.press("pagedown")
            seen += shown.text
        words = " ".join(seen.split())
        for alert in picture.alerts:
            assert alert.text.split()[0] in words
        for line in picture.lines:
            assert f" {line.id} " in words
        for title in ("NOW", "LINES", "ALERTS STANDING", "DONE THIS WATCH", "NEXT 6 HOURS", "NOTES"):
            assert title in words
        assert "Taken over by" in words


@pytest.mark.slow
async def test_taking_over_asks_for_initials_and_once_more() -> None:
    async with console(invented.one_warning()) as shown:
        await shown.press("k")
        assert shown.app.view.part == "handover", "in sight while it is signed"
        await shown.press("enter")
        assert "Not done: no initials; expected those of who takes over" in shown.text
        await shown.type("rv")
        await shown.press("enter")
        assert shown.desk.actions == []
        await shown.press("enter")
        assert shown.desk.actions == [TakeOver("rv")]
        await shown.press("n", "a")
        assert shown.desk.actions[-1].by == "rv", "who took over does what is done next"


def taken_by_rv(picture: Picture) -> Watchkeeping:
    return Watchkeeping(hand_over=LastHandOver("rv", picture.time, "ab"))


@pytest.mark.slow
async def test_the_initials_of_both_at_once_or_the_second_later() -> None:
    picture = invented.one_warning()
    async with console(picture) as shown:
        await shown.press("k")
        await shown.type("rv")
        await shown.press("tab")
        await shown.type("rv")
        await shown.press("enter")
        assert "the same initials twice" in shown.text
        await shown.press("backspace", "backspace")
        await shown.type("ab")
        await shown.press("enter", "enter")
        assert shown.desk.actions == [TakeOver("rv", handed_by="ab")]
    outstanding = replace(picture, watchkeeping=taken_by_rv(picture))
    async with console(outstanding) as shown:
        await shown.turn("handover")
        assert "initials of ab outstanding" in shown.text
        await shown.press("k")
        await shown.type("ab")
        await shown.press("enter", "enter")
        assert shown.desk.actions == [HandOver("ab")]
        assert shown.app.form.by == "", "who goes does not act next"


async def test_while_initials_are_outstanding_the_next_can_take_over() -> None:
    picture = invented.one_warning()
    outstanding = replace(picture, watchkeeping=taken_by_rv(picture))
    async with console(outstanding) as shown:
        await shown.press("H", "k", "shift+tab")
        await shown.type("cd")
        await shown.press("enter", "enter")
        assert shown.desk.actions == [TakeOver("cd")]


@pytest.mark.slow
async def test_the_page_counts_from_when_the_watch_was_taken_over() -> None:
    picture = invented.one_warning()
    taken = picture.time - 600.0
    log = (
        Event(taken - 60.0, "tended", line="H1", text="Line H1 paid out 0.10 m, old"),
        Event(taken, "note", subject=HAND_OVER, text="Watch taken over by rv"),
        Event(taken + 60.0, "tended", line="H2", text="Line H2 paid out 0.20 m, rv"),
    )
    async with console(replace(picture, log=log), size=(160, 80)) as shown:
        await shown.turn("handover")
        assert "Line H2 paid out 0.20 m, rv" in shown.text
        assert "Line H1 paid out" not in shown.text
        assert "Handed over by rv" in shown.text


async def test_before_the_first_picture_nothing_is_known() -> None:
    async with console() as shown:
        await shown.turn("handover")
        assert "Nothing is known yet" in shown.text


@pytest.mark.slow
async def test_the_keys_of_a_trainer_act_in_a_replay_only() -> None:
    keys = ("j", "right_square_bracket", "left_square_bracket", "right_curly_bracket", "left_curly_bracket")
    async with console(replace(invented.normal(), replay=True)) as shown:
        await shown.press(*keys)
        assert shown.desk.controls == [Step(), ToAlert(1), ToAlert(-1), ToTend(1), ToTend(-1)]
    async with console(invented.normal()) as shown:
        await shown.press(*keys)
        assert shown.desk.controls == []
