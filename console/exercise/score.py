"""How a watch did: for each alert when it was first dealt with, acknowledged and acted upon; and its rounds.

Times count from when the alert was raised. An alert is *seen*, as far as can be known, at the first thing
done that concerns it: it is acknowledged, silenced while it sounds, named in a note, or a line that bears on
it is tended. It is *acted upon* when such a line is tended; where tending does not help (a gauge, the depth,
a steep lead) there is nothing to act with at the console.
"""

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

from console.actions import Acknowledge, Done, Note, Silence, TendLine
from console.alerts.model import Event
from console.assessment import Stage
from console.stay.model import Stay

ROUND_S: Final = 900.0
"""Lines tended no farther apart than this are tended in one round."""
OF_THE_SHIP: Final = frozenset({"drift", "off_fenders", "holding"})
"""Causes that tending any line may help with."""
UNHELPED: Final = frozenset({"feed", "under_keel", "steep", "calculation", "record", "gangway"})
"""Causes that tending does not cure; a steep lead wants another bollard or another height."""
RISES: Final = frozenset({"raised", "worsened", "escalated"})


@dataclass(frozen=True, slots=True)
class AlertScore:
    """One alert from when it was raised (or grew worse, where it stood before) until it was cleared. Seconds
    after that, None where it was not, or where nothing is asked."""

    cause: str
    subject: str
    line: str | None
    raised_at: float
    stage: Stage
    """The worst that it reached."""
    text: str
    seen_s: float | None = None
    acknowledged_s: float | None = None
    acted_s: float | None = None
    rectified_s: float | None = None
    warned_at: float | None = None
    """When it first was a warning or an alarm, which asks for an acknowledgement."""
    asks_act: bool = False
    """Tending a line helps."""
    cleared_at: float | None = None

    @property
    def asks_acknowledgement(self) -> bool:
        return self.warned_at is not None

    @property
    def key(self) -> tuple[str, str]:
        return self.cause, self.subject


def score_alerts(stay: Stay, events: Iterable[Event], done: Sequence[Done]) -> tuple[AlertScore, ...]:
    """Every alert of an exercise, in the order in which they were raised."""
    return tuple(_answered(stay, alert, done) for alert in _alerts(stay, events))


def lines_bearing_on(stay: Stay, cause: str, subject: str, line: str | None) -> frozenset[str]:
    """The lines whose tending helps with an alert."""
    if cause in UNHELPED:
        return frozenset()
    if cause in OF_THE_SHIP:
        return frozenset(each.id for each in stay.lines)
    if cause == "bollard":
        return frozenset(each.id for each in stay.lines if each.bollard == subject)
    return frozenset() if line is None else frozenset({line})


def rounds_made(events: Iterable[Event]) -> tuple[tuple[Event, ...], ...]:
    """Tendings, those of one round together."""
    rounds: list[list[Event]] = []
    for event in events:
        if event.event != "tended":
            continue
        if rounds and event.time - rounds[-1][-1].time <= ROUND_S:
            rounds[-1].append(event)
        else:
            rounds.append([event])
    return tuple(tuple(each) for each in rounds)


def _alerts(stay: Stay, events: Iterable[Event]) -> list[AlertScore]:
    """Alerts as they came and went."""
    found: list[AlertScore] = []
    standing: dict[tuple[str, str], int] = {}
    for event in events:
        if event.alert is None:
            continue
        key = event.alert, event.subject or ""
        if event.event in RISES and key not in standing:
            standing[key] = len(found)
            helps = bool(lines_bearing_on(stay, *key, event.line))
            stage = event.stage or Stage.NORMAL
            found.append(AlertScore(*key, event.line, event.time, stage, event.text, asks_act=helps))
        if key in standing:
            at = standing[key]
            found[at] = _followed(found[at], event)
            if event.event == "cleared":
                del standing[key]
    return found


def _followed(alert: AlertScore, event: Event) -> AlertScore:
    after = event.time - alert.raised_at
    if event.event in RISES:
        worst = max(alert.stage, event.stage or Stage.NORMAL)
        warned_at = event.time if worst > Stage.CAUTION and alert.warned_at is None else alert.warned_at
        return replace(alert, stage=worst, warned_at=warned_at)
    if event.event == "acknowledged" and alert.acknowledged_s is None:
        return replace(alert, acknowledged_s=after)
    if event.event == "rectified" and alert.rectified_s is None:
        return replace(alert, rectified_s=after)
    if event.event == "cleared":
        rectified = after if alert.rectified_s is None else alert.rectified_s
        return replace(alert, cleared_at=event.time, rectified_s=rectified)
    return alert


def _answered(stay: Stay, alert: AlertScore, done: Sequence[Done]) -> AlertScore:
    """With what was done about it while it stood."""
    lines = lines_bearing_on(stay, *alert.key, alert.line)
    last = float("inf") if alert.cleared_at is None else alert.cleared_at
    during = [each for each in done if alert.raised_at <= each.time <= last]
    seen = [each.time for each in during if _concerns(each, alert, lines)]
    acted = [
        each.time
        for each in during
        if isinstance(each.action, TendLine) and each.action.line in lines and alert.asks_act
    ]
    return replace(
        alert,
        seen_s=min(seen) - alert.raised_at if seen else None,
        acted_s=min(acted) - alert.raised_at if acted else None,
    )


def _concerns(done: Done, alert: AlertScore, lines: frozenset[str]) -> bool:
    match done.action:
        case Acknowledge(cause, subject):
            return (cause, subject) == alert.key
        case Silence():
            return alert.warned_at is not None and alert.warned_at <= done.time
        case TendLine(line):
            return line in lines
        case Note(text):
            return any(_names(text, name) for name in _names_of(alert))
    return False


def _names_of(alert: AlertScore) -> Iterator[str]:
    """What a note would call it."""
    if alert.line is not None:
        yield f"line {alert.line}"
    elif alert.subject:
        yield alert.subject
    if alert.line is None:
        yield alert.cause.replace("_", " ")


def _names(text: str, name: str) -> bool:
    return re.search(rf"(?<!\w){re.escape(name)}(?!\w)", text, re.IGNORECASE) is not None
