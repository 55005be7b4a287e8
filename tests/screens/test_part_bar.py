"""The rule above each part: names stay beside what must be known of the screen, where there is room."""

from dataclasses import replace

import pytest

from alongside.screens.parts import PAGES, PARTS
from tests.screens import invented
from tests.screens.shown import console


@pytest.mark.slow
@pytest.mark.parametrize("page", PAGES)
async def test_a_console_that_looks_only_still_names_its_parts(page: str) -> None:
    async with console(replace(invented.normal(), look_only=True), size=(80, 24)) as shown:
        parts = PAGES[page][1]  # type: ignore[index]
        await shown.turn(parts[0])
        assert "LOOKS ONLY" in shown.text
        assert all(PARTS[part] in shown.text for part in parts[1:])


async def test_a_name_beside_a_notice_can_be_pressed() -> None:
    async with console(replace(invented.normal(), look_only=True), size=(120, 30)) as shown:
        await shown.turn("line")
        row = next(row for row in shown.rows if "LOOKS ONLY" in row)
        await shown.pilot.click("#parts", offset=(row.index("Chart") + 1, 0))
        assert shown.app.view.part == "chart"


@pytest.mark.slow
async def test_what_has_no_room_beside_the_names_takes_their_place() -> None:
    async with console(replace(invented.normal(), unkept=True, can_keep=True)) as shown:
        await shown.turn("handover")
        row = next(row for row in shown.rows if "NOBODY KEEPS WATCH" in row)
        assert "press k to take over" in row
        assert "Hand-over" not in row
        await shown.pilot.click("#parts", offset=(3, 0))
        assert shown.app.view.part == "handover", "what is not in sight cannot be pressed"


@pytest.mark.slow
async def test_nothing_is_drawn_twice_where_figures_come_every_second() -> None:
    """Drawing is most of what the console costs: a beat draws only what no new figures have drawn."""
    async with console(invented.normal()) as shown:
        drawn: list[float] = []
        board = shown.app.query_one("#vitals")
        paint = board.paint  # type: ignore[attr-defined]
        board.paint = lambda *given: drawn.append(shown.clock.seconds) or paint(*given)  # type: ignore[attr-defined, func-returns-value]
        for second in range(10):
            await shown.deliver(replace(invented.normal(), time=invented.NOW + second))
            for _ in range(2):
                shown.clock.seconds += 0.5
                shown.app.beat()
        assert 3 <= len(drawn) <= 11
