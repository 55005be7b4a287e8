"""Arrows for rates and directions."""

import math
from typing import Final

_ARROWS: Final = "→↘↓↙←↖↑↗"


def trend_arrow(rate: float, steady: float) -> str:
    """Return an arrow for a rate of change; nothing moves faster than `steady` counts as steady."""
    if not math.isfinite(rate):
        return " "
    return "→" if abs(rate) < steady else ("↑" if rate > 0 else "↓")


def compass_arrow(clockwise_from_right: float) -> str:
    """Return one of eight arrows; 0 points right, 90 down the screen."""
    return _ARROWS[round(clockwise_from_right / 45.0) % 8]
