"""Alerts as their events tell them: each episode from its raising to its end, and what in it asked to be
acknowledged and was or was not.

A condition that goes and comes again makes a new episode, even where nobody had acknowledged that it was
over. An acknowledgement belongs to the stage for which it was given: what grows worse afterwards asks anew.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from math import inf, isnan, nan
from typing import Final

from alongside.alerts.deeds import SILENCE_S
from alongside.alerts.model import Alert, Event, EventWord, Key, Standing
from alongside.stay.causes import Cause
from alongside.stay.stage import Stage

ANSWERS: Final[frozenset[EventWord]] = frozenset({"acknowledged", "accepted"})
RISES: Final[frozenset[EventWord]] = frozenset({"raised", "worsened", "escalated"})
CALLED: Final = "Second caller called"
"""How the event begins that says that somebody was called for an alarm."""


@dataclass(frozen=True, slots=True)
class Call:
    """A warning or alarm that asked to be acknowledged from `since` on; `stage` is the worst that it came to
    before somebody did, at `answered` (UNIX seconds, NaN: nobody did)."""

    stage: Stage
    since: float
    answered: float = nan

    @property
    def waited_s(self) -> float:
        """Return seconds until it was acknowledged; NaN where it was not."""
        return self.answered - self.since


@dataclass(frozen=True, slots=True)
class Episode:
    """One cause on one subject, once. Times are UNIX seconds, NaN for what did not happen."""

    cause: Cause
    subject: str
    line: str | None
    raised: float
    stage: Stage
    """As it stands after the last event."""
    worst: Stage
    text: str
    """Its words when it was raised."""
    worst_text: str
    """Its words when it was at its worst."""
    worst_at: float = nan
    """When it came to its worst."""
    stood: bool = False
    """It stood before what is looked at began: `raised` is that beginning, not its raising."""
    calls: tuple[Call, ...] = ()
    silenced: float = nan
    """When its sound was silenced first."""
    quiet_until: float = -inf
    silence_lasts_until: float = -inf
    """Until when a new alarm ends its silence; a warning is silent after that too."""
    rectified: float = nan
    """Within limits again while nobody had acknowledged it."""
    rose_again: float = nan
    """When the next episode began before anybody had acknowledged that this one was over."""
    cleared: float = nan

    @property
    def key(self) -> Key:
        return self.cause, self.subject

    @property
    def over(self) -> float:
        """Return when its condition had gone; NaN where it stood to the last."""
        return self.cleared if isnan(self.rectified) else self.rectified

    @property
    def listed_until(self) -> float:
        """Return when it went from the list, or gave way to the next; infinite where it did neither."""
        return next((time for time in (self.cleared, self.rose_again) if not isnan(time)), inf)

    @property
    def unanswered(self) -> bool:
        """Whether something in it that asked to be acknowledged was not."""
        return any(isnan(call.answered) for call in self.calls)

    def sounds_at(self, time: float) -> bool:
        waits = any(isnan(call.answered) for call in self.calls)
        return waits and isnan(self.over) and self.stage > Stage.CAUTION and time >= self.quiet_until


def episodes_of(
    events: Iterable[Event], standing: Iterable[Alert] = (), begin: float = nan
) -> tuple[Episode, ...]:
    """Return episodes in order of their raising. `standing` are the alerts that stood when the events begin,
    at `begin`; those whose condition had gone already are not among the episodes."""
    found = [_stood(alert, begin) for alert in standing if alert.active_stage]
    newest = {episode.key: place for place, episode in enumerate(found)}
    events = tuple(events)
    for at, event in enumerate(events):
        if _ends_silence(events, at):
            found = [
                replace(each, quiet_until=-inf) if event.time < each.silence_lasts_until else each
                for each in found
            ]
        if event.event == "silenced":
            found = [_silenced(each, event.time) if _is_of(event, each) else each for each in found]
        if event.alert is None:
            continue
        key = (event.alert, event.subject or "")
        if event.event in ANSWERS:
            found = [_answered(each, event.time) if each.key == key else each for each in found]
        elif event.event in RISES and (key not in newest or not isnan(found[newest[key]].over)):
            if key in newest:
                found[newest[key]] = replace(found[newest[key]], rose_again=event.time)
            newest[key] = len(found)
            found.append(_begun(event, event.alert))
        elif key in newest:
            found[newest[key]] = _followed(found[newest[key]], event)
            if event.event == "cleared":
                del newest[key]
    return tuple(found)


def _ends_silence(events: Sequence[Event], at: int) -> bool:
    """Whether an alarm is new or worsened, and waits: then all that was silenced sounds. One that was
    answered when it was raised before is acknowledged at the same instant."""
    event = events[at]
    if event.event not in RISES or event.stage is not Stage.ALARM or event.text.startswith(CALLED):
        return False
    same = (each for each in events[at + 1 :] if (each.alert, each.subject) == (event.alert, event.subject))
    following = next(same, None)
    return following is None or following.event not in ANSWERS or following.time > event.time


def _is_of(event: Event, episode: Episode) -> bool:
    """Return whether an event that may be of one alert or of all is of this one."""
    return event.alert is None or (event.alert, event.subject or "") == episode.key


def _stood(alert: Alert, begin: float) -> Episode:
    calls = (Call(alert.owed, begin),) if alert.owed else ()
    quiet = lasts = -inf
    if alert.standing is Standing.SILENCED:
        # A silenced alarm sounds again in time, a warning not before it changes.
        until = alert.silenced_until
        lasts = -inf if until is None else until
        quiet = inf if alert.stage is not Stage.ALARM or until is None else until
    return Episode(
        alert.cause,
        alert.subject,
        alert.line,
        begin,
        alert.stage,
        alert.stage,
        alert.text,
        alert.text,
        begin,
        stood=True,
        calls=calls,
        quiet_until=quiet,
        silence_lasts_until=lasts,
    )


def _begun(event: Event, cause: Cause) -> Episode:
    stage = event.stage or Stage.NORMAL
    calls = (Call(stage, event.time),) if stage > Stage.CAUTION else ()
    return Episode(
        cause,
        event.subject or "",
        event.line,
        event.time,
        stage,
        stage,
        event.text,
        event.text,
        event.time,
        calls=calls,
    )


def _followed(episode: Episode, event: Event) -> Episode:
    if event.event in RISES:
        return _risen(episode, event)
    if event.event == "acceptance_ended":
        return _called(episode, event)
    if event.event == "eased":
        stage = event.stage or Stage.NORMAL
        # A silenced warning stays silent until it changes, one that was an alarm when silenced as well.
        stays = stage is not Stage.ALARM and event.time < episode.quiet_until
        return replace(episode, stage=stage, quiet_until=inf if stays else episode.quiet_until)
    if event.event == "rectified":
        return replace(episode, rectified=event.time)
    return replace(episode, cleared=event.time) if event.event == "cleared" else episode


def _risen(episode: Episode, event: Event) -> Episode:
    if event.text.startswith(CALLED):
        return episode  # it was an alarm already, and the call does not end its silence
    stage = event.stage or Stage.NORMAL
    if stage > episode.worst:
        episode = replace(episode, worst=stage, worst_text=event.text, worst_at=event.time)
    return _called(episode, event)


def _called(episode: Episode, event: Event) -> Episode:
    """It asks to be acknowledged, unless it is a caution."""
    stage = event.stage or Stage.NORMAL
    calls = episode.calls
    if stage > Stage.CAUTION:
        last = calls[-1] if episode.unanswered else Call(stage, event.time)
        kept = calls[:-1] if episode.unanswered else calls
        calls = (*kept, replace(last, stage=max(last.stage, stage)))
    return replace(episode, stage=stage, calls=calls, quiet_until=-inf)


def _answered(episode: Episode, time: float) -> Episode:
    """One acknowledgement answers all that waits for one in the list, an episode that rose again as well."""
    if not isnan(episode.cleared):
        return episode
    calls = tuple(replace(call, answered=time) if isnan(call.answered) else call for call in episode.calls)
    return replace(episode, calls=calls)


def _silenced(episode: Episode, time: float) -> Episode:
    if not episode.sounds_at(time):
        return episode
    quiet = time + SILENCE_S if episode.stage is Stage.ALARM else inf
    first = time if isnan(episode.silenced) else episode.silenced
    return replace(episode, silenced=first, quiet_until=quiet, silence_lasts_until=time + SILENCE_S)
