"""Channels heard and lost: events of the feeds, and what cannot be watched without a channel."""

from collections.abc import Callable, Iterable, Sequence
from typing import Final

import numpy as np

from alongside.alerts.model import Event
from alongside.readings import DOUBTS, Codes, Quality, Readings, Reason
from alongside.stay.model import Display, Feed, Source, Stay
from alongside.wording.names import channel as channel_words
from alongside.wording.names import reason as reason_words
from alongside.wording.safe import safe
from alongside.wording.times import clock

NOT_HEARD: Final = 0
HEARD: Final = 1
LOST: Final = 2

MIDSHIP: Final = ("draught_mid_port", "draught_mid_stbd")


def hearing(readings: Readings) -> Codes:
    """(n, c) whether each channel is not heard yet, heard, or was heard and is lost. A channel replaced by
    an expectation is not heard; a channel that has an age has been heard. What was read by hand says nothing
    of a gauge."""
    readings = readings.by_gauges
    gone = (readings.quality == Quality.LOST) | (readings.reason == Reason.EXPECTED)
    heard = np.full(readings.quality.shape, HEARD, dtype=np.int8)
    heard[gone] = LOST
    heard[gone & (np.isnan(readings.age) | (readings.reason == Reason.NOT_FITTED))] = NOT_HEARD
    return heard


Say = Callable[[Callable[[], str], Callable[[], str]], str]
"""Makes a text; where that may fail, the second one stands for it."""


def unguarded(text: Callable[[], str], _plain: Callable[[], str]) -> str:
    return text()


def feed_events(
    stay: Stay, before: Codes | None, readings: Readings, say: Say = unguarded
) -> tuple[Event, ...]:
    """Return `feed_lost` for every channel that was heard and is lost, `feed_back` when it is heard again, in
    order of time. A channel computed from another (a gust) has none. `before` (c,) is the last row of
    `hearing` of the block before, None at the start."""
    readings = readings.by_gauges
    now = hearing(readings)
    first = now[:1] if before is None else before[np.newaxis]
    past = np.concatenate([first, now[:-1]])
    rows, columns = np.nonzero((now != past) & ((now == LOST) | (past == LOST)) & (now != NOT_HEARD))
    places = {source.channel: (feed, source) for feed in stay.feeds for source in feed.channels}
    events: list[Event] = []
    for row, column in zip(rows.tolist(), columns.tolist(), strict=True):
        channel = readings.channels[column]
        if channel in places:
            lost = bool(now[row, column] == LOST)
            events.append(_event(readings, row, column, lost, places[channel], stay.display, say))
    return tuple(events)


def unwatched_without(stay: Stay, channels: Iterable[str]) -> tuple[str, ...]:
    """Return what can no longer be watched when these channels are lost."""
    fitted = {source.channel for feed in stay.feeds for source in feed.channels}
    names = [name for channel in channels for name in _rests_on(stay, channel, fitted)]
    return tuple(dict.fromkeys(names))


def _rests_on(stay: Stay, channel: str, fitted: set[str]) -> tuple[str, ...]:
    afloat = ("all lines",) if stay.berth.charted_depth is None else ("all lines", "UKC")
    if channel in ("tide", "draught_fwd", "draught_aft"):
        return afloat
    if channel in MIDSHIP:
        return () if "heel" in fitted else afloat
    if channel == "heel":
        return () if set(MIDSHIP) <= fitted else afloat
    if channel.startswith("wind_"):
        return ("wind",)
    if channel.startswith("current_"):
        return ("current",)
    return (channel_words(channel),)


def trouble(readings: Readings, row: int, columns: Sequence[int], display: Display) -> str:
    """Return what is the matter with these channels, those of one reason and time together: `tide, draught
    aft no signal since 22:40; wind no signal since 21:15`."""
    together: dict[tuple[Reason, str], list[int]] = {}
    parts = []
    for column in columns:
        why = readings.why(readings.channels[column], row)
        if why and Reason(int(readings.reason[row, column])) in DOUBTS:
            parts.append(f"{channel_words(readings.channels[column])} {why}")
            continue
        reason = Reason(int(readings.reason[row, column]))
        timed = reason in (Reason.STALE, Reason.SILENT)  # the others may have no age
        heard = float(readings.time[row] - readings.age[row, column])
        since = f" since {clock(heard, display)}" if timed else ""
        together.setdefault((reason, since), []).append(column)
    for (reason, since), those in together.items():
        names = ", ".join(channel_words(readings.channels[column]) for column in those)
        parts.append(f"{names} {reason_words(reason.name)}{since}")
    return "; ".join(parts)


def _event(
    readings: Readings,
    row: int,
    column: int,
    lost: bool,
    place: tuple[Feed, Source],
    display: Display,
    say: Say,
) -> Event:
    channel, (feed, source) = readings.channels[column], place
    age = float(readings.age[row, column])

    def text() -> str:
        what = trouble(readings, row, [column], display) if lost else f"{channel_words(channel)} heard again"
        return f"Feed {safe(feed.name)}: {what}"

    return Event(
        time=float(readings.time[row]),
        event="feed_lost" if lost else "feed_back",
        subject=channel,
        line=channel.removeprefix("tension.") if channel.startswith("tension.") else None,
        value=None if np.isnan(age) else age,
        limit=source.lost_s,
        text=say(text, lambda: f"Feed {feed.name}: {channel}"),
    )
