"""The manual on board: `m` opens the page that belongs to what is in sight, and all of it can be read."""

import re
from typing import get_args

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from rich.cells import cell_len

from alongside.reports.manual_pages import page, pages
from alongside.screens.manual_page import MANUAL
from alongside.screens.manual_text import manual_rows
from alongside.screens.palettes import PALETTES
from alongside.screens.parts import OVER_ANY, PARTS, STATION, Part
from alongside.screens.rows import Piece
from tests.screens import invented
from tests.screens.shown import console

PALETTE = PALETTES["day"]


def words(rows: list[list[Piece]]) -> str:
    return " ".join("".join(text for text, _style in row) for row in rows)


def bare(text: str) -> str:
    """Letters and figures alone: what no layout may lose."""
    return "".join(re.findall(r"[^\W_]+", text))


def test_every_page_of_the_screen_has_a_name_and_a_page_of_the_manual() -> None:
    assert {*PARTS, STATION} == set(MANUAL) == set(get_args(Part))
    assert set(MANUAL.values()) <= set(pages())


@pytest.mark.slow
@pytest.mark.parametrize("name", [part for part in PARTS if part not in OVER_ANY])
async def test_m_opens_the_page_that_belongs_and_escape_leads_back(name: Part) -> None:
    title = page(MANUAL[name]).splitlines()[0].lstrip("# ")
    async with console(invented.one_warning()) as shown:
        await shown.turn(name)
        await shown.press("m")
        assert shown.app.view.part == "manual"
        assert any(row.strip() == title for row in shown.rows)
        await shown.press("escape")
        assert shown.app.view.part == name
        await shown.press("m", "m")
        assert shown.app.view.part == name


async def test_from_the_lines_m_opens_the_page_of_the_console() -> None:
    async with console(invented.one_warning()) as shown:
        await shown.press("m")
        assert "# " not in shown.text
        assert any(row.strip() == "The console" for row in shown.rows)
        await shown.press("end")
        assert any(" of " in row and row.startswith("  rows ") for row in shown.rows)
        last = page("console").rstrip().splitlines()[-1].split()[-1].strip("`.")
        assert last in shown.text
        await shown.press("escape")
        assert shown.app.view.part == "lines"


@pytest.mark.parametrize("width", [76, 116, 156])
@pytest.mark.parametrize("name", pages())
def test_every_page_fits_and_loses_no_word(name: str, width: int) -> None:
    text = page(name)
    rows = manual_rows(text, width, PALETTE)
    for row in rows:
        written = "".join(piece for piece, _style in row).rstrip()
        assert cell_len(written) <= width, written
    links = re.sub(r"\]\([^)]*\)", "]", text)
    expected = re.findall(r"[^\W_]+", re.sub(r"^```.*", "", links, flags=re.M))
    shown = bare(words(rows))
    assert not [word for word in expected if word not in shown]


@given(st.text(alphabet="a b|`*[]()#-\n\\1.>", max_size=200), st.integers(4, 60))
@example("|-", 4)
def test_no_text_breaks_it(text: str, width: int) -> None:
    for row in manual_rows(text, width, PALETTE):
        assert "\n" not in "".join(piece for piece, _style in row)
