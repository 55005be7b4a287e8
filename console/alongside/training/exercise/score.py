"""How a watch answered: when each alert was seen, acknowledged and acted upon; and the rounds it made.

Times count from when the alert was raised, or from the beginning where it stood before; acknowledgement
counts from when it came to warning or alarm. An alert is *seen*, as far as can be known, at the first
action about it: it is acknowledged, silenced while it sounds, named in a note, what it asks for is ordered,
or a line that bears on it is tended. It is *acted upon* when such a line is tended, or what it asks for is
ordered; where neither helps (a gauge, the depth, a steep lead) nothing can be done at the console.
"""

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from math import inf, isnan, nan
from typing import Final

from alongside.actions import Accept, Acknowledge, Done, Note, TendLine
from alongside.alerts.episodes import Call, Episode, episodes_of
from alongside.alerts.model import Alert, Event
from alongside.stay.model import Stay
from alongside.stay.stage import Stage
from alongside.training.exercise.answered import gives_order

ROUND_S: Final = 900.0
"""Lines tended no farther apart than this are tended in one round."""
OF_THE_SHIP: Final = frozenset({"drift", "off_fenders", "holding"})
"""Causes that tending any line may help with."""
UNHELPED: Final = frozenset(
    {
        "feed",
        "under_keel",
        "steep",
        "calculation",
        "record",
        "clock",
        "gangway",
        "not_known",
        "caller",
        "bridge",
    }
)
"""Causes that tending does not cure; a steep lead wants another bollard or another height."""


@dataclass(frozen=True, slots=True)
class AlertScore:
    """One episode of an alert, and how it was answered. Seconds after it was raised, None where that was not
    done, or where nothing is asked."""

    episode: Episode
    bearing: frozenset[str] = frozenset()
    """Lines whose tending helps."""
    seen_s: float | None = None
    acted_s: float | None = None
    overdue: bool = False
    """What it asks to be ordered was due before the exercise began: nobody can meet that."""

    @property
    def asks_act(self) -> bool:
        """Return whether tending a line helps, or something is to be ordered."""
        return bool(self.bearing) or self.cause == "decide"

    @property
    def cause(self) -> str:
        return self.episode.cause

    @property
    def subject(self) -> str:
        return self.episode.subject

    @property
    def key(self) -> tuple[str, str]:
        return self.episode.key

    @property
    def raised_at(self) -> float:
        return self.episode.raised

    @property
    def stage(self) -> Stage:
        """The worst that it reached."""
        return self.episode.worst

    @property
    def calls(self) -> tuple[Call, ...]:
        return self.episode.calls

    @property
    def asks_acknowledgement(self) -> bool:
        return bool(self.calls)

    @property
    def acknowledged_s(self) -> float | None:
        """Longest wait of its warnings and alarms; None where one of them was not acknowledged."""
        waits = [call.waited_s for call in self.calls]
        return None if not waits or any(isnan(wait) for wait in waits) else max(waits)

    @property
    def rectified_s(self) -> float | None:
        """How long its condition lasted; None where it stood to the end."""
        return None if isnan(self.episode.over) else self.episode.over - self.raised_at


def score_alerts(
    stay: Stay,
    events: Sequence[Event],
    done: Sequence[Done],
    standing: Iterable[Alert] = (),
    start: float = nan,
) -> tuple[AlertScore, ...]:
    """Every episode of an alert in an exercise, in the order in which they came. `done` is what took effect;
    `standing` are the alerts that stood at `start`."""
    standing = tuple(standing)
    episodes = sorted(episodes_of(events, standing, start), key=lambda episode: episode.raised)
    overdue = {each.key for each in standing if each.cause == "decide" and each.stage == Stage.ALARM}
    return tuple(
        replace(_answered(stay, each, done), overdue=each.stood and each.key in overdue) for each in episodes
    )


def lines_bearing_on(stay: Stay, cause: str, subject: str, line: str | None) -> frozenset[str]:
    """The lines whose tending helps with an alert."""
    if cause in UNHELPED:
        return frozenset()
    if cause in OF_THE_SHIP:
        return frozenset(each.id for each in stay.lines)
    if cause == "parted":
        return frozenset(each.id for each in stay.lines if each.id != line)
    if cause == "bollard":
        return frozenset(each.id for each in stay.lines if stay.berth.bears(subject, each.bollard))
    return frozenset() if line is None else frozenset({line})


def rounds_made(events: Iterable[Event]) -> tuple[tuple[Event, ...], ...]:
    """Return tendings, those of one round together."""
    rounds: list[list[Event]] = []
    for event in events:
        if event.event != "tended":
            continue
        if rounds and event.time - rounds[-1][-1].time <= ROUND_S:
            rounds[-1].append(event)
        else:
            rounds.append([event])
    return tuple(tuple(each) for each in rounds)


def _answered(stay: Stay, episode: Episode, done: Sequence[Done]) -> AlertScore:
    """With what was done about it while it stood."""
    lines = lines_bearing_on(stay, *episode.key, episode.line)
    until = inf if isnan(episode.over) else episode.over
    tended = [
        each.time
        for each in done
        if isinstance(each.action, TendLine)
        and each.action.line in lines
        and episode.raised <= each.time <= until
    ]
    answers = [
        each.time
        for each in done
        if episode.raised <= each.time <= episode.listed_until and _answers(each, episode)
    ]
    silenced = [] if isnan(episode.silenced) else [episode.silenced]
    seen = [*tended, *answers, *silenced]
    acted = [
        *tended,
        *(each.time for each in done if each.time in answers and gives_order(each.action, *episode.key)),
    ]
    return AlertScore(
        episode,
        bearing=lines,
        seen_s=min(seen) - episode.raised if seen else None,
        acted_s=min(acted) - episode.raised if acted else None,
    )


def _answers(done: Done, episode: Episode) -> bool:
    """Whether an action other than tending or silencing is about it."""
    if gives_order(done.action, *episode.key):
        return True
    match done.action:
        case Acknowledge(cause, subject) | Accept(cause, subject):
            return (cause, subject) == episode.key
        case Note(text):
            return any(_names(text, name) for name in _names_of(episode))
    return False


def _names_of(alert: Episode) -> Iterator[str]:
    """What a note would call it."""
    if alert.line is not None:
        yield f"line {alert.line}"
    elif alert.subject:
        yield alert.subject
    if alert.line is None:
        yield alert.cause.replace("_", " ")


def _names(text: str, name: str) -> bool:
    return re.search(rf"(?<!\w){re.escape(name)}(?!\w)", text, re.IGNORECASE) is not None
