"""How often a drawn stay would have been in alarm, by cause, with an interval for the share."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import nan, sqrt
from statistics import NormalDist
from typing import Final

from alongside.reports.batch.outcome import Outcome
from alongside.stay.causes import CAUSES
from alongside.stay.stage import Stage

CONFIDENCE: Final = 0.95
ANY: Final = "any"
"""In place of a cause: whichever."""
STAGES: Final = (Stage.WARNING, Stage.ALARM)


@dataclass(frozen=True, slots=True)
class DrawnShare:
    """In how many of the drawn stays some alert of a cause came to a stage or worse; `low` and `high` hold
    the share that endless draws would have, with a confidence of `CONFIDENCE`."""

    cause: str
    stage: str
    draws: int
    in_it: int
    share: float
    low: float
    high: float


def drawn_shares(outcomes: Sequence[Outcome]) -> tuple[DrawnShare, ...]:
    """Return the shares of those draws that were played, of any cause first; causes that none came to are
    left out."""
    played = [outcome for outcome in outcomes if outcome.is_done]
    shares = []
    for cause in (ANY, *CAUSES):
        for stage in STAGES:
            count = sum(_came_to(outcome, cause, stage) for outcome in played)
            if count or cause == ANY:
                low, high = wilson(count, len(played))
                share = count / len(played) if played else nan
                shares.append(DrawnShare(cause, stage.word, len(played), count, share, low, high))
    return tuple(shares)


def wilson(count: int, of: int, confidence: float = CONFIDENCE) -> tuple[float, float]:
    """Return the score interval for a share (E. B. Wilson, J. Am. Stat. Assoc. 22, 1927, 209): it stays
    within 0 and 1, and is of use where nothing or all was counted. NaN of nothing drawn."""
    if not of:
        return nan, nan
    z = NormalDist().inv_cdf((1.0 + confidence) / 2.0)
    share = count / of
    middle = (share + z * z / (2.0 * of)) / (1.0 + z * z / of)
    half = z / (1.0 + z * z / of) * sqrt(share * (1.0 - share) / of + z * z / (4.0 * of * of))
    low = 0.0 if count == 0 else max(middle - half, 0.0)
    return low, 1.0 if count == of else min(middle + half, 1.0)


def _came_to(outcome: Outcome, cause: str, stage: Stage) -> bool:
    return any(
        Stage[one.stage.upper()] >= stage and cause in (ANY, one.cause)
        for one in outcome.alerts
        if one.alerts
    )
