"""How a stage looks: weight and colour beside the mark and word of `wording.marks`, so that no one of them
must carry it alone.

After IMO bridge alert presentation: alarm reverse and bold, warning bold.
"""

from typing import Final

from rich.style import Style

from alongside.screens.palettes import Palette
from alongside.stay.model import StageLimits
from alongside.stay.stage import Stage

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


def stage_at(value: float, limits: StageLimits, sense: int = 1) -> Stage:
    """The stage a value lies in by its limits, without the delays of alerts; NORMAL where not known.
    `sense` -1 where less is worse."""
    worst = Stage.NORMAL
    for stage, limit in zip((Stage.CAUTION, Stage.WARNING, Stage.ALARM), limits.as_tuple(), strict=True):
        if (value - limit) * sense >= 0.0:
            worst = stage
    return worst
