"""The history page: every event can be read whole, also a long note on a narrow screen."""

from dataclasses import replace

import pytest

from alongside.alerts.model import Event
from tests.screens import invented
from tests.screens.shown import console

NOTE = " ".join(f"word{number}" for number in range(60))


@pytest.mark.parametrize("size", [(80, 24), (160, 50)])
async def test_a_long_note_is_shown_whole(size: tuple[int, int]) -> None:
    picture = invented.normal()
    picture = replace(picture, log=(*picture.log, Event(picture.time, "note", text=NOTE)))
    async with console(picture, size=size) as shown:
        await shown.press("h")
        for number in range(60):
            assert f"word{number}" in shown.text.split()


async def test_the_oldest_of_many_comes_in_sight_and_no_row_stays_empty() -> None:
    picture = invented.normal()
    many = tuple(Event(picture.time + k, "note", text=f"number {k} {NOTE}") for k in range(30))
    async with console(replace(picture, log=many), size=(80, 24)) as shown:
        await shown.press("h")
        assert "number 29" in shown.text
        await shown.press("end")
        assert "number 0" in shown.text
        assert "of 30 events" in shown.text
        await shown.press("home")
        assert "number 29" in shown.text
