"""The limits of a cause in words, to stand beside its figure."""

from collections.abc import Callable
from math import isfinite
from typing import Final

from alongside.stay.model import Limits, StageLimits
from alongside.wording import names
from alongside.wording.figures import percent_short_of
from alongside.wording.marks import NOT_KNOWN

Scaled = tuple[Callable[[Limits], StageLimits], float, str]
_OF: Final[dict[str, Scaled]] = {
    "steep": (lambda limits: limits.steep_deg, 1.0, "°"),
    "stretch": (lambda limits: limits.stretch_share, 100.0, " %"),
    "load": (lambda limits: limits.load_share, 100.0, " %"),
    "slack": (lambda limits: limits.slack_share, 100.0, " %"),
    "brake": (lambda limits: limits.brake_share, 100.0, " %"),
    "bollard": (lambda limits: limits.bollard_share, 100.0, " %"),
    "tension": (lambda limits: limits.tension_share, 100.0, " %"),
    "under_keel": (lambda limits: limits.under_keel_m, 1.0, " m"),
    "off_fenders": (lambda limits: limits.off_fenders_m, 1.0, " m"),
    "holding": (lambda limits: limits.holding_share, 100.0, " %"),
}
"""Limits of each cause whose figure stands on a page, what brings them to the unit of that figure, and that
unit."""


def limits_text(limits: Limits, cause: str) -> str:
    """Return the limits used of a cause, caution first: `70/85/100 %`; "" where none is used."""
    if cause not in _OF:
        return ""
    of, scale, unit = _OF[cause]
    used = [f"{limit * scale:g}" for limit in of(limits).as_tuple() if isfinite(limit)]
    return "/".join(used) + unit if used else ""


def share_text(limits: Limits, cause: str, share: float) -> str:
    """Return a share in per cent, which never reads as a limit of its cause that it has not come to."""
    of, scale, _ = _OF[cause]
    return percent_short_of(share * scale, [limit * scale for limit in of(limits).as_tuple()])


def limits_used(limits: Limits) -> tuple[tuple[str, str, str, str], ...]:
    """Return each cause with its limits of caution, warning and alarm, in words; a dash where one is not
    used."""
    return tuple((names.cause(cause), *_in_words(cause, limits)) for cause in _OF)


def _in_words(cause: str, limits: Limits) -> tuple[str, str, str]:
    of, scale, unit = _OF[cause]
    caution, warning, alarm = (
        f"{limit * scale:g}{unit}" if isfinite(limit) else NOT_KNOWN for limit in of(limits).as_tuple()
    )
    return caution, warning, alarm
