"""Pages that come back by themselves, the mouse, what goes out of the screen, every part at every size."""

import re
import xml.etree.ElementTree as ET
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from rich.cells import cell_len

from alongside.cycle.picture import Picture
from alongside.screens.idle import AT_IT_S, HOME_AFTER_S, PAUSED_FOR_S
from alongside.screens.parts import OVER_ANY, PARTS, Part
from tests.screens import invented
from tests.screens.shown import Shown, console

SIZES = ((80, 24), (100, 30), (120, 30), (132, 43), (160, 50), (250, 70))
DRAWN = ("lines", "plan", "line", "chart", "wind", "ahead")
"""Parts that are more than rows of text."""
SCENES: tuple[Callable[[], Picture], ...] = (
    invented.one_warning,
    invented.flood,
    invented.blind,
    invented.waiting,
    invented.in_question,
    invented.awkward,
)


async def left_for(shown: Shown, seconds: float) -> None:
    """Nobody touches the screen for so long; the watch goes on."""
    shown.clock.seconds += seconds
    await shown.pass_time(0.0)


@pytest.mark.slow
async def test_home_by_itself_after_three_minutes_without_a_key() -> None:
    async with console(invented.one_warning()) as shown:
        await shown.turn("wind")
        await left_for(shown, HOME_AFTER_S - 1.0)
        assert shown.app.view.part == "wind"
        await shown.press("down")
        await left_for(shown, HOME_AFTER_S - 1.0)
        assert shown.app.view.part == "wind", "a key begins the time anew"
        await left_for(shown, 2.0)
        assert shown.app.view.part == "lines"


@pytest.mark.slow
async def test_home_on_a_new_alarm_unless_somebody_is_at_the_screen() -> None:
    for idle_s, part in ((AT_IT_S - 1.0, "log"), (AT_IT_S + 1.0, "lines")):
        async with console(invented.one_warning()) as shown:
            await shown.turn("log")
            await left_for(shown, idle_s)
            await shown.deliver(replace(invented.flood(), groups=()))
            shown.app.beat()
            assert shown.app.view.part == part, idle_s


@pytest.mark.slow
async def test_an_alarm_that_is_not_new_calls_nobody_home() -> None:
    async with console(replace(invented.flood(), groups=())) as shown:
        await shown.pass_time(1.0)
        await shown.turn("log")
        await left_for(shown, AT_IT_S + 1.0)
        await shown.deliver(replace(invented.flood(), groups=()))
        shown.app.beat()
        assert shown.app.view.part == "log"


@pytest.mark.slow
async def test_an_open_form_keeps_page_text_and_keys_whatever_comes() -> None:
    async with console(invented.one_warning()) as shown:
        await shown.turn("gauges")
        await shown.press("w")
        await shown.type("half a no")
        await left_for(shown, HOME_AFTER_S + 1.0)
        await shown.deliver(replace(invented.flood(), groups=()))
        shown.app.beat()
        await shown.pilot.pause()
        assert shown.app.view.part == "gauges"
        assert shown.app.form.name == "note_form"
        await shown.press("t", "e")
        assert "half a note" in shown.text
        assert "▲ ALARM" in shown.text, "headline and count tell of it"
        assert "to ack" in shown.text


@pytest.mark.slow
@pytest.mark.parametrize(
    "stays", [{"replay": True, "paused": True}, {"exercise": True}], ids=["stopped replay", "exercise"]
)
async def test_a_stopped_replay_and_an_exercise_keep_the_page(stays: dict[str, bool]) -> None:
    async with console(replace(invented.one_warning(), **stays)) as shown:  # type: ignore[arg-type]
        await shown.turn("wind")
        await left_for(shown, 10.0 * HOME_AFTER_S)
        assert shown.app.view.part == "wind"


@pytest.mark.slow
async def test_frozen_figures_go_on_by_themselves() -> None:
    async with console(invented.normal()) as shown:
        await shown.press("p")
        await left_for(shown, PAUSED_FOR_S - 1.0)
        assert shown.app.view.paused_at is not None
        await left_for(shown, 2.0)
        assert shown.app.view.paused_at is None


@pytest.mark.slow
async def test_the_mouse_chooses_pages_parts_lines_and_alerts() -> None:
    async with console(replace(invented.flood(), groups=()), size=(120, 30)) as shown:
        await shown.pilot.click("#pages", offset=(12, 0))
        assert shown.app.view.part == "line"
        await shown.pilot.click("#parts", offset=(9, 0))
        assert shown.app.view.part == "chart"
        await shown.pilot.click("#pages", offset=(2, 0))
        await shown.pilot.click("#glance", offset=(20, 3))
        assert shown.app.view.line == shown.rows[shown.app.query_one("#glance").region.y + 3][12:16].strip()
        await shown.pilot.click("#pages", offset=(34, 0))
        assert shown.app.view.part == "alerts"
        await shown.pilot.click("#alerts_page", offset=(40, 2))
        chosen = shown.app.view.alert
        assert chosen is not None
        assert chosen[1] in next(row for row in shown.rows if row.startswith("▸ "))


async def test_a_click_while_a_form_is_open_changes_nothing() -> None:
    async with console(invented.one_warning()) as shown:
        await shown.press("w")
        await shown.pilot.click("#pages", offset=(12, 0))
        assert shown.app.view.part == "lines"
        assert shown.app.form.name == "note_form"


@pytest.mark.slow
async def test_alert_and_line_can_be_copied() -> None:
    async with console(invented.one_warning()) as shown:
        await shown.press("C")
        assert "● WARNING Line B1 stretch 88 %" in shown.app.clipboard
        assert "Line B1 breast: ● WARNING" in shown.app.clipboard
        assert "Copied" in shown.text


@pytest.mark.slow
async def test_what_is_in_sight_goes_to_files_and_none_is_overwritten(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    async with console(invented.one_warning()) as shown:
        for _ in range(2):
            await shown.press("E")
            await shown.app.workers.wait_for_complete()
            await shown.pilot.pause()
        assert "Written: view-lines-" in shown.text
    files = sorted(path.name for path in tmp_path.iterdir())
    assert len(files) == 4
    text = next(tmp_path.glob("*Z.txt")).read_text(encoding="utf-8")
    assert "WIND kn" in text
    picture = next(tmp_path.glob("*Z.svg"))
    assert ET.parse(picture).getroot().tag.endswith("svg")
    fetched = re.findall(r"(?:url\(|href=)[\"']?([^\"')]+)", picture.read_text(encoding="utf-8"))
    assert all(each.startswith("#") for each in fetched), "nothing is fetched from elsewhere"


@pytest.mark.parametrize(
    "size",
    [size if size == (80, 24) else pytest.param(size, marks=pytest.mark.slow) for size in SIZES],
    ids=lambda size: f"{size[0]}x{size[1]}",
)
async def test_every_part_at_every_size(size: tuple[int, int]) -> None:
    """Whatever is known: the clock, the count, trim and heel are there, nothing is wider than the screen."""
    for scene in SCENES if size == SIZES[-1] else SCENES[:2]:
        picture = scene()
        async with console(picture, size=size) as shown:
            for part in PARTS:
                await shown.turn(part)
                where = (scene.__name__, part)
                assert "could not be drawn" not in shown.text, where
                assert shown.app.view.fault == "", where
                assert len(shown.rows) == size[1], where
                assert all(cell_len(row) <= size[0] for row in shown.rows), where
                assert clock_in_sight(shown) or scene is invented.waiting, where
                if part not in OVER_ANY:
                    assert "Trim " in shown.text, where
                    assert "Heel " in shown.text, where
                if any(alert.flashes for alert in picture.alerts):
                    assert " to ack" in shown.text, where


def clock_in_sight(shown: Shown) -> bool:
    return ":12:18 " in shown.rows[0]


@pytest.mark.parametrize(
    "scene",
    [
        invented.one_warning,
        pytest.param(invented.blind, marks=pytest.mark.slow),
    ],
)
@pytest.mark.parametrize(
    "part",
    [part if part in DRAWN else pytest.param(part, marks=pytest.mark.slow) for part in sorted(PARTS)],
)
async def test_storms_of_resizing_break_no_part(part: Part, scene: Callable[[], Picture]) -> None:
    """Down to a single cell and back, fast: nothing fails."""
    sizes = [(1, 1), (5, 70), (200, 3), (40, 12), (20, 5), (81, 23), (79, 25), (111, 27), (3, 40), (250, 70)]
    async with console(scene(), size=(120, 30)) as shown:
        await shown.turn(part)
        for width, height in sizes:
            await shown.pilot.resize_terminal(width, height)
            assert shown.app.view.fault == "", (width, height)
            assert "could not be drawn" not in shown.text, (width, height)
