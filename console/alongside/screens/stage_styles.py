"""How a stage looks: weight and colour beside the mark and word of `wording.marks`, so that no one of them
must carry it alone.

After IMO bridge alert presentation: alarm reverse and bold, warning bold.
"""

from typing import Final

from rich.style import Style

from alongside.screens.palettes import Palette
from alongside.stay.stage import Stage
from alongside.wording.marks import MARKS

WIDEST: Final = len("● WARNING")
"""Cells of the widest mark and word."""


def stage_style(palette: Palette, stage: Stage, *, flash: bool = False, on: str | None = None) -> Style:
    """Return the style of mark and word. `flash` turns reverse video over, for alerts nobody has answered."""
    reverse = (stage == Stage.ALARM) != flash
    return palette.style(palette.stage(stage), on, bold=stage >= Stage.WARNING, reverse=reverse)


def value_style(palette: Palette, stage: Stage, on: str | None = None) -> Style:
    """Return the style of a figure in a stage: its colour from caution up, plain ink below."""
    if stage == Stage.NORMAL or (stage < Stage.ALARM and not palette.coloured_figures):
        return palette.style(palette.ink, on, bold=stage > Stage.NORMAL)
    return palette.style(palette.stage(stage), on, bold=stage >= Stage.WARNING)


def marked(text: str, stage: Stage) -> str:
    """Return a figure with the mark of its stage before it, none at normal: `● 88 %`."""
    return f"{MARKS[stage]} {text}" if stage > Stage.NORMAL else text
