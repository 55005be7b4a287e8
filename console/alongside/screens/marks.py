"""How a stage looks: a mark, a word, a weight and a colour, so that no one of them must carry it alone.

Marks after IMO bridge alert presentation: alarm reverse and bold, warning bold.
"""

from typing import Final

from rich.style import Style

from alongside.screens.palettes import Palette
from alongside.stay.model import StageLimits
from alongside.stay.stage import Stage

MARKS: Final = {Stage.NORMAL: "·", Stage.CAUTION: "■", Stage.WARNING: "●", Stage.ALARM: "▲"}
UNKNOWN: Final = "–"

WIDEST: Final = len("● WARNING")


def stage_text(stage: Stage) -> str:
    """Mark and word: `▲ ALARM`; for normal `· normal`, in small letters for it asks for nothing."""
    word = stage.word if stage == Stage.NORMAL else stage.word.upper()
    return f"{MARKS[stage]} {word}"


def stage_style(palette: Palette, stage: Stage, *, flash: bool = False, on: str | None = None) -> Style:
    """Style of mark and word. `flash` turns reverse video over, for alerts nobody has answered."""
    reverse = (stage == Stage.ALARM) != flash
    return palette.style(palette.stage(stage), on, bold=stage >= Stage.WARNING, reverse=reverse)


def value_style(palette: Palette, stage: Stage, on: str | None = None) -> Style:
    """Style of a figure that lies in a stage: its colour from caution up, plain ink below."""
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
