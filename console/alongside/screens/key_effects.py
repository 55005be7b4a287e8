"""What keys mean in the present View: pure functions that the app only hands on."""

from dataclasses import replace

from alongside.actions import Acknowledge, Speed
from alongside.screens.view import View, chosen_alert, needs_answer
from alongside.wording.marks import MARKS
from alongside.wording.safe import safe

PACES = (1.0, 2.0, 5.0, 10.0, 30.0, 60.0, 120.0, 300.0, 600.0, 1800.0, 3600.0)
"""Speeds of a replay that keys step through."""


def acknowledgement(view: View, by: str) -> tuple[Acknowledge | None, str]:
    """The acknowledgement of the chosen alert, one at a time, and what to say; None where none is due."""
    alert = chosen_alert(view)
    if alert is None:
        return None, "No alert stands"
    if not needs_answer(alert):
        return None, f"Needs no acknowledgement: {safe(alert.text)}"
    return Acknowledge(
        alert.cause, alert.subject, by
    ), f"Acknowledging {MARKS[alert.stage]} {safe(alert.text)}"


def next_alert(view: View) -> View:
    """The View with the next alert chosen, and with it its line; those that wait for an answer come first."""
    alerts = view.watch.alerts
    order = [a for a in alerts if needs_answer(a)] + [a for a in alerts if not needs_answer(a)]
    if not order:
        return replace(view, said="No alert stands")
    keys = [alert.key for alert in order]
    alert = order[(keys.index(view.alert) + 1) % len(order) if view.alert in keys else 0]
    return replace(view, alert=alert.key, line=alert.line or view.line)


def other_pace(view: View, step: int) -> Speed:
    """The next slower (-1) or faster (+1) pace of a replay."""
    now = view.watch.speed
    if step > 0:
        return Speed(next((pace for pace in PACES if pace > now * 1.001), PACES[-1]))
    return Speed(next((pace for pace in reversed(PACES) if pace < now * 0.999), PACES[0]))
