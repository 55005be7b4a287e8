"""Alerts in the order in which a watch deals with them, in groups when they are too many."""

from alongside.alerts.model import Alert, Group, Standing, Watchlist
from alongside.stay.causes import Cause


def worst_first(watch: Watchlist) -> tuple[Alert, ...]:
    """Return what is active before what is over; by stage; within a stage the unacknowledged before the
    acknowledged and those before the suspended; then the newest first. Alerts of one instant stand by cause
    and subject, so that the order is fixed."""
    by_name = sorted(watch.alerts.values(), key=lambda alert: alert.key)
    return tuple(sorted(by_name, key=_rank))


def groups_of(watch: Watchlist) -> tuple[Group, ...]:
    """Return, in a flood, all alerts by cause, the group with the worst first; else none."""
    if not watch.flood:
        return ()
    by_cause: dict[Cause, list[Alert]] = {}
    for alert in worst_first(watch):
        by_cause.setdefault(alert.cause, []).append(alert)
    return tuple(Group(cause, alerts[0].stage, tuple(alerts)) for cause, alerts in by_cause.items())


def _rank(alert: Alert) -> tuple[bool, int, int, float]:
    answered = alert.standing is Standing.ACKNOWLEDGED
    over = alert.standing is Standing.RECTIFIED
    return over, -alert.stage, 2 if alert.suspended else int(answered), -alert.changed_at
