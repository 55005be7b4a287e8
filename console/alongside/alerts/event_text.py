"""The texts of alerts and of what happens to them, made once stages, times and events are decided.

A text that cannot be made changes nothing but itself: whoever hands in `describe` guards it, text by text.
"""

from collections.abc import Callable, Sequence
from dataclasses import replace
from math import isnan
from typing import Final

from alongside.actions import FROM_THE_BRIDGE
from alongside.alerts.deeds import SILENCE_S
from alongside.alerts.delays import QUIET
from alongside.alerts.model import Acceptance, Alert, Event, Key, Onset, Standing, Watchlist
from alongside.alerts.observation import Change, onset_of
from alongside.alerts.rule_model import AssessedInstant
from alongside.stay.causes import EXPECTED
from alongside.stay.model import Display
from alongside.stay.stage import Stage
from alongside.wording.figures import counted
from alongside.wording.safe import safe
from alongside.wording.times import DayClock

UTC: Final = Display()

Describe = Callable[[int, Stage, Onset], str]
"""Text of rule k at a stage; normal: that it is within limits again."""


def worded(
    watch: Watchlist, changes: Sequence[Change], describe: Describe, display: Display = UTC
) -> tuple[Watchlist, tuple[Event, ...]]:
    """Return the watchlist and the events that a step gave, with their texts."""
    texts: dict[Key, str] = {}
    events: list[Event] = []
    for change in changes:
        alert, wording = change.alert, change.wording
        if alert is not None and wording is not None:
            texts[alert.key] = _held(describe(wording.k, wording.stage, wording.onset), alert)
        if change.event is not None:
            text = "" if alert is None else texts.get(alert.key, alert.text)
            events.append(replace(change.event, text=_event_text(change, text, display)))
    alerts = {
        key: replace(alert, text=texts[key]) if key in texts else alert for key, alert in watch.alerts.items()
    }
    return replace(watch, alerts=alerts), tuple(events)


def refreshed(watch: Watchlist, seen: AssessedInstant, describe: Describe) -> Watchlist:
    """Return the watchlist with values and texts of this instant, for showing. What the watchlist itself
    keeps are those of the last change; so it is what keeps being stepped, not this."""
    alerts = dict(watch.alerts)
    for k, rule in enumerate(seen.rules):
        alert = alerts.get(rule.key)
        if alert is None or alert.standing is Standing.RECTIFIED:
            continue
        if alert.suspended:
            why = "the hours ahead are not known" if rule.cause in EXPECTED else "input lost"
            alerts[rule.key] = replace(alert, text=f"{alert.text}; {why}")
        elif not isnan(seen.value[k]):
            stage = alert.value_stage
            onset = onset_of(watch.conditions.get(rule.key, QUIET), stage, alert.unanswered_since)
            text = _held(describe(k, stage, onset), alert)
            alerts[rule.key] = replace(alert, value=float(seen.value[k]), text=text)
    return replace(watch, alerts=alerts)


def accepted_text(acceptance: Acceptance, display: Display) -> str:
    """Return `accepted until 06:00 (short breast)`, with the day where it is another."""
    until = DayClock(display, acceptance.at)(acceptance.until)
    return f"accepted until {until} ({safe(acceptance.reason)})"


def _held(text: str, alert: Alert) -> str:
    return f"{text}; comes and goes, held active" if alert.held else text


def _event_text(change: Change, text: str, display: Display) -> str:
    """Return the text of an event, of which the alert's is a part."""
    by = f" by {change.by}" if change.by else ""
    if change.by == FROM_THE_BRIDGE:
        by = " from the bridge"
    word = None if change.event is None else change.event.event
    if word == "acknowledged":
        why = f" {change.why}" if change.why else ""
        return f"Acknowledged{by}{why}: {text}"
    if word == "accepted" and change.alert is not None and change.alert.acceptance is not None:
        words = accepted_text(change.alert.acceptance, display)
        return f"{words[:1].upper()}{words[1:]}{by}: {text}"
    if word == "acceptance_ended":
        return f"No longer accepted, {change.why}: {text}"
    if word == "silenced" and change.alert is not None:
        return f"Sound silenced{by} for {SILENCE_S:.0f} s: {text}"
    if word == "silenced":
        return f"Sound silenced{by} for {SILENCE_S:.0f} s: {counted(change.count, 'alert')}"
    return text
