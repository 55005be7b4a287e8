"""Forms: whose initials stand in them, and what is pasted."""

from dataclasses import replace

import pytest
from textual.events import Paste
from textual.widgets import Input

from alongside.actions import Note, TendLine
from alongside.alerts.model import Event
from alongside.cycle.picture import Picture
from alongside.cycle.watchkeeping import HAND_OVER
from tests.screens import invented
from tests.screens.shown import Shown, console


def taken_over(*initials: str) -> Picture:
    """A watch on a console that was started anew since it was last taken over."""
    picture = invented.one_warning()
    log = tuple(
        Event(picture.time - 3600.0 + at, "note", subject=HAND_OVER, text=f"Watch taken over by {by}")
        for at, by in enumerate(initials)
    )
    return replace(picture, log=(*picture.log, *log, Event(picture.time, "gap", text="no watch for 40 s")))


async def paste(shown: Shown, text: str) -> None:
    shown.app.post_message(Paste(text))
    await shown.pilot.pause()


def field(shown: Shown, name: str) -> Input:
    return shown.app.query_one(f"#{name}", Input)


@pytest.mark.slow
async def test_whoever_took_over_last_is_preset_and_typed_over() -> None:
    async with console(taken_over("old", "rv")) as shown:
        await shown.press("w")
        assert field(shown, "note_form_by").value == "rv"
        await shown.type("rain")
        await shown.press("tab", "t", "k", "enter")
        assert shown.desk.actions == [Note("rain", "tk")]
        await shown.press("w")
        assert field(shown, "note_form_by").value == "tk", "who did something here since goes before"
        await shown.press("escape", "t")
        await shown.type("out 0.2")
        await shown.press("enter", "enter")
        done = shown.desk.actions[-1]
        assert isinstance(done, TendLine)
        assert done.by == "tk"


async def test_the_form_to_take_over_begins_empty() -> None:
    async with console(taken_over("rv")) as shown:
        await shown.press("k")
        assert field(shown, "take_over_form_by").value == ""


@pytest.mark.slow
async def test_initials_have_eight_characters_at_most() -> None:
    async with console(taken_over("a name in full")) as shown:
        await shown.press("w")
        assert field(shown, "note_form_by").value == "a name i"
        await shown.press("tab", *"abcdefghij")
        assert field(shown, "note_form_by").value == "abcdefgh"


def alike(*ids: str) -> Picture:
    """The scene with lines of these ids."""
    picture = invented.one_warning()
    lines = tuple(replace(line, id=name) for line, name in zip(picture.stay.lines, ids, strict=False))
    rows = tuple(replace(row, id=name) for row, name in zip(picture.lines, ids, strict=False))
    return replace(picture, stay=replace(picture.stay, lines=lines), lines=rows, alerts=())


@pytest.mark.slow
@pytest.mark.parametrize(
    ("typed", "meant"),
    [("a", "a"), ("A", "A"), ("b", "B"), ("B", "B"), ("1", "1"), ("10", "10"), ("Aa", None), ("c", None)],
)
async def test_an_id_means_the_line_of_exactly_that_id_first(typed: str, meant: str | None) -> None:
    async with console(alike("a", "A", "B", "10", "1", "aA", "AA")) as shown:
        await shown.press("t", "shift+tab", "end", *["backspace"] * 8, *typed, "tab", *"out", "space", "1")
        await shown.press("enter", "enter")
        lines = [action.line for action in shown.desk.actions if isinstance(action, TendLine)]
        assert lines == ([] if meant is None else [meant])
        assert ("Not done: no line" in shown.text) == (meant is None)


@pytest.mark.slow
@pytest.mark.parametrize("end", ["\n", "\r", "\r\n", "\n\n", " \n  "])
async def test_a_note_of_several_lines_is_pasted_whole(end: str) -> None:
    async with console(invented.normal()) as shown:
        await shown.press("w")
        await paste(
            shown, end.join(["pilot ordered for six", "two tugs", "all lines singled up"]) + end.strip(" ")
        )
        await shown.press("enter")
        assert shown.desk.actions == [Note("pilot ordered for six two tugs all lines singled up")]


@pytest.mark.slow
async def test_a_paste_goes_where_the_cursor_is_and_replaces_what_is_chosen() -> None:
    async with console(taken_over("rv")) as shown:
        await shown.press("w")
        await shown.type("at six")
        await shown.press("home")
        await paste(shown, "pilot ")
        assert field(shown, "note_form_text").value == "pilot at six"
        await shown.press("tab")
        await paste(shown, "tk\n")
        assert field(shown, "note_form_by").value == "tk"


async def test_a_note_has_five_hundred_characters_at_most_and_loses_none() -> None:
    async with console(invented.normal()) as shown:
        await shown.press("w")
        await paste(shown, "x" * 501)
        await shown.press("enter")
        assert "Not done: the note has 501 characters, expected at most 500" in shown.text
        await shown.press("backspace", "enter")
        assert shown.desk.actions == [Note("x" * 500)]
