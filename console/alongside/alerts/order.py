"""Alerts in the order in which a watch deals with them, in groups when they are too many."""

from collections.abc import Mapping
from math import inf

from alongside.alerts.model import Alert, Group, Key, Standing, Watchlist
from alongside.alerts.rule_model import DueBys
from alongside.stay.causes import Cause


def worst_first(watch: Watchlist, due: DueBys = None) -> tuple[Alert, ...]:
    """Return what is active before what is over; by stage; within a stage the unacknowledged before the
    acknowledged and those before the suspended; then the newest first. Alerts of one instant stand by cause
    and subject, so that the order is fixed. What is to be ordered stands in the places that this gives it,
    what is `due` first before the others of its stage."""
    by_name = sorted(watch.alerts.values(), key=lambda alert: alert.key)
    ranked = sorted(by_name, key=_rank)
    return tuple(_due_first(ranked, {("decide", each.do): each.by for each in due or () if each.is_open}))


def _due_first(ranked: list[Alert], due: Mapping[Key, float]) -> list[Alert]:
    places: dict[tuple[object, ...], list[int]] = {}
    for place, alert in enumerate(ranked):
        if alert.cause == "decide":
            places.setdefault(_rank(alert)[:-1], []).append(place)
    after = list(ranked)
    for some in places.values():
        first = sorted((ranked[place] for place in some), key=lambda alert: due.get(alert.key, inf))
        for place, alert in zip(some, first, strict=True):
            after[place] = alert
    return after


def groups_of(watch: Watchlist, due: DueBys = None) -> tuple[Group, ...]:
    """Return, in a flood, all alerts by cause, those that wait for an answer first, the worst of them first;
    else none."""
    if not watch.flood:
        return ()
    by_cause: dict[Cause, list[Alert]] = {}
    for alert in sorted(worst_first(watch, due), key=lambda alert: not alert.flashes):
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
