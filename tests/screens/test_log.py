"""The history page: every event can be read whole, also a long note on a narrow screen."""

from dataclasses import replace

import pytest

from alongside.alerts.model import Event
from alongside.stay.model import Display
from alongside.units import unix_time
from tests.screens import invented
from tests.screens.shown import console

NOTE = " ".join(f"word{number}" for number in range(60))


@pytest.mark.slow
@pytest.mark.parametrize("size", [(80, 24), (160, 50)])
async def test_a_long_note_is_shown_whole(size: tuple[int, int]) -> None:
    picture = invented.normal()
    picture = replace(picture, log=(*picture.log, Event(picture.time, "note", text=NOTE)))
    async with console(picture, size=size) as shown:
        await shown.turn("log")
        for number in range(60):
            assert f"word{number}" in shown.text.split()


NIGHT = unix_time("2026-10-25T00:25:00Z")
"""London puts its clocks back at 01:00 UTC (EU rule)."""


@pytest.mark.slow
@pytest.mark.parametrize("size", [(80, 24), (160, 50)])
async def test_the_hour_that_comes_twice_is_told_apart(size: tuple[int, int]) -> None:
    picture = invented.normal()
    stay = replace(picture.stay, display=Display(zone="Europe/London"))
    first, second, before = (
        Event(time, "note", text=f"{text} word0 word1 word2 word3 word4 word5 word6 word7 word8")
        for time, text in ((NIGHT, "first"), (NIGHT + 3600.0, "second"), (NIGHT - 7 * 3600.0, "before"))
    )
    async with console(replace(picture, stay=stay, log=(before, first, second)), size=size) as shown:
        await shown.turn("log")
        rows = [row for row in shown.rows if "01:25:00" in row]
        assert [row.split()[2] for row in rows] == ["+0000", "+0100"], "newest first"
        assert "18:25:00 +0100" in shown.text, "all rows of a list alike"
        columns = {
            row.index("word0") - len(name)
            for row in shown.rows
            for name in ("first", "second", "before")
            if f"{name} word0" in row
        }
        assert len(columns) == 1, "words begin in one column"
    for log, zoned in (((before,), False), ((first,), True)):
        async with console(replace(picture, stay=stay, log=log), size=size) as shown:
            await shown.turn("log")
            assert (":25:00 +0100" in shown.text) == zoned, "the clocks change within six hours, or do not"


@pytest.mark.slow
async def test_the_oldest_of_many_comes_in_sight_and_no_row_stays_empty() -> None:
    picture = invented.normal()
    many = tuple(Event(picture.time + k, "note", text=f"number {k} {NOTE}") for k in range(30))
    async with console(replace(picture, log=many), size=(80, 24)) as shown:
        await shown.turn("log")
        assert "number 29" in shown.text
        await shown.press("end")
        assert "number 0" in shown.text
        assert "of 30 events" in shown.text
        await shown.press("home")
        assert "number 29" in shown.text


async def test_what_was_done_as_of_another_time_has_it_by_the_clock_of_the_place() -> None:
    picture = invented.normal()
    done = Event(
        unix_time("2026-03-02T23:50:00Z"), "tended", text="Line 2 to 20 kN, as of 2026-03-02T20:49:03Z"
    )
    async with console(replace(picture, log=(done,))) as shown:
        await shown.turn("log")
        assert "as of 22:49" in shown.text or "as of 02 Mar 22:49" in shown.text
        assert "20:49:03Z" not in shown.text
