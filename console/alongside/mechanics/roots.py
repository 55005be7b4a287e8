"""One root finder for increasing functions, on arrays: Newton's step where it stays inside the bracket,
halving where it does not. It cannot fail to converge."""

from collections.abc import Callable

import numpy as np

from alongside.readings import Floats

MOST_STEPS = 200
LAST_DIGITS = 4.0 * np.finfo(np.float64).eps


def increasing_root(
    function: Callable[[Floats], tuple[Floats, Floats]], low: Floats, high: Floats, start: Floats
) -> Floats:
    """Return where each element of an increasing function is zero, to the last digits.

    `function(x)` returns (value, derivative), element by element; the root lies in [low, high], both
    finite; `start` is a first guess in it. An element whose start is NaN comes back NaN.
    Whenever a Newton step leaves the bracket or fails to halve the earlier step, the bracket is halved.
    """
    low, high, x = low.copy(), high.copy(), start.copy()
    earlier = high - low
    settled = np.isnan(x)
    for _ in range(MOST_STEPS):
        value, slope = function(x)
        low = np.where(value < 0.0, x, low)
        high = np.where(value > 0.0, x, high)
        usable = slope > 0.0
        newton = x - np.where(usable, value, 0.0) / np.where(usable, slope, 1.0)
        step = np.abs(newton - x)
        settled |= (value == 0.0) | (usable & (step <= LAST_DIGITS * np.abs(x)))
        halve = ~usable | (newton < low) | (newton > high) | (step > 0.5 * np.abs(earlier))
        new = np.where(settled, x, np.where(halve, 0.5 * (low + high), newton))
        earlier, x = new - x, new
        settled |= np.abs(high - low) <= LAST_DIGITS * np.abs(x)
        if settled.all():
            break
    return x
