"""Page Decide by: what does not fit is scrolled to, whatever the size."""

from dataclasses import replace
from math import inf

import pytest

from alongside.cycle.picture import Picture
from alongside.screens.decide_page import DecidePage
from tests.screens import invented
from tests.screens.shown import console


def with_notes(count: int) -> Picture:
    here = invented.deciding()
    assert here.decisions is not None
    notes = tuple(f"note {at} of what it rests on" for at in range(1, count + 1))
    return replace(here, decisions=replace(here.decisions, notes=notes))


@pytest.mark.parametrize("size", [(80, 24), (120, 30)], ids=str)
async def test_every_row_of_words_can_be_scrolled_to(size: tuple[int, int]) -> None:
    """The time lines above them take rows of the page too."""
    async with console(with_notes(12), size=size) as shown:
        await shown.turn("decide")
        assert "Note 12 of" not in shown.text
        assert "rows more, ↓" in shown.text
        seen = shown.text
        for _ in range(20):
            await shown.press("down")
            seen += shown.text
        assert all(f"Note {at} of" in seen for at in range(1, 13))
        assert "rows more, ↓" not in shown.text
        await shown.press("pagedown")
        await shown.press("up")
        assert "rows more, ↓" in shown.text, "the scroll stops at the end"


async def test_how_long_ago_it_was_calculated_goes_on() -> None:
    """Within a minute too, in which nothing else on the page changes."""
    here = invented.deciding()
    async with console(replace(here, time=here.time + 5.0)) as shown:
        await shown.turn("decide")
        page, view = shown.app.query_one("#decide_page", DecidePage), shown.app.view
        assert "calculated 5 s ago" in shown.text
        later = replace(view, watch=replace(view.watch, time=here.time + 30.0))
        assert page.basis(later) != page.basis(view)
        assert page.basis(replace(view)) == page.basis(view)


async def test_before_the_first_picture_it_says_so() -> None:
    async with console() as shown:
        await shown.turn("decide")
        assert "section decide" in shown.text


async def test_an_answer_from_before_the_last_deed_stands_and_says_so() -> None:
    here = invented.deciding()
    assert here.decisions is not None
    old = replace(here, time=here.time + 40.0, decisions=replace(here.decisions, before_deed=True))
    async with console(old) as shown:
        await shown.turn("decide")
        assert "Calculated 40 s ago, before the last deed" in shown.text
        assert "Stop cargo by" in shown.text


async def test_tugs_that_are_there_stand_as_ordered_from_the_left_end_on() -> None:
    """They were alongside before anything was due: at no time that the axis has."""
    here = invented.deciding()
    assert here.decisions is not None
    rows = tuple(replace(row, answered=-inf) if row.order == "tugs" else row for row in here.decisions.rows)
    there = replace(here, decisions=replace(here.decisions, rows=rows))
    async with console(there) as shown:
        await shown.turn("decide")
        assert "Tugs are alongside" in shown.text
        assert "could not be drawn" not in shown.text
        (line,) = [row for row in shown.text.splitlines() if row.startswith(" tugs")]
        assert line.split()[1].startswith("◆")
