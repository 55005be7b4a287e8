"""Text from outside is shown as it is: no markup, no control characters, no half characters."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from alongside.alerts.model import Event
from alongside.cycle.picture import Advice
from alongside.screens.palettes import PALETTES
from alongside.screens.rows import fit, strip, wrap
from alongside.stay.stage import Stage
from alongside.wording.safe import safe
from tests.screens import invented
from tests.screens.shown import console

WICKED = "[/] [bold]X[/bold] \x1b[31m\x07\u202e[red"


@pytest.mark.slow
async def test_markup_and_control_characters_are_shown_not_obeyed() -> None:
    stay = invented.invented_stay(ship=WICKED, berth="[link=x]Berth[/]")
    picture = replace(
        invented.one_warning(stay),
        alerts=(invented.alert("feed", "[/x]", Stage.WARNING, f"Feed {WICKED} lost"),),
        log=(Event(invented.NOW, "note", text=WICKED),),
        advice=Advice(f"Look at {WICKED}", Stage.WARNING),
    )
    for size in ((80, 24), (160, 50)):
        async with console(picture, size=size) as shown:
            for key in ("enter", "l", "h", "c", "v", "question_mark", "t", "escape", "w"):
                await shown.press(key)
                assert "\x1b" not in shown.text
                assert "\x07" not in shown.text
                assert "\u202e" not in shown.text
                assert shown.app.view.fault == ""
            await shown.press("escape", "h", "h")
            assert "[/] [bold]X[/bold]" in shown.text


@pytest.mark.slow
async def test_wide_characters_of_a_name_keep_the_columns_straight() -> None:
    stay = invented.invented_stay(ship="海鷗丸第二十八号光輝" * 3, berth="港町埠頭")
    for width in (80, 100, 120):
        async with console(invented.normal(stay), size=(width, 24)) as shown:
            assert all(cell_len(row) <= width for row in shown.rows)
            assert "04:12:18" in shown.text
            assert width == 80 or "海鷗丸" in shown.text


@pytest.mark.slow
async def test_a_note_cannot_smuggle_control_characters_into_the_record() -> None:
    async with console(invented.normal()) as shown:
        await shown.press("w")
        shown.app.query_one("#note_form_text").value = "one\x1b[2Jtwo"  # type: ignore[attr-defined]
        await shown.press("enter")
        assert shown.desk.actions[0].text == "one·[2Jtwo"  # type: ignore[union-attr]


@given(st.text(max_size=60), st.integers(1, 40))
def test_fit_and_strip_never_exceed_their_room(text: str, cells: int) -> None:
    shown = safe(text)
    assert cell_len(fit(shown, cells)) <= cells
    style = PALETTES["day"].text
    assert strip([(shown, style), (shown, style)], cells, style).cell_length == cells


@given(st.text(alphabet="ab []/海 \t", max_size=80), st.integers(2, 30))
def test_wrap_loses_no_character_but_blanks(text: str, cells: int) -> None:
    lines = wrap(text, cells)
    assert all(cell_len(line) <= cells for line in lines)
    assert "".join("".join(lines).split()) == "".join(text.split())


def test_outside_keeps_plain_text_and_shows_the_rest_as_dots() -> None:
    assert safe("Corvane Light № 2 – 海") == "Corvane Light № 2 – 海"
    assert safe("a\x00b\x1bc\u200bd\ne") == "a·b·c·d e"
