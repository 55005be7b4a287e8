"""What makes a wind over one time one over another: the one place for it."""

from typing import Final

GUST: Final = 0.87
"""Of a gust of 3 s is a mean of 30 s (US Navy)."""
TEN_MINUTES: Final = 1.25
"""A 10 min mean times this is a 30 s mean (Durst; US Navy)."""
OVER: Final = {"10 min": TEN_MINUTES, "30 s": 1.0}
"""What a mean is over, and what makes it one of 30 s."""
