"""Marks of the stages, and of what is not known."""

from typing import Final

from alongside.stay.stage import Stage

NOT_KNOWN: Final = "—"
"""Stands wherever a figure is not known, with its reason beside it where there is room."""
MARKS: Final = {Stage.NORMAL: "·", Stage.CAUTION: "■", Stage.WARNING: "●", Stage.ALARM: "▲"}


def stage_text(stage: Stage) -> str:
    """Mark and word: `▲ ALARM`; for normal `· normal`, in small letters for it asks for nothing."""
    word = stage.word if stage is Stage.NORMAL else stage.word.upper()
    return f"{MARKS[stage]} {word}"
