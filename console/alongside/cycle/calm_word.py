"""The word that stands where the word normal would say too much."""

from typing import Literal

from alongside.cycle.picture import Picture
from alongside.mechanics.reasons import NoLength
from alongside.stay.stage import Stage


def calm_word(picture: Picture) -> Literal["unknown", "accepted", ""]:
    """Return `unknown` where nothing is said to be done and nothing is known of some line, `accepted` where
    only what is accepted stands; "" where the stage itself may. A line that was let go is no unknown."""
    if picture.advice.stage is not Stage.NORMAL:
        return ""
    if any(row.stage is None and row.no_length is not NoLength.LET_GO for row in picture.lines):
        return "unknown"
    accepted = any(alert.is_accepted for alert in picture.alerts)
    return "accepted" if accepted and not picture.advice.large else ""
