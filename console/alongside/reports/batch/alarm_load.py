"""The alarm load of a stay as the standards of alarm management count it, and of many stays together.

Measures and aims are those of ANSI/ISA-18.2-2016 and IEC 62682:2022, clause 16 of both (monitoring and
assessment), and EEMUA 191; their figures are from memory and from papers that quote them, the texts were not
at hand. There an operator sits at one console; here each stay has a watch of its own, so hours of all stays
add up. Every stage counts, a caution too: each is shown and asks to be read.
"""

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import isnan
from typing import Final

from alongside.alerts.episodes import Episode
from alongside.alerts.model import Event, Key
from alongside.stay.stage import Stage

PERIOD_S: Final = 600.0
FLOOD: Final = 10
"""More announcements than this in ten minutes are a flood: more than one operator can answer."""
CHATTER_TIMES: Final = 3
CHATTER_S: Final = 60.0
"""An alert that is announced so often within so long chatters."""
AGAIN_S: Final = 900.0
"""The same alert again within so long, no worse, is one too many. Common practice, no source."""
STANDING_S: Final = 86_400.0
"""An alert that stands longer than this is stale."""
TOP: Final = 10
"""Most frequent alerts that are listed, and whose part of all is a measure."""


@dataclass(frozen=True, slots=True)
class OneAlert:
    """How often one alert was announced: cause and subject, and in which stay."""

    stay: str
    alert: str
    subject: str
    announced: int


@dataclass(frozen=True, slots=True)
class StandingAlert:
    """An alert that stood longer than a day."""

    stay: str
    alert: str
    subject: str
    stood_s: float


@dataclass(frozen=True, slots=True)
class AlarmLoad:
    """Alerts announced (raised, or risen to a worse stage) over some hours of watch."""

    hours: float
    announced: tuple[int, int, int]
    """As caution, warning, alarm."""
    periods: int
    """Of ten minutes, the last one not whole."""
    floods: int
    """Periods with more than `FLOOD`."""
    most: int
    """In any such period."""
    chattering: int
    """Alerts that chattered."""
    again: int
    """How often an alert came again within `AGAIN_S` of having gone, no worse."""
    standing: tuple[StandingAlert, ...]
    each: tuple[OneAlert, ...]
    """In order of falling number; of stays together the `TOP` alone."""
    total: int

    @property
    def per_hour(self) -> float:
        """Return announcements an hour; NaN over no time at all."""
        return self.total / self.hours if self.hours > 0.0 else float("nan")

    @property
    def top_share(self) -> float:
        """Return the part of all announcements that the most frequent alerts have; NaN without any."""
        return sum(one.announced for one in self.each[:TOP]) / self.total if self.total else float("nan")


def alarm_load(
    stay: str, events: Iterable[Event], episodes: Sequence[Episode], begin: float, end: float, blind_s: float
) -> AlarmLoad:
    """Return the load of one stay that was watched from `begin` to `end`, UNIX s, less `blind_s` of gaps.
    `events` are those that announce an alert, in order of time."""
    announced = tuple(events)
    times: dict[Key, list[float]] = defaultdict(list)
    for event in announced:
        if event.alert is not None:
            times[event.alert, event.subject or ""].append(event.time)
    stages = Counter(event.stage for event in announced)
    periods = Counter(int((event.time - begin) // PERIOD_S) for event in announced)
    each = sorted((-len(when), *key) for key, when in times.items())
    return AlarmLoad(
        hours=max(end - begin - blind_s, 0.0) / 3600.0,
        announced=(stages[Stage.CAUTION], stages[Stage.WARNING], stages[Stage.ALARM]),
        periods=int(-(-max(end - begin - blind_s, 0.0) // PERIOD_S)),
        floods=sum(count > FLOOD for count in periods.values()),
        most=max(periods.values(), default=0),
        chattering=sum(_chatters(when) for when in times.values()),
        again=_again(episodes),
        standing=tuple(_standing(stay, episodes, end)),
        each=tuple(OneAlert(stay, cause, subject, -count) for count, cause, subject in each),
        total=len(announced),
    )


def added(loads: Iterable[AlarmLoad]) -> AlarmLoad:
    """Return the load of several stays together."""
    all_of = tuple(loads)
    first, second, third = (sum(load.announced[at] for load in all_of) for at in range(3))
    each = sorted(
        (one for load in all_of for one in load.each),
        key=lambda one: (-one.announced, one.stay, one.alert, one.subject),
    )
    return AlarmLoad(
        hours=sum(load.hours for load in all_of),
        announced=(first, second, third),
        periods=sum(load.periods for load in all_of),
        floods=sum(load.floods for load in all_of),
        most=max((load.most for load in all_of), default=0),
        chattering=sum(load.chattering for load in all_of),
        again=sum(load.again for load in all_of),
        standing=tuple(one for load in all_of for one in load.standing),
        each=tuple(each[:TOP]),
        total=sum(load.total for load in all_of),
    )


def _chatters(times: Sequence[float]) -> bool:
    apart = CHATTER_TIMES - 1
    return any(late - early <= CHATTER_S for early, late in zip(times, times[apart:], strict=False))


def _again(episodes: Sequence[Episode]) -> int:
    """Return how many episodes begin soon after the one before of the same alert was over, and come to no
    worse."""
    last: dict[Key, Episode] = {}
    count = 0
    for episode in episodes:
        before = last.get(episode.key)
        if before is not None and episode.raised - before.over <= AGAIN_S and episode.worst <= before.worst:
            count += 1
        last[episode.key] = episode
    return count


def _standing(stay: str, episodes: Sequence[Episode], end: float) -> Iterable[StandingAlert]:
    for episode in episodes:
        until = end if isnan(episode.over) else episode.over
        if until - episode.raised > STANDING_S:
            yield StandingAlert(stay, episode.cause, episode.subject, until - episode.raised)
