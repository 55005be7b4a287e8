"""Each alert from its raising to its end, as the events on record tell it: how bad it became, how soon it was
answered and by whom."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import isnan, nan

from alongside.actions import Acknowledge
from alongside.alerts.episodes import Call, Episode, episodes_of
from alongside.alerts.model import Event
from alongside.record.reader import Done
from alongside.stay.stage import Stage


@dataclass(frozen=True, slots=True)
class AlertCourse:
    """One episode of one alert. Times are UNIX seconds, NaN for what did not happen."""

    episode: Episode
    by: str = ""
    """Who acknowledged its last warning or alarm that was acknowledged."""

    @property
    def raised(self) -> float:
        return self.episode.raised

    @property
    def worst(self) -> Stage:
        return self.episode.worst

    @property
    def text(self) -> str:
        """Its words when it was at its worst."""
        return self.episode.worst_text

    @property
    def calls(self) -> tuple[Call, ...]:
        """Its warnings and alarms that asked to be acknowledged; none for a caution."""
        return self.episode.calls

    @property
    def answered_after(self) -> float:
        """Longest wait of its warnings and alarms, s; NaN where one of them was not acknowledged, and for a
        caution."""
        waits = [call.waited_s for call in self.calls]
        return nan if not waits or self.episode.unanswered else max(waits)

    @property
    def answered_in_part(self) -> bool:
        """It was acknowledged, and grew worse after that without being acknowledged again."""
        return self.episode.unanswered and any(not isnan(call.answered) for call in self.calls)

    @property
    def rectified(self) -> float:
        """Within limits again while nobody had acknowledged it."""
        return self.episode.rectified

    @property
    def rose_again(self) -> float:
        """When it rose again, in a row of its own, before anybody had acknowledged that it was over."""
        return self.episode.rose_again

    @property
    def ended(self) -> float:
        """NaN for one that stood when the record ends, or gave way to the next."""
        return self.episode.cleared


def alert_courses(events: Iterable[Event], deeds: Sequence[Done]) -> tuple[AlertCourse, ...]:
    """Alerts in order of their raising; one that rose again is another."""
    return tuple(AlertCourse(episode, _by(episode, deeds)) for episode in episodes_of(events))


def _by(episode: Episode, deeds: Sequence[Done]) -> str:
    """Who acknowledged: the last such deed on this alert up to its last acknowledgement."""
    answered = [call.answered for call in episode.calls if not isnan(call.answered)]
    done = [
        deed.action.by
        for deed in deeds
        if isinstance(deed.action, Acknowledge)
        and (deed.action.cause, deed.action.subject) == episode.key
        and answered
        and deed.time <= answered[-1] + 1.0
    ]
    return done[-1] if done else ""
