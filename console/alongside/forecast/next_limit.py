"""The caution `ahead`: which limit each line, and the ship, is expected to reach next."""

from alongside.alerts.rule_model import NextLimit, NextLimits
from alongside.forecast.model import Forecast, LimitAhead
from alongside.stay.stage import Stage


def next_limits_of(forecast: Forecast) -> NextLimits:
    """Return the next limit, at least a warning and not reached yet, of every line and of the ship (""); None
    where nothing is known of the hours ahead."""
    if forecast.reason:
        return None
    first: dict[str, LimitAhead] = {}
    for limit in forecast.limits:
        if limit.expected is None or limit.stage < Stage.WARNING or limit.expected <= forecast.time:
            continue
        key = limit.line or ""
        if key not in first or _when(limit) < _when(first[key]):
            first[key] = limit
    return tuple(
        NextLimit(subject, limit.cause, limit.subject, limit.stage, _when(limit))
        for subject, limit in first.items()
    )


def _when(limit: LimitAhead) -> float:
    assert limit.expected is not None, "a limit that may not occur is not soon"
    return limit.expected
