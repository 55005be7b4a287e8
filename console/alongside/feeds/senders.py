"""Which sender of a channel is used, where datagrams of several bear it.

The first that is heard is used. Another is not, until the first has been silent for the channel's `lost_s`
or the feed's port names one (`from=`). All of it follows from the lines and their times alone, so that a log
gives the same again.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from math import inf
from typing import Final

import numpy as np

from alongside.readings import Floats, SecondSender, SenderInUse

GAP_S: Final = 60.0
"""A silence of all feeds from here on means that nobody listened: who is silent is found out anew."""
MOST_OTHERS: Final = 16
"""Other senders of a channel followed at a time. Addresses cost a liar nothing."""


@dataclass(slots=True)
class Hearing:
    """Who sent the line at hand, "" where a port has one other end only; and since when somebody listens."""

    sender: str = ""
    since: float = -inf
    newest: float = -inf

    def hear(self, time: float, sender: str) -> None:
        """Begin with a line."""
        if time - self.newest > GAP_S:
            self.since = time
        self.newest = time
        self.sender = sender

    def hear_all(self, times: Floats) -> None:
        """Begin with lines at times (k,), rising, k > 0, whose senders are not known."""
        gaps = np.flatnonzero(np.diff(times, prepend=self.newest) > GAP_S)
        if gaps.size:
            self.since = float(times[gaps[-1]])
        self.newest, self.sender = float(times[-1]), ""


@dataclass(slots=True)
class _Other:
    sender: str
    used: SenderInUse
    since: float
    last: float
    took_over: float = inf


@dataclass(slots=True)
class ChannelSenders:
    """The senders of one channel."""

    feed: str
    channel: str
    lost_s: float
    hearing: Hearing
    named: str | None = None
    """The one that the stay file names."""
    _uses: list[SenderInUse] = field(default_factory=list)
    _known_until: float = -inf
    _heard: float = -inf
    """When the one in use was heard last."""
    _others: dict[str, _Other] = field(default_factory=dict)
    """Those heard lately, by address."""
    _followed_beside: SenderInUse | None = None
    """In use since the last turn."""
    _gone: list[_Other] = field(default_factory=list)
    _news: list[SenderInUse] = field(default_factory=list)

    def admits(self, time: float) -> bool:
        """Return whether the line at hand, of a known sender, is used for the channel."""
        sender = self.hearing.sender
        if self.named is not None and sender != self.named:
            return False
        used = self.in_use(time)
        if time <= self._known_until:
            if used is not None and used is not self._followed_beside:
                self._turn_to(used)
            if used is None or used.sender != sender:
                self._hear_other(time, sender, used)
                return False
        elif used is None:
            self._use(SenderInUse(self.feed, self.channel, sender, time))
        elif used.sender != sender:
            if time - max(self._heard, self.hearing.since) <= self.lost_s:
                self._hear_other(time, sender, used)
                return False
            self._use(SenderInUse(self.feed, self.channel, sender, time, used.sender))
        self._heard = time
        return True

    def may_go_on(self, sender: str, time: float) -> bool:
        """Return whether nobody but this sender has been used, as far as lines from a time on can tell."""
        return not self._uses or self.goes_on(sender, time)

    def goes_on(self, sender: str, time: float) -> bool:
        """Return whether lines from a time on, all of this sender, are all used: it is in use already."""
        named = self.named is None or sender == self.named
        return named and bool(self._uses) and self._uses[-1].sender == sender and time > self._known_until

    def heard_at(self, time: float) -> None:
        """Take notice of the last of some lines of the sender in use."""
        self._heard = max(self._heard, time)

    def in_use(self, time: float) -> SenderInUse | None:
        """Return the sender in use at a time; None before the first."""
        return next((use for use in reversed(self._uses) if use.since <= time), None)

    def _use(self, use: SenderInUse) -> None:
        self._uses.append(use)
        self._news.append(use)
        self._turn_to(use)

    def _turn_to(self, use: SenderInUse) -> None:
        """Follow others beside a new one in use. One heard at that very instant counts beside the new one,
        whichever line came first: who goes on from what was remembered knows the time alone."""
        others = list(self._others.values())
        for other in others:
            other.took_over = use.since
            self._gone.append(other)
        self._others = {
            other.sender: _Other(other.sender, use, use.since, use.since)
            for other in others
            if other.last == use.since and other.sender != use.sender
        }
        self._followed_beside = use

    def _hear_other(self, time: float, sender: str, used: SenderInUse | None) -> None:
        """Follow another sender than the one in use."""
        other = self._others.get(sender)
        if other is not None and time - other.last <= self.lost_s:
            other.last = time
            return
        for silent in [each for each in self._others.values() if time - each.last > self.lost_s]:
            self._gone.append(self._others.pop(silent.sender))
        if used is not None and len(self._others) < MOST_OTHERS:
            self._others[sender] = _Other(sender, used, time, time)

    def go_on(self, uses: Iterable[SenderInUse], until: float) -> None:
        """Take over who was in use up to a time, from an earlier run."""
        self._uses = [use for use in uses if (use.feed, use.channel) == (self.feed, self.channel)]
        if self.named is not None:
            self._uses = [use for use in self._uses if use.sender == self.named]
        self._known_until = until if self._uses else -inf

    def uses(self, time: float, memory_s: float) -> list[SenderInUse]:
        """Return who was in use when, up to a time, as far back as an intake that goes on looks."""
        past = [use for use in self._uses if use.since <= time]
        last = max((at for at, use in enumerate(past) if use.since <= time - memory_s), default=0)
        return past[last:]

    def news(self, time: float) -> list[SenderInUse]:
        """Return and remove senders taken into use up to a time."""
        news = [use for use in self._news if use.since <= time]
        self._news = self._news[len(news) :]
        return news

    def cautions(self, begin: float) -> list[SecondSender]:
        """Return other senders heard, those that still count at `begin` or later; forget the rest."""
        self._gone = [other for other in self._gone if self._until(other) > begin]
        return [
            SecondSender(self.feed, self.channel, other.sender, other.used, other.since, self._until(other))
            for other in (*self._gone, *self._others.values())
        ]

    def _until(self, other: _Other) -> float:
        return min(other.last + self.lost_s, other.took_over)
