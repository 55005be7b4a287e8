"""What the whole screen looks like, as text, at three sizes."""

from dataclasses import replace

import pytest

from tests.screens import invented
from tests.screens.shown import check_snapshot, console

SIZES = ((80, 24), (120, 30), (160, 50))
SCENES = {
    "waiting": (invented.waiting, ()),
    "normal": (invented.normal, ()),
    "warning": (invented.one_warning, ()),
    "flood": (invented.flood, ()),
    "flood_alerts": (invented.flood, ("l",)),
    "blind": (invented.blind, ()),
    "paused": (invented.one_warning, ("p",)),
    "tend": (invented.one_warning, ("t",)),
    "detail": (invented.one_warning, ("enter",)),
    "chart": (invented.one_warning, ("c",)),
    "plan": (invented.one_warning, ("v",)),
    "history": (invented.one_warning, ("h",)),
    "help": (invented.one_warning, ("question_mark",)),
}


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
@pytest.mark.parametrize("scene", SCENES)
async def test_screen(scene: str, size: tuple[int, int]) -> None:
    picture, keys = SCENES[scene]
    async with console(picture(), size=size) as shown:
        await shown.press(*keys)
        assert len(shown.rows) == size[1]
        check_snapshot(f"{scene}_{size[0]}x{size[1]}", shown.text)


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
