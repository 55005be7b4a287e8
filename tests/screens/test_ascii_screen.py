"""The whole screen in ASCII: every page, with figures, forms and names of any letters."""

from collections.abc import Callable
from dataclasses import replace
from typing import Final

import pytest
from rich.cells import cell_len

from alongside.cycle.picture import Picture
from alongside.screens.parts import PARTS
from alongside.screens.plain_letters import MEANINGS
from alongside.screens.terminal_letters import NOTICE, environment_at_start, has_plain_letters_only
from tests.screens import invented
from tests.screens.shown import Shown, console
from tests.screens.terminal import PROGRAM, OnTerminal

pytestmark = pytest.mark.slow

SIZES = ((80, 24), (160, 50))
FORMS = ("t", "escape", "w", "escape", "r", "escape", "i", "escape")


def with_a_name_of_other_letters() -> Picture:
    picture = invented.one_warning()
    ship = replace(picture.stay.ship, name="Ångström – 波止場")
    return replace(picture, stay=replace(picture.stay, ship=ship))


SCENES: Final = (
    invented.waiting,
    invented.normal,
    invented.flood,
    invented.blind,
    invented.in_question,
    with_a_name_of_other_letters,
)


_FAST: Final = ((invented.in_question, (80, 24)), (with_a_name_of_other_letters, (160, 50)))


def check(shown: Shown, width: int, step: str) -> None:
    for strip in shown.app.screen._compositor.render_strips():
        text = "".join(segment.text for segment in strip)
        assert text.isascii(), (step, text)
        assert len(text) == cell_len(text) == width, (step, text)


@pytest.mark.parametrize(
    ("scene", "size"),
    [
        pytest.param(
            scene,
            size,
            id=f"{scene.__name__}-{size[0]}x{size[1]}",
            marks=[] if (scene, size) in _FAST else [pytest.mark.slow],
        )
        for scene in SCENES
        for size in SIZES
    ],
)
async def test_every_page_is_in_ascii(scene: Callable[[], Picture], size: tuple[int, int]) -> None:
    async with console(scene(), size=size, plain_letters=True) as shown:
        check(shown, size[0], "at first")
        for part in PARTS:
            await shown.turn(part)
            check(shown, size[0], part)
            await shown.press("escape", "escape")
        for key in FORMS:
            await shown.press(key)
            check(shown, size[0], key)


async def test_the_help_says_what_plain_letters_are() -> None:
    for plain in (True, False):
        async with console(invented.normal(), size=(160, 80), plain_letters=plain) as shown:
            await shown.turn("help")
            for meaning in MEANINGS.values():
                assert (meaning in shown.text) == plain, meaning


async def test_signs_stand_where_they_stood() -> None:
    async with console(invented.one_warning(), size=(120, 30)) as shown:
        before = shown.rows
    async with console(invented.one_warning(), size=(120, 30), plain_letters=True) as shown:
        after = shown.rows
    assert any("@ WARNING" in row for row in after)
    for old, new in zip(before, after, strict=True):
        assert len(new) == cell_len(old)
        plain = [(one, other) for one, other in zip(old, new, strict=False) if one.isascii()]
        assert all(one == other for one, other in plain)


@pytest.mark.parametrize(
    ("environment", "plain"),
    [
        ({"LANG": "C"}, True),
        ({"LANG": "POSIX", "LC_CTYPE": "C.UTF-8"}, True),  # as Python leaves it
        ({"LC_ALL": "en_GB.ISO-8859-1", "LANG": "en_GB.UTF-8"}, True),
        ({"LC_CTYPE": "en_GB.utf8", "LANG": "C"}, False),
        ({"LANG": "nb_NO.UTF-8"}, False),
        ({"LANG": "C.UTF-8"}, False),
        ({}, False),
        ({"TERM": "linux", "LANG": "nb_NO.UTF-8"}, True),
        ({"TERM": "vt220"}, True),
        ({"TERM": "xterm-256color"}, False),
        ({"TERM": "screen.linux"}, False),
    ],
)
def test_which_terminals_have_plain_letters_only(environment: dict[str, str], plain: bool) -> None:
    assert has_plain_letters_only(environment) == plain
    assert environment_at_start()


def test_where_the_terminal_has_no_others_letters_are_plain_and_it_is_said() -> None:
    """In a real process, whose environment Python has changed by the time it is asked."""
    program = PROGRAM.format(scene="one_warning", palette="day")
    bare = {"LANG": "C", "LC_ALL": "", "LC_CTYPE": ""}
    terminal = OnTerminal(["-c", program], environment=bare)
    try:
        terminal.wait_for(lambda: terminal.shows("@ WARNING") and terminal.shows(NOTICE))
        assert all(row.isascii() for row in terminal.screen.display)
    finally:
        terminal.close()
