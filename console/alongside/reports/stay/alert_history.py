"""Each alert from its raising to its end, as the events on record have it: how bad it became, how soon it was
acknowledged and by whom."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import isnan, nan

from alongside.actions import Accept, Acknowledge
from alongside.alerts.episodes import Call, Episode, episodes_of
from alongside.alerts.model import Event
from alongside.record.reader import Done
from alongside.stay.stage import Stage


@dataclass(frozen=True, slots=True)
class AlertHistory:
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
        """Return its words when it was at its worst."""
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
        """Whether it was acknowledged, and worsened after that without being acknowledged again."""
        return self.episode.unanswered and any(not isnan(call.answered) for call in self.calls)

    @property
    def rectified(self) -> float:
        """When it was within limits again while nobody had acknowledged it."""
        return self.episode.rectified

    @property
    def rose_again(self) -> float:
        """When it rose again, in a row of its own, before anybody had acknowledged that it was over."""
        return self.episode.rose_again

    @property
    def ended(self) -> float:
        """NaN for one that stood when the record ends, or gave way to the next."""
        return self.episode.cleared


def alert_histories(events: Iterable[Event], actions: Sequence[Done]) -> tuple[AlertHistory, ...]:
    """Return alerts in order of their raising; one that rose again is another."""
    return tuple(AlertHistory(episode, _by(episode, actions)) for episode in episodes_of(events))


def _by(episode: Episode, actions: Sequence[Done]) -> str:
    """Who acknowledged: initials of the last such action on this alert, up to its last acknowledgement."""
    answered = [call.answered for call in episode.calls if not isnan(call.answered)]
    if not answered:
        return ""
    initials = [
        done.action.by
        for done in actions
        if isinstance(done.action, Acknowledge | Accept)
        and (done.action.cause, done.action.subject) == episode.key
        and done.time <= answered[-1] + 1.0
    ]
    return initials[-1] if initials else ""
