"""Part Orders: the master's standing orders with who and when; entered and withdrawn with initials."""

import math
from dataclasses import replace

import pytest
from textual.widgets import Input

from alongside.actions import GiveOrder, WithdrawOrder
from alongside.cycle.picture import Picture
from alongside.cycle.watchkeeping import Watchkeeping, WithdrawnOrder
from alongside.stay.model import StandingOrder
from tests.screens import invented
from tests.screens.shown import Shown, console

CALL = "Call me when the wind passes 30 kn, and for any line that comes to a warning or is not known"


def with_orders() -> Picture:
    picture = invented.one_warning()
    orders = (StandingOrder(CALL, "Master", picture.time - 3600.0), StandingOrder("Two hands at a winch"))
    keeping = Watchkeeping(
        given=(StandingOrder("Watch line B1", "CM", picture.time - 600.0),),
        withdrawn=(WithdrawnOrder("No tending by night", picture.time - 300.0, "CM"),),
    )
    return replace(picture, stay=replace(picture.stay, standing_orders=orders), watchkeeping=keeping)


async def to_orders(shown: Shown) -> None:
    await shown.press("5", "tab", "tab", "tab")


@pytest.mark.slow
@pytest.mark.parametrize("size", [(80, 24), (120, 30), (250, 70)])
async def test_every_order_stands_whole_with_who_and_when(size: tuple[int, int]) -> None:
    async with console(with_orders(), size=size) as shown:
        await to_orders(shown)
        words = " ".join(shown.text.split())
        for text in (CALL, "Two hands at a winch", "Watch line B1"):
            assert text in words
        assert "(Master, 03:12)" in words
        assert "withdrawn 04:07 by CM: No tending by night" in words
        assert "a figure in an order is not watched" in words


@pytest.mark.slow
async def test_an_order_is_entered_and_withdrawn_by_its_number_with_initials() -> None:
    async with console(with_orders(), size=(120, 30)) as shown:
        await shown.press("O")
        assert "3 standing orders" in shown.text, "who enters one has them in sight"
        await shown.type("Call me at 04:00")
        await shown.press("enter")
        assert "no initials" in shown.text
        await shown.press("tab")
        await shown.type("cm")
        await shown.press("enter", "enter")
        assert shown.desk.actions == [GiveOrder("Call me at 04:00", "cm")]
        for text, said in (("withdraw 9", "there is no order 9, expected 1 to 3"), (CALL, "stands already")):
            await shown.press("O")
            await shown.type(text)
            await shown.press("enter")
            assert said in shown.text
            await shown.press("escape")
        await shown.press("O")
        await shown.type("withdraw 2")
        await shown.press("tab")
        await shown.type("cm")
        await shown.press("enter", "enter")
        assert shown.desk.actions[-1] == WithdrawOrder("Two hands at a winch", "cm")


async def test_the_initials_of_who_gives_an_order_are_those_of_nothing_else() -> None:
    """The master gives it, the officer enters it: neither stands in the place of the other."""
    async with console(with_orders(), size=(120, 30)) as shown:
        await shown.press("w")
        await shown.type("rain")
        await shown.press("tab")
        await shown.type("cd")
        await shown.press("enter", "O")
        assert shown.app.query_one("#order_form_by", Input).value == ""
        await shown.type("No tending alone")
        await shown.press("tab")
        await shown.type("MST")
        await shown.press("enter", "enter")
        assert shown.desk.actions[-1] == GiveOrder("No tending alone", "MST")
        await shown.press("w")
        assert shown.app.query_one("#note_form_by", Input).value == "cd"


@pytest.mark.slow
async def test_an_order_is_read_whole_before_it_is_confirmed() -> None:
    text = "Call me before any breast is slacked; over 25 kn from the north stop the loader, call me"
    async with console(with_orders()) as shown:
        await shown.press("O")
        await shown.type(text)
        await shown.press("tab")
        await shown.type("MST")
        await shown.press("enter")
        words = " ".join(shown.text.split())
        assert f"Will record: standing order: {text}. Enter records it, Esc leaves" in words


@pytest.mark.slow
async def test_before_the_first_figures_nothing_is_said_to_be_none() -> None:
    unknown = replace(invented.normal(), time=math.nan)
    async with console(unknown) as shown:
        await to_orders(shown)
        assert "No standing orders" not in shown.text
        assert "not known yet" in shown.text


@pytest.mark.slow
async def test_without_any_it_says_so_and_how_one_is_entered() -> None:
    async with console(invented.normal()) as shown:
        await to_orders(shown)
        assert "No standing orders" in shown.text
        assert "O enters one" in shown.text


async def test_text_from_outside_cannot_steer_the_terminal() -> None:
    picture = with_orders()
    odd = replace(picture, watchkeeping=Watchkeeping(given=(StandingOrder("look\x1b[2J [/] out", "\x1b"),)))
    async with console(odd) as shown:
        await to_orders(shown)
        assert "\x1b" not in shown.text
        assert "[/] out" in shown.text
