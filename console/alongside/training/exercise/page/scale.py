"""The scale of the curves: how near to the limits, whatever is measured, with each stage a band of its
own."""

from typing import Final

import numpy as np

from alongside.alerts.bars import BAR_AT
from alongside.readings import Floats

MOST: Final = 200.0
"""Twice the limit of an alarm; what is worse stands at the top."""
_BAR: Final = (0.0, *BAR_AT.values(), MOST)
_HEIGHT: Final = (0.0, 0.34, 0.55, 0.76, 1.0)
"""Room for the words of the stages beside each other, and for what stands below a caution."""
LIMITS: Final = dict(zip(BAR_AT, _HEIGHT[1:], strict=False))
"""Where the limit of each stage stands on a chart."""


def height(bar: Floats) -> Floats:
    """Return where bars, per cent, stand on a chart, 0 to 1; NaN where not known."""
    heights: Floats = np.interp(bar, _BAR, _HEIGHT)
    return np.where(np.isnan(bar), np.nan, heights)
