"""The stretch of a line as a bar against its allowance, with a tick at each limit."""

import math
from typing import Final

from console.assessment import Stage
from console.screens.marks import stage_at
from console.screens.palettes import Palette
from console.screens.rows import Piece
from console.stay.model import StageLimits

_EIGHTHS: Final = " ▏▎▍▌▋▊▉█"
FULL_SCALE: Final = 1.15
"""Share of the allowance at the right end; what is beyond is shown by an arrow head."""


def stretch_bar(
    share: float, limits: StageLimits, width: int, palette: Palette, on: str | None = None
) -> list[Piece]:
    """A bar of `width` cells for a share of the allowance (1 = all of it). Ticks stand at the limits, in
    front of the bar as well as beyond it; no bar where the share is not known."""
    scale = max([FULL_SCALE, *(limit * 1.05 for limit in limits.as_tuple() if math.isfinite(limit))])
    stage = stage_at(share, limits)
    colour = palette.stage(stage)
    filled = 0.0 if not math.isfinite(share) else max(0.0, share) / scale * width
    ticks = _ticks(limits, scale, width)
    pieces: list[Piece] = []
    for cell in range(width):
        part = min(max(filled - cell, 0.0), 1.0)
        if cell == width - 1 and filled > width:
            pieces.append(("▶", palette.style(colour, on)))
        elif cell in ticks and part >= 1.0:
            pieces.append(("│", palette.style(_tick_in_bar(palette, on), colour)))
        elif cell in ticks and part <= 0.5:
            pieces.append(("│", palette.style(palette.stage(ticks[cell]), on)))
        else:
            pieces.append((_EIGHTHS[round(part * 8)], palette.style(colour, on)))
    return _joined(pieces)


def _tick_in_bar(palette: Palette, on: str | None) -> str:
    return "black" if palette.ansi else (on or palette.background)


def _ticks(limits: StageLimits, scale: float, width: int) -> dict[int, Stage]:
    stages = zip((Stage.CAUTION, Stage.WARNING, Stage.ALARM), limits.as_tuple(), strict=True)
    return {
        min(int(limit / scale * width), width - 1): stage for stage, limit in stages if math.isfinite(limit)
    }


def _joined(pieces: list[Piece]) -> list[Piece]:
    joined: list[Piece] = []
    for text, style in pieces:
        if joined and joined[-1][1] == style:
            joined[-1] = (joined[-1][0] + text, style)
        else:
            joined.append((text, style))
    return joined
