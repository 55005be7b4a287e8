"""The screen in ASCII: one plain character for every cell, whatever stood there."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from alongside.reports.braille import Raster
from alongside.screens.letters import large
from alongside.screens.plain_letters import in_plain_letters
from alongside.stay.stage import Stage
from alongside.wording.marks import stage_text


@given(st.text(st.characters(blacklist_categories=("Cs", "Cc"))))
def test_any_text_is_plain_and_as_wide(text: str) -> None:
    plain = in_plain_letters(text)
    assert plain.isascii()
    assert cell_len(plain) == cell_len(text)
    assert in_plain_letters(plain) == plain


@pytest.mark.parametrize(
    ("text", "plain"),
    [
        ("Line 4 steep: 32° down", "Line 4 steep: 32* down"),
        ("Åse Žižka på Øya", "Ase Zizka pa Oya"),
        ("ﬁn", "fn"),
        ("波止場", "??????"),
        ("Keld Staithe…", "Keld Staithe~"),
        ("┤ │ ─ ═ ╞ ╵", "+ | - = + |"),
        ("wind ↗ 14 kn", "wind / 14 kn"),
    ],
)
def test_what_stands_for_what(text: str, plain: str) -> None:
    assert in_plain_letters(text) == plain


def test_every_stage_keeps_a_mark_of_its_own() -> None:
    words = [in_plain_letters(stage_text(stage)) for stage in Stage]
    assert words == [". normal", "# CAUTION", "@ WARNING", "! ALARM"]
    marks = {in_plain_letters(mark) for mark in "·■●▲□○△—"}
    assert len(marks) == 8  # those of what may come too, and that of what is not known


def test_arrows_stay_apart() -> None:
    assert len({in_plain_letters(arrow) for arrow in "←→↑↓↗↖↘↙"}) == 8


def test_heights_stay_apart() -> None:
    assert len({in_plain_letters(height) for height in "▁▂▃▄▅▆▇█"}) == 8


def test_a_raster_keeps_its_shape() -> None:
    """A flat line, one that rises, one that falls, one upright."""
    drawn = Raster(4, 4)
    drawn.polyline([0.0, 7.0], [1.0, 1.0], 0)
    assert shape(drawn)[0] == "----"
    drawn = Raster(4, 2)
    drawn.polyline([0.0, 7.0], [7.0, 0.0], 0)
    assert shape(drawn) == ["  .'", ".'  "]
    drawn = Raster(4, 2)
    drawn.polyline([0.0, 7.0], [0.0, 7.0], 0)
    assert shape(drawn) == ["`.  ", "  `."]
    drawn = Raster(4, 2)
    drawn.polyline([0.0, 3.0], [7.0, 0.0], 0)
    assert shape(drawn) == [" /  ", "/   "]
    drawn = Raster(2, 2)
    drawn.polyline([2.0, 2.0], [0.0, 7.0], 0)
    assert shape(drawn) == [" |", " |"]


def shape(raster: Raster) -> list[str]:
    return [in_plain_letters("".join(text for text, _ink in row)) for row in raster.runs()]


@given(st.integers(1, 255))
def test_no_dot_is_lost(bits: int) -> None:
    assert in_plain_letters(chr(0x2800 + bits)) != " "


def test_large_letters_can_be_read() -> None:
    assert [in_plain_letters(row) for row in large("LA 4")] == [
        "o    o     o o",
        "#   #o#    #o#",
        "#oo # #      #",
    ]
