"""The stretch of a line as a bar against its allowance, with a tick at each limit."""

import math
from typing import Final

from alongside.screens.palettes import Palette
from alongside.screens.rows import Piece, joined
from alongside.stay.model import StageLimits
from alongside.stay.stage import Stage

FULL_SCALE: Final = 1.15
"""Share of the allowance at the right end; what is beyond is shown by an arrow head."""
_WHOLE, _HALF, _BEYOND, _TICK = "▄", "▖", "▶", "│"


def stretch_bar(
    share: float, stage: Stage, limits: StageLimits, width: int, palette: Palette, on: str | None = None
) -> list[Piece]:
    """Return a bar of `width` cells for a share of the allowance (1 = all of it) in the colour of its stage,
    half a row high so that rows stay apart. Ticks stand at the limits, before the bar's end as well as beyond
    it; no bar where the share is not known."""
    scale = max([FULL_SCALE, *(limit * 1.05 for limit in limits.as_tuple() if math.isfinite(limit))])
    bar = palette.style(palette.stage(stage), on)
    halves = 0 if not math.isfinite(share) else round(max(0.0, share) / scale * width * 2.0)
    whole, half = divmod(min(halves, 2 * width), 2)
    cells = [(cell, bar) for cell in (_WHOLE * whole + _HALF * half).ljust(width)]
    for cell, limit_stage in _ticks(limits, scale, width).items():
        cells[cell] = (_TICK, palette.style(palette.stage(limit_stage), on))
    if halves > 2 * width and width:
        cells[-1] = (_BEYOND, bar)
    return joined(cells)


def _ticks(limits: StageLimits, scale: float, width: int) -> dict[int, Stage]:
    stages = zip((Stage.CAUTION, Stage.WARNING, Stage.ALARM), limits.as_tuple(), strict=True)
    return {
        min(int(limit / scale * width), width - 1): stage for stage, limit in stages if math.isfinite(limit)
    }
