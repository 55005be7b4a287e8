"""Nothing is cut in mid-word, and columns go whole where room is short."""

import re
from collections.abc import Callable
from dataclasses import replace

import pytest

from alongside.cycle.picture import Advice, Picture
from alongside.screens.letters import large
from alongside.screens.parts import PARTS
from alongside.stay.stage import Stage
from tests.screens import invented
from tests.screens.shown import console

_WORD = re.compile(r"[A-Za-z][A-Za-z_'-]*")


async def words_at(picture: Picture, width: int) -> set[str]:
    """The words of every page at a width."""
    words = set()
    async with console(picture, size=(width, 40)) as shown:
        for part in PARTS:
            await shown.turn(part)
            words |= set(_WORD.findall(shown.text))
    return words


@pytest.mark.slow
@pytest.mark.parametrize("scene", [invented.one_warning, invented.blind])
async def test_every_word_of_a_narrow_screen_is_a_word_of_a_wide_one(scene: Callable[[], Picture]) -> None:
    whole = await words_at(scene(), 260)
    for width in (80, 87, 101):
        cut = await words_at(scene(), width) - whole - {"stretch"}
        assert not cut, f"{width} columns: {sorted(cut)}"


@pytest.mark.slow
async def test_columns_go_one_after_the_other_and_the_bar_stays() -> None:
    before = 99
    for width in (160, 120, 100, 80):
        async with console(invented.one_warning(), size=(width, 26)) as shown:
            await shown.turn("table")
            heading = next(row for row in shown.rows if "down°" in row and "load t" in row)
            columns = len(heading.split(" Plan ")[0].split())
            assert columns <= before
            assert "stretch" in heading
            assert "load t" in heading
            before = columns


async def test_lines_out_of_sight_are_counted_with_their_worst() -> None:
    async with console(invented.flood()) as shown:
        assert "11 more below, worst ● WARNING" in shown.text
        await shown.press("end")
        assert "11 more above, worst ▲ ALARM" in shown.text


async def test_lines_nothing_is_known_of_are_never_called_normal() -> None:
    for picture in (invented.blind(), invented.waiting()):
        async with console(picture) as shown:
            assert "more below, all unknown" in shown.text
            assert "normal" not in shown.text
            assert "0.0" not in shown.text


@pytest.mark.slow
async def test_alert_page_shows_twenty_at_80_by_24() -> None:
    picture = replace(invented.flood(), groups=())
    # Each waits for an answer, so that none is joined with its neighbours.
    picture = replace(picture, alerts=tuple(replace(each, owed=Stage.WARNING) for each in picture.alerts))
    async with console(picture) as shown:
        await shown.turn("alerts")
        rows = [row for row in shown.rows if " min " in row and any(mark in row for mark in "▲●■")]
        assert len(rows) >= 20


@pytest.mark.slow
@pytest.mark.parametrize("width", [80, 100, 120, 159])
async def test_advice_is_never_cut(width: int) -> None:
    text = (
        "Stand by to slack line B1: 88 % of its stretch, rising with the tide and with discharge, and stand "
        "by to shift line B2 farther along: leads 29 deg down"
    )
    picture = replace(invented.one_warning(), advice=Advice(text, Stage.WARNING))
    async with console(picture, size=(width, 24)) as shown:
        headline, rest = text.split(": ", 1)
        assert all(word in shown.text for word in rest.split())
        letters = [row.strip() for row in large(headline)]
        assert headline in shown.text or all(row in shown.text for row in letters)
