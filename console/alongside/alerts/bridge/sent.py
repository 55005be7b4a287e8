"""How alerts stand as they were sent last, and which of them have changed since."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Final, Literal

from alongside.alerts.model import Alert, Key, Standing
from alongside.stay.causes import Cause
from alongside.stay.stage import Stage
from alongside.wording.actions import alert_name

State = Literal["V", "S", "A", "O", "U", "N"]
"""Active unacknowledged, active silenced, active acknowledged, active with the responsibility transferred,
rectified unacknowledged, normal: letters of IEC 61162-1."""
PRIORITIES: Final[Mapping[Stage, str]] = {Stage.CAUTION: "C", Stage.WARNING: "W", Stage.ALARM: "A"}
MOST_REVISIONS: Final = 99
MOST_ESCALATIONS: Final = 9
"""After the highest each counter goes on with 1."""


@dataclass(frozen=True, slots=True)
class Sent:
    """One alert as it was sent last. `revision` counts its changes, `escalations` how often waiting for an
    answer made it worse since it was raised; `at` is when it changed, UNIX seconds."""

    key: Key
    at: float
    priority: str
    state: State
    title: str
    text: str
    escalated: bool = False
    revision: int = 1
    escalations: int = 0

    @property
    def stands(self) -> bool:
        """Return whether it is in the list of alerts."""
        return self.state != "N"


Table = Mapping[Key, Sent]


@dataclass(frozen=True, slots=True)
class SentCount:
    """How far the counters of an alert have come, by which a watch that begins again goes on; `escalations` 0
    once it is gone."""

    cause: Cause
    subject: str
    revision: int
    escalations: int = 0


def counts_of(table: Table) -> tuple[SentCount, ...]:
    """Return the counters of all alerts that were ever sent."""
    return tuple(
        SentCount(*sent.key, sent.revision, sent.escalations if sent.stands else 0) for sent in table.values()
    )


def state_of(alert: Alert) -> State:
    """Return the state of an alert. A caution needs no acknowledgement, so it stands as acknowledged; so does
    one that the watch has accepted."""
    if alert.standing is Standing.RECTIFIED:
        return "U"
    if alert.transferred and alert.standing is Standing.ACKNOWLEDGED:
        return "O"
    if alert.stage <= Stage.CAUTION or alert.is_accepted or alert.standing is Standing.ACKNOWLEDGED:
        return "A"
    return "S" if alert.standing is Standing.SILENCED else "V"


def followed(
    before: Table,
    alerts: Mapping[Key, Alert],
    now: float,
    counts: Mapping[Key, SentCount] = MappingProxyType({}),
) -> tuple[dict[Key, Sent], list[Sent]]:
    """Return how all alerts stand now, and those that are to be sent because they have changed. One that is
    gone is kept as normal: its counter goes on when it comes again. `counts` are those of an earlier watch,
    which go on with the first change."""
    after = dict(before)
    changed: list[Sent] = []
    for key, alert in alerts.items():
        last, new = before.get(key), _as_it_is(alert, now)
        if last is not None:
            new = _counted(last, new)
        elif key in counts:
            new = _going_on(counts[key], new)
        if new != last:
            after[key] = new
            changed.append(new)
    for key, last in before.items():
        if last.stands and key not in alerts:
            gone = replace(last, at=now, state="N", escalated=False, revision=_next(last.revision))
            after[key] = gone
            changed.append(gone)
    return after, changed


def _as_it_is(alert: Alert, now: float) -> Sent:
    name = alert_name(alert.cause, alert.subject)
    at = min(alert.changed_at, now)
    return Sent(
        key=alert.key,
        at=at,
        priority=PRIORITIES[alert.stage],
        state=state_of(alert),
        title=name,
        text=alert.text,
        escalated=alert.escalated,
        escalations=int(alert.escalated),
    )


def _counted(last: Sent, new: Sent) -> Sent:
    """Return an alert with its counters, or the last one where nothing has changed but its clock."""
    escalations = 0
    if last.stands:
        escalations = last.escalations
    if new.escalated and not (last.stands and last.escalated):
        escalations = _next(escalations, MOST_ESCALATIONS)
    new = replace(new, revision=last.revision, escalations=escalations)
    same = replace(new, at=last.at) == last
    return last if same else replace(new, revision=_next(last.revision))


def _going_on(count: SentCount, new: Sent) -> Sent:
    """Return an alert that an earlier watch has sent, and of which a receiver may know more."""
    escalations = max(count.escalations, new.escalations)
    return replace(new, revision=_next(count.revision), escalations=escalations)


def _next(count: int, most: int = MOST_REVISIONS) -> int:
    return count % most + 1
