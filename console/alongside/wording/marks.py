"""Marks of the stages, and of what is not known."""

from typing import Final

from alongside.stay.stage import Stage

NOT_KNOWN: Final = "—"
"""Stands wherever a figure is not known, with its reason beside it where there is room."""
BY_CELL: Final = "c"
"""Stands behind a load that is the load cell's, which is larger than the computed one and counts."""
MARKS: Final = {Stage.NORMAL: "·", Stage.CAUTION: "■", Stage.WARNING: "●", Stage.ALARM: "▲"}


UNKNOWN_STAGES: Final = {"IMPOSSIBLE": Stage.WARNING, "PARTED": Stage.ALARM}
"""Stage of the alert of a line that nothing is known of, by the name of its `mechanics.reasons.NoLength`; the
others bear the mark of what is not known."""

UNKNOWN_WORDS: Final = {"PARTED": "PARTED", "LET_GO": "let go"}
"""What stands in place of `unknown`, by the same name."""


def unknown_text(no_length: str) -> str:
    """Return mark and word of a line that nothing is known of, by the name of its `NoLength`: `— unknown`,
    `— let go`, `▲ PARTED`. It is never normal."""
    stage = UNKNOWN_STAGES.get(no_length)
    mark = NOT_KNOWN if stage is None else MARKS[stage]
    return f"{mark} {UNKNOWN_WORDS.get(no_length, 'unknown')}"


def stage_text(stage: Stage) -> str:
    """Mark and word: `▲ ALARM`; for normal `· normal`, in small letters for it asks for nothing."""
    word = stage.word if stage is Stage.NORMAL else stage.word.upper()
    return f"{MARKS[stage]} {word}"
