"""Plan and section of a stay file in the making, in the colours of the screen."""

from rich.style import Style
from rich.text import Text

from alongside.reports.braille import Raster
from alongside.reports.new_stay.drawing import (
    HULL,
    LINE,
    NAME,
    PRESENT,
    WATER,
    Drawn,
    plan,
    section,
    section_words,
)
from alongside.screens.palettes import Palette
from alongside.screens.raster_pieces import raster_pieces


def plan_text(what: Drawn | None, columns: int, rows: int, palette: Palette) -> Text:
    """Return the plan with its heading."""
    text = Text("Plan: water above, quay below\n", palette.label)
    if what is not None and rows > 2:
        _append(text, plan(what, columns, rows - 1), palette)
    return text


def section_text(what: Drawn | None, columns: int, rows: int, palette: Palette) -> Text:
    """Return the section of the line answered last, with its heading; nothing before the first line."""
    words = "" if what is None else section_words(what)
    if what is None or not words or rows <= 2:
        return Text()
    text = Text(f"Section: {words}\n", palette.label, no_wrap=True, overflow="ellipsis")
    _append(text, section(what, columns, rows - 1), palette)
    return text


def _append(text: Text, raster: Raster, palette: Palette) -> None:
    for pieces in raster_pieces(raster, lambda ink: _style(ink, palette)):
        for words, style in pieces:
            text.append(words, style)
        text.append("\n")


def _style(ink: int, palette: Palette) -> Style:
    if ink < 0:
        return palette.text
    colours = {
        HULL: palette.faint,
        LINE: palette.normal,
        PRESENT: palette.ink,
        NAME: palette.ink,
        WATER: palette.normal,
    }
    return palette.style(colours.get(ink, palette.rule), bold=ink in (PRESENT, NAME))
