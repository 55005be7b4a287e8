"""What the whole screen looks like, as text, at three sizes."""

from dataclasses import replace

import pytest

from alongside.screens.parts import Part
from tests.screens import invented
from tests.screens.shown import check_snapshot, console

SIZES = ((80, 24), (120, 30), (160, 50))
SCENES = {
    "waiting": invented.waiting,
    "normal": invented.normal,
    "flood": invented.flood,
    "blind": invented.blind,
    "in_question": invented.in_question,
}
PARTS_SHOWN: tuple[Part, ...] = (
    "table",
    "plan",
    "line",
    "chart",
    "wind",
    "ahead",
    "rounds",
    "log",
    "handover",
    "help",
)
sizes = pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")


@pytest.mark.slow
@sizes
@pytest.mark.parametrize("scene", SCENES)
async def test_scene(scene: str, size: tuple[int, int]) -> None:
    async with console(SCENES[scene](), size=size) as shown:
        assert len(shown.rows) == size[1]
        check_snapshot(f"{scene}_{size[0]}x{size[1]}", shown.text)
        if scene == "flood":
            await shown.turn("alerts")
            check_snapshot(f"flood_alerts_{size[0]}x{size[1]}", shown.text)
        if scene == "in_question":
            parts: tuple[Part, ...] = ("wind", "line", "handover")
            for part in parts:
                await shown.turn(part)
                check_snapshot(f"in_question_{part}_{size[0]}x{size[1]}", shown.text)
                await shown.press("escape")


@pytest.mark.slow
@sizes
async def test_what_is_to_be_decided(size: tuple[int, int]) -> None:
    async with console(invented.deciding(), size=size) as shown:
        await shown.turn("decide")
        check_snapshot(f"decide_{size[0]}x{size[1]}", shown.text)
        rows = [row for row in shown.rows if "▼" in row or "◆" in row]
        assert [row.split()[0] for row in rows[:2]] == ["stop", "tugs"]
        assert "Tugs ordered" in shown.text


@pytest.mark.slow
@sizes
async def test_parts(size: tuple[int, int]) -> None:
    """Every part in turn, and the main screen again after each."""
    async with console(invented.one_warning(), size=size) as shown:
        check_snapshot(f"warning_{size[0]}x{size[1]}", shown.text)
        before = shown.text
        for part in PARTS_SHOWN:
            await shown.turn(part)
            check_snapshot(f"{part}_{size[0]}x{size[1]}", shown.text)
            await shown.press(*(["escape"] * (1 + (part == "help"))))
            assert shown.text == before


@pytest.mark.slow
@sizes
async def test_while_something_is_at_work(size: tuple[int, int]) -> None:
    """The figures paused; a form open."""
    async with console(invented.one_warning(), size=size) as shown:
        for name, key, back in (("paused", "p", "p"), ("tend", "t", "escape")):
            await shown.press(key)
            check_snapshot(f"{name}_{size[0]}x{size[1]}", shown.text)
            await shown.press(back)


@pytest.mark.slow
async def test_before_the_first_picture() -> None:
    """Nothing has come yet: dashes and words, not a single zero."""
    async with console() as shown:
        check_snapshot("nothing_80x24", shown.text)
        lines = [row for row in shown.rows if "unknown" in row]
        assert lines
        assert not any(
            character in "0123456789" for row in lines for character in row.split("stern")[-1][20:]
        )


async def test_replay_is_told_and_bears_its_pace() -> None:
    picture = replace(invented.normal(), replay=True, speed=60.0)
    async with console(picture) as shown:
        check_snapshot("replay_80x24", shown.text)
        assert "REPLAY ×60" in shown.text
