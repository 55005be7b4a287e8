"""Which gauges give no figure or a doubtful one, and why, in words."""

from collections.abc import Iterable
from math import isfinite
from typing import Final

from alongside.cycle.line_row import LineRow
from alongside.cycle.picture import ChannelRow, FeedRow, Picture
from alongside.cycle.plausibility.by_hand import last_reading
from alongside.cycle.plausibility.sigmas import BAND_90
from alongside.mechanics.reasons import NoLength
from alongside.readings import Quality, Reason
from alongside.stay.model import Display, Stay
from alongside.wording import names
from alongside.wording.by_hand import reading_text, unit_of
from alongside.wording.doubts import SET_ASIDE
from alongside.wording.figures import figure
from alongside.wording.marks import NOT_KNOWN
from alongside.wording.safe import safe
from alongside.wording.times import short_span

NEEDED: Final = ("tide", "draught_fwd", "draught_aft")
"""Channels without which nothing is known of a line."""
DRAUGHTS: Final = ("draught_fwd", "draught_aft")
HEEL: Final = ("heel", "draught_mid_port", "draught_mid_stbd")
BEARS_LINES: Final = (*NEEDED, *HEEL)
"""Channels that the loads of the lines rest on."""
BEARS_HOLDING: Final = (*BEARS_LINES, "wind_speed", "wind_from", "heading")
NOT_READ: Final = "no gauge, not read by hand"
AGED: Final = (Reason.STALE, Reason.SILENT)
"""Reasons that are said with their age."""


def row_of(picture: Picture, channel: str) -> ChannelRow | None:
    """Return the row of a channel; None where it is not fitted."""
    return next((row for row in picture.channels if row.channel == channel), None)


def missing(picture: Picture, channel: str) -> str:
    """Return why a channel has no value: `waiting for tide`, `tide: no signal`; "" where it has one."""
    row, words = row_of(picture, channel), names.channel(channel, short=True)
    is_watched = isfinite(picture.time)
    if row is None and is_watched and channel in NEEDED and channel not in _fitted(picture.stay):
        return f"{words}: {NOT_READ}"
    if row is None or row.reason == Reason.WAITING:
        is_awaited = row or channel in NEEDED or not (picture.channels or is_watched)
        return f"waiting for {words}" if is_awaited else ""
    return "" if row.quality != Quality.LOST else f"{words}: {names.reason(row.reason.name)}"


def _fitted(stay: Stay) -> set[str]:
    return {source.channel for feed in stay.feeds for source in feed.channels}


def why_unknown(picture: Picture) -> str:
    """Return why nothing is known of the lines: the first thing missing that all of them need."""
    return next((words for channel in NEEDED if (words := missing(picture, channel))), "not known")


def why_line_unknown(picture: Picture, row: LineRow) -> str:
    """Return why nothing is known of a line: what is wrong with the line itself, else the gauge that is
    missing."""
    if row.no_length not in (NoLength.KNOWN, NoLength.WAITING):
        return row.why
    unknown = why_unknown(picture)
    return row.why or unknown if unknown == "not known" else unknown


def faults(channels: Iterable[ChannelRow], feeds: Iterable[FeedRow]) -> list[str]:
    """Return all that is wrong with feeds and gauges, worst first, in short words. What no gauge gives is
    no fault."""
    closed = [
        f"{safe(feed.name)} not open" + (f": {safe(feed.note)}" if feed.note else "")
        for feed in feeds
        if not feed.open
    ]
    closed += [f"{safe(feed.name)}: {names.not_taken(feed.dropped, 0)}" for feed in feeds if feed.dropping]
    bad = sorted((row for row in channels if row.quality and row.feed), key=lambda row: -row.quality.rank)
    return closed + [_fault(row) for row in bad if row.reason != Reason.NOT_FITTED]


def _fault(row: ChannelRow) -> str:
    """Return `tide: no signal 6 min`, `draught F doubtful: does not move 12 min`."""
    words = names.channel(row.channel, short=True)
    if row.reason == Reason.WAITING:
        return f"waiting for {words}"
    if row.reason == Reason.BY_HAND:
        return f"{words}: {row.why or names.reason(row.reason.name)}"
    if row.reason == Reason.EXPECTED:
        if row.why == SET_ASIDE:
            return f"{words}: {SET_ASIDE}, expected from {names.stands_in(row.channel)}"
        return f"{words}: {expected(row)}"
    if row.why:
        return f"{words} {names.quality(row.quality.name)}: {row.why}"
    doubt = f" {names.quality(row.quality.name)}" if row.quality == Quality.SUSPECT else ""
    age = f" {short_span(row.age)}" if row.reason in AGED else ""
    return f"{words}{doubt}: {names.reason(row.reason.name)}{age}"


def expected(row: ChannelRow) -> str:
    """Return `no signal 18 min, expected from table`; `not heard yet, …` where the gauge never was, `no
    gauge, …` where there is none."""
    silent = f"no signal {short_span(row.age)}" if isfinite(row.age) else "not heard yet"
    return f"{silent if row.feed else 'no gauge'}, expected from {names.stands_in(row.channel)}"


def by_hand_rows(picture: Picture, row: ChannelRow, display: Display) -> list[str]:
    """Return what was read by hand of a channel last, and how far what it is carried on to may be off."""
    last = last_reading(picture.by_hand, row.channel)
    rows = [
        f"Carried on since by plan or table; within {figure(BAND_90 * row.spread, 2)} {unit_of(row.channel)}"
    ]
    if last is None:
        return rows
    text = reading_text(last.channel, last.value, last.at, last.way, display)
    by = f" ({safe(last.by)})" if last.by else ""
    return [f"Read by hand: {text}{by}", *rows]


def unsure(picture: Picture, channels: Iterable[str] = BEARS_LINES) -> bool:
    """Return whether a figure that rests on some channels is unsure: one of them is doubtful or only
    expected."""
    rests_on = set(channels)
    return any(
        row.channel in rests_on and row.quality in (Quality.SUSPECT, Quality.EXPECTED)
        for row in picture.channels
    )


def doubtful_figure(picture: Picture, text: str) -> str:
    """Return a figure of a line, `31.8?` where it rests on a gauge that is doubtful, or on none."""
    return f"{text}?" if text != NOT_KNOWN and unsure(picture) else text
