"""What is missing or not to be relied on, in words."""

from collections.abc import Iterable

from alongside.cycle.picture import ChannelRow, FeedRow, Picture
from alongside.readings import REASON_TEXT, Quality, Reason
from alongside.wording.safe import safe
from alongside.wording.times import short_span

_WORDS = {
    "tide": "tide",
    "draught_fwd": "draught F",
    "draught_aft": "draught A",
    "draught_mid_port": "draught midship port",
    "draught_mid_stbd": "draught midship starboard",
    "heel": "heel",
    "heading": "heading",
    "wind_speed": "wind",
    "wind_from": "wind direction",
    "wind_gust": "gust",
    "current_speed": "current",
    "current_to": "current direction",
    "depth": "depth",
}
NEEDED = ("tide", "draught_fwd", "draught_aft")
"""Channels without which nothing can be said of a line."""


def channel_words(channel: str) -> str:
    """A channel as one would say it: `tide`, `tension of line 3`."""
    if channel.startswith("tension."):
        return f"tension of line {safe(channel.removeprefix('tension.'))}"
    return _WORDS.get(channel, safe(channel))


def row_of(picture: Picture, channel: str) -> ChannelRow | None:
    return next((row for row in picture.channels if row.channel == channel), None)


def missing(picture: Picture, channel: str) -> str:
    """Why a channel has no value: `waiting for tide`, `tide lost: silent`; "" where it has one."""
    row, words = row_of(picture, channel), channel_words(channel)
    if row is None or row.reason == Reason.WAITING:
        return f"waiting for {words}" if row or channel in NEEDED or not picture.channels else ""
    if row.quality != Quality.LOST:
        return ""
    return f"{words} lost: {REASON_TEXT[row.reason]}"


def why_unknown(picture: Picture) -> str:
    """Why nothing can be said of the lines: the first thing missing that all of them need."""
    return next((words for channel in NEEDED if (words := missing(picture, channel))), "not known")


def faults(channels: Iterable[ChannelRow], feeds: Iterable[FeedRow]) -> list[str]:
    """Everything that is not good about the gauges, worst first, in short words."""
    closed = [
        f"{safe(feed.name)} not open" + (f": {safe(feed.note)}" if feed.note else "")
        for feed in feeds
        if not feed.open
    ]
    bad = sorted((row for row in channels if row.quality), key=lambda row: -row.quality)
    return closed + [_fault(row) for row in bad if row.reason != Reason.NOT_FITTED]


def _fault(row: ChannelRow) -> str:
    words = channel_words(row.channel)
    if row.reason == Reason.WAITING:
        return f"waiting for {words}"
    age = f" {short_span(row.age)}" if row.reason in (Reason.STALE, Reason.SILENT, Reason.FROZEN) else ""
    return f"{words} {'lost' if row.quality == Quality.LOST else 'suspect'}: {REASON_TEXT[row.reason]}{age}"
