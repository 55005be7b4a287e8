"""Alerts of one stay by what their own values called for, and how long it was in which stage."""

from collections import Counter
from collections.abc import Iterable, Sequence
from typing import Final

from alongside.alerts.episodes import Episode, episodes_of
from alongside.alerts.model import Event, Key
from alongside.reports.batch.outcome import AlertCount, FirstAlarm
from alongside.stay.causes import CAUSES
from alongside.stay.stage import Stage
from alongside.units import iso_time

ANNOUNCES: Final = ("raised", "worsened")
OVER: Final = ("rectified", "cleared")


def by_value(events: Iterable[Event]) -> tuple[Event, ...]:
    """Return the events without those by which an alert only becomes worse because nobody answers."""
    return tuple(event for event in events if event.event != "escalated")


def announcing(events: Iterable[Event]) -> tuple[Event, ...]:
    """Return the events that announce an alert: raised, or risen to a worse stage."""
    return tuple(event for event in events if event.event in ANNOUNCES and event.stage)


def alert_counts(episodes: Sequence[Episode]) -> tuple[AlertCount, ...]:
    """Return how many alerts of each cause came to which stage at the worst, in the order of the causes."""
    counts = Counter((episode.cause, episode.worst) for episode in episodes)
    ordered = sorted(counts, key=lambda key: (CAUSES.index(key[0]), key[1]))
    return tuple(AlertCount(cause, stage.word, counts[cause, stage]) for cause, stage in ordered)


def first_alarm(events: Iterable[Event]) -> FirstAlarm | None:
    """Return the first alarm; None where there was none."""
    for event in events:
        if event.event in ANNOUNCES and event.stage is Stage.ALARM and event.alert is not None:
            return FirstAlarm(iso_time(event.time), event.alert, event.subject or "", event.text)
    return None


def time_in_stages(
    events: Sequence[Event], begin: float, end: float
) -> tuple[tuple[float, float, float, float], float]:
    """Return seconds in normal, caution, warning and alarm, and those in gaps of the log. A stay is in the
    worst stage of the alerts whose condition stands."""
    seconds = [0.0] * len(Stage)
    blind = 0.0
    standing: dict[Key, Stage] = {}
    since = begin
    for event in events:
        passed = max(event.time - since, 0.0)
        if event.event == "gap" and event.value is not None:
            gap = min(event.value, passed)
            blind, passed = blind + gap, passed - gap
        seconds[max(standing.values(), default=Stage.NORMAL)] += passed
        since = max(since, event.time)
        if event.alert is None:
            continue
        key = event.alert, event.subject or ""
        if event.event in OVER:
            standing.pop(key, None)
        elif event.stage and event.event in (*ANNOUNCES, "eased"):
            standing[key] = event.stage
    seconds[max(standing.values(), default=Stage.NORMAL)] += max(end - since, 0.0)
    normal, caution, warning, alarm = seconds
    return (normal, caution, warning, alarm), blind


def episodes_by_value(events: Iterable[Event]) -> tuple[Episode, ...]:
    """Return alerts from their raising to their end, each at the worst that its own value called for."""
    return episodes_of(by_value(events))
