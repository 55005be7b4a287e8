"""Rows of a form below its fields: whole where there is room, else what is done and how it is confirmed."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from alongside.actions import Note
from alongside.screens.form_rows import form_rows
from tests.screens import invented
from tests.screens.shown import console

words = st.lists(st.text("ab\u6f22c.,", min_size=1, max_size=30), max_size=60).map(" ".join)
READ_BESIDE = "tide 1.4, heel 0.5 port, wind 12 from 210"


@given(words, words, st.integers(20, 160), st.integers(2, 12))
def test_rows_fit_and_are_no_more_than_there_is_room_for(
    reply: str, hint: str, width: int, most: int
) -> None:
    said, more = form_rows(reply, hint, width, most)
    assert said
    assert more
    assert len(said) + len(more) <= most
    assert all(cell_len(row) <= width for row in [*said, *more])


@given(words, words, st.integers(20, 160))
def test_with_room_nothing_is_left_out(reply: str, hint: str, width: int) -> None:
    said, more = form_rows(reply, hint, width, 400)
    assert re.sub(r"\s", "", "".join(said)) == re.sub(r"\s", "", reply)
    assert re.sub(r"\s", "", "".join(more)) == re.sub(r"\s", "", hint)


def test_clauses_stay_whole_and_apart() -> None:
    hint = "right: go on by the gauge    wrong: by the reading by hand    Esc leaves"
    rows = form_rows("", hint, 46, 9)[1]
    assert rows == ["right: go on by the gauge", "wrong: by the reading by hand  Esc leaves"]


@pytest.mark.parametrize("most", [2, 3, 4])
def test_what_is_too_long_keeps_its_beginning_and_how_it_is_confirmed(most: int) -> None:
    reply = f"Will record: a note {'of many words ' * 20}.  Enter records it, Esc leaves"
    said, _more = form_rows(reply, "hint", 60, most)
    assert said[0].startswith("Will record: a note")
    assert most == 2 or said[-1].endswith("Enter records it, Esc leaves")


@pytest.mark.slow
@pytest.mark.parametrize("size", [(80, 24), (100, 30), (120, 30)])
async def test_a_form_is_as_high_as_its_reply_and_moves_nothing_above_the_part(
    size: tuple[int, int],
) -> None:
    async with console(invented.one_warning(), size=size) as shown:
        await shown.press("3", "w")
        high = shown.app.query_one("#note_form").size.height
        top = shown.rows[:3]
        await shown.press("escape", "3", "r", "9", ".", "9", "tab", "tab")
        await shown.type(READ_BESIDE)
        await shown.press("tab", "tab", "tab", "a", "b", "enter")
        whole = " ".join(shown.text.split())
        assert "Enter records it, Esc leaves" in whole
        assert "wind 12 kn" in whole
        assert shown.rows[:3] == top
        await shown.press("escape", "3", "w")
        assert shown.app.query_one("#note_form").size.height == high
        assert shown.desk.actions == []


@pytest.mark.slow
async def test_while_a_form_is_open_the_row_of_parts_has_its_keys() -> None:
    async with console(invented.one_warning()) as shown:
        await shown.press("5", "tab", "tab")
        assert "Tab next" in shown.text
        await shown.press("w")
        assert "Tab field" in shown.text
        assert "Esc leaves" in shown.text
        await shown.press("x", "enter")
        assert shown.desk.actions == [Note("x", "")]
        assert "Tab field" not in shown.text
