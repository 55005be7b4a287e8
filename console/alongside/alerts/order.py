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
    """Return, in a flood, all alerts by cause, those that wait for an answer first, the worst of them first;
    else none."""
    if not watch.flood:
        return ()
    by_cause: dict[Cause, list[Alert]] = {}
    for alert in sorted(worst_first(watch), key=lambda alert: not alert.flashes):
        by_cause.setdefault(alert.cause, []).append(alert)
    groups = [
        Group(cause, max(alert.stage for alert in alerts), tuple(alerts))
        for cause, alerts in by_cause.items()
    ]
    return tuple(sorted(groups, key=lambda group: not any(alert.flashes for alert in group.alerts)))


def _rank(alert: Alert) -> tuple[bool, bool, int, int, float]:
    answered = alert.standing is Standing.ACKNOWLEDGED
    over = alert.standing is Standing.RECTIFIED
    return alert.is_accepted, over, -alert.stage, 2 if alert.suspended else int(answered), -alert.changed_at
