"""The colours of a section's inks."""

from rich.style import Style

from alongside.screens.palettes import Palette
from alongside.screens.section_drawing import GONE_INK, LATER_INK, QUAY_INK, SHIP_INK, WATER_INK, WORD_INK
from alongside.stay.stage import Stage


def section_style(palette: Palette, ink: int) -> Style:
    """Return how an ink of a section looks; -1 is the background."""
    if ink in (SHIP_INK, WORD_INK):
        return palette.text
    if ink in (QUAY_INK, LATER_INK, GONE_INK):
        return palette.label
    if ink == WATER_INK:
        return palette.style(palette.normal)
    return palette.text if ink < 0 else palette.style(palette.stage(Stage(ink)), bold=ink >= Stage.WARNING)
