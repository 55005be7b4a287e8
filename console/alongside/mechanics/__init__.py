"""Mechanics: pose, line geometry, ropes and loads. Arrays in, arrays out, leading axis time.

No file, clock, thread or log is known here. What has no answer is NaN on its own row, and `REASONS` names
the code that says why.
"""

from alongside.mechanics.reasons import REASONS, NoAnswer

__all__ = ["REASONS", "NoAnswer"]
