"""Marks of the stages."""

from typing import Final

from alongside.stay.stage import Stage

MARKS: Final = {Stage.ALARM: "▲", Stage.WARNING: "●", Stage.CAUTION: "■", Stage.NORMAL: "·"}
