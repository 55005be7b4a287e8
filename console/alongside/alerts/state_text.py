"""What is said of how alerts stand: the state of each, how many wait for an answer. The same on every screen
and page."""

from collections.abc import Iterable
from typing import Final

from alongside.alerts.model import Alert, Standing
from alongside.stay.stage import Stage
from alongside.wording import names

NO_SIGNAL: Final = names.quality("LOST")
"""State of an alert whose gauge is lost."""


def needs_answer(alert: Alert) -> bool:
    """Return whether it can be acknowledged: a caution needs none."""
    return alert.stage > Stage.CAUTION and alert.standing != Standing.ACKNOWLEDGED


def state_word(alert: Alert, short: bool = False) -> str:
    """Return the state of an alert; "" for a caution, which needs no acknowledgement."""
    if alert.suspended:
        return NO_SIGNAL
    if alert.is_accepted:
        return names.ACCEPTED
    if alert.stage == Stage.CAUTION and alert.standing != Standing.RECTIFIED:
        return ""
    if alert.transferred and alert.standing == Standing.ACKNOWLEDGED:
        return names.WITH_BRIDGE
    return names.standing(alert.standing.name, short)


def counts(alerts: Iterable[Alert]) -> str:
    """Return how many alerts wait for an answer, and how many are accepted, in words; "" for none."""
    alerts = tuple(alerts)
    waiting = [alert for alert in alerts if needs_answer(alert)]
    cleared = sum(alert.standing == Standing.RECTIFIED for alert in waiting)
    return names.waiting(len(waiting), cleared, sum(alert.is_accepted for alert in alerts))
