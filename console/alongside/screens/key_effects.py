"""What keys mean in the present View: pure functions that the app only hands on."""

from collections.abc import Callable
from dataclasses import replace
from typing import Final

from alongside.actions import Accept, Acknowledge
from alongside.actions.controls import Pause, ReplayControl, Speed, Step, ToAlert, ToTend
from alongside.alerts.event_text import accepted_text
from alongside.alerts.joined import rows_of
from alongside.alerts.model import Alert, Standing
from alongside.alerts.state_text import needs_answer
from alongside.screens.chart_choice import other_cursor, other_hours, other_lines
from alongside.screens.outcomes import Entered, Several
from alongside.screens.view import View, chosen_alert
from alongside.wording.marks import MARKS
from alongside.wording.names import NO_ALERTS
from alongside.wording.safe import safe
from alongside.wording.times import clock

PACES: Final = (1.0, 2.0, 5.0, 10.0, 30.0, 60.0, 120.0, 300.0, 600.0, 1800.0, 3600.0)
"""Speeds of a replay that keys step through."""


def acknowledgement(view: View, by: str) -> tuple[Acknowledge | None, str]:
    """Return the acknowledgement of the chosen alert and what to reply; None where none is needed."""
    alert = chosen_alert(view)
    if alert is None:
        return None, NO_ALERTS
    if alert.acceptance is not None:
        return None, f"Already {accepted_text(alert.acceptance, view.stay.display)}: {safe(alert.text)}"
    if alert.standing is Standing.ACKNOWLEDGED:
        return None, f"Acknowledged already{_when(view, alert)}: {safe(alert.text)}"
    if not needs_answer(alert):
        return None, f"Needs no acknowledgement: {safe(alert.text)}"
    words = f"acknowledged {MARKS[alert.stage]} {safe(alert.text)}"
    return Acknowledge(alert.cause, alert.subject, by), words


def has_changed(entered: Entered, before: View, now: View) -> bool:
    """Return whether any alert that is to be acknowledged or accepted is not what it was before."""
    deeds = entered.deeds if isinstance(entered, Several) else (entered,)
    return any(is_another(each, before, now) for each in deeds if isinstance(each, Acknowledge | Accept))


def is_another(action: Acknowledge | Accept, before: View, now: View) -> bool:
    """Return whether the alert to be acknowledged or accepted is not what it was before: gone, another
    stage, answered meanwhile."""
    key = (action.cause, action.subject)
    then, current = (
        next((alert for alert in view.watch.alerts if alert.key == key), None) for view in (before, now)
    )
    if then is None or current is None:
        return True
    answered = isinstance(action, Acknowledge) and not needs_answer(current)
    return current.stage != then.stage or answered


def _when(view: View, alert: Alert) -> str:
    """Return ` 06:45`, when an alert was acknowledged last; "" where the log does not reach back so far."""
    times = [
        event.time
        for event in view.watch.log
        if event.event == "acknowledged" and (event.alert, event.subject or "") == alert.key
    ]
    return f" {clock(times[-1], view.stay.display)}" if times else ""


def next_alert(view: View, step: int) -> View:
    """Return the View with the next alert chosen, and its line; those that wait for an answer come first."""
    alerts = [row[0] for row in rows_of(view.watch.alerts)]
    order = [a for a in alerts if needs_answer(a)] + [a for a in alerts if not needs_answer(a)]
    if not order:
        return replace(view, reply=NO_ALERTS)
    keys = [alert.key for alert in order]
    alert = order[(keys.index(view.alert) + step) % len(order) if view.alert in keys else 0]
    return replace(view, alert=alert.key, line=alert.line or view.line)


def other_pace(view: View, step: int) -> Speed:
    """Return the next slower (-1) or faster (+1) pace of a replay."""
    now = view.watch.speed
    if step > 0:
        return Speed(next((pace for pace in PACES if pace > now * 1.001), PACES[-1]))
    return Speed(next((pace for pace in reversed(PACES) if pace < now * 0.999), PACES[0]))


LOOKS: Final[dict[str, Callable[[View, int], View]]] = {
    "alert": next_alert,
    "hours": other_hours,
    "cursor": lambda view, step: other_cursor(view, step) if view.part == "chart" else view,
    "chart_lines": lambda view, step: other_lines(view, step) if view.part == "chart" else view,
    "order": lambda view, _step: replace(view, by_position=not view.by_position),
}
"""What a key changes in the View."""

REPLAY: Final[dict[str, Callable[[View, int], ReplayControl]]] = {
    "stop": lambda view, _step: Pause(not view.watch.paused),
    "pace": other_pace,
    "step": lambda _view, _step: Step(),
    "alert": lambda _view, step: ToAlert(step),
    "tend": lambda _view, step: ToTend(step),
}
"""What a key tells a replay."""
