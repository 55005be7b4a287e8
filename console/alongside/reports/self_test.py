"""What a self-test of the console finds by itself: gauges, record, clock."""

from collections.abc import Iterator
from math import isfinite
from typing import Final

from alongside.cycle.picture import ChannelRow, Picture, RecordTried
from alongside.readings import Quality, Reason
from alongside.wording.figures import counted
from alongside.wording.names import channel as channel_name
from alongside.wording.names import quality as quality_word
from alongside.wording.safe import safe
from alongside.wording.times import short_span

DUE: Final = "No self-test in this watch: press c"
MOST_NAMED: Final = 3
"""Gauges that are not good are named up to so many."""


def findings(picture: Picture, palette: str) -> str:
    """Return `6 gauges good, newest reading 0 s old, record 3 ms, 12 GB free, palette day`."""
    return ", ".join((*_gauges(picture), record_words(picture), f"palette {palette}"))


def due_words(picture: Picture) -> str:
    """Return the reminder where this watch has made no self-test in time; "" else."""
    keeps = not (picture.look_only or picture.replay)
    return DUE if keeps and picture.watchkeeping.is_self_test_due(picture.time) else ""


def fitted(picture: Picture) -> list[ChannelRow]:
    """Return the channels that a gauge is fitted for."""
    return [row for row in picture.channels if row.feed and row.reason is not Reason.NOT_FITTED]


def record_words(picture: Picture) -> str:
    """Return `record 3 ms, 12 GB free`, or why it was not written."""
    if picture.replay:
        return "no record in a replay"
    tried = picture.record_tried
    if tried is None:
        return "record not tried"
    if tried.fault:
        return "no record is kept" if tried.fault == "no record is kept" else _failed(tried)
    return f"record {max(1.0, tried.seconds * 1000.0):.0f} ms{_free(tried)}"


def clock_words(picture: Picture) -> str:
    """Return how old the newest reading is by the clock of the console, and whether that clock is doubted."""
    ages = [row.age for row in fitted(picture) if isfinite(row.age)]
    age = short_span(max(0.0, min(ages, default=0.0)))
    newest = f"newest reading {age} old" if ages else "no reading to set it against"
    doubted = any(alert.cause == "clock" for alert in picture.alerts)
    return f"{newest}, clock in doubt" if doubted else newest


def _gauges(picture: Picture) -> Iterator[str]:
    rows = fitted(picture)
    bad = [row for row in rows if row.quality is not Quality.GOOD]
    if not bad:
        yield f"{counted(len(rows), 'gauge')} good" if rows else "no gauges"
    else:
        named = [f"{channel_name(row.channel)} {quality_word(row.quality.name)}" for row in bad[:MOST_NAMED]]
        more = f" and {len(bad) - MOST_NAMED} more" if len(bad) > MOST_NAMED else ""
        yield f"{len(rows) - len(bad)} of {counted(len(rows), 'gauge')} good ({'; '.join(named)}{more})"
    yield clock_words(picture)


def _failed(tried: RecordTried) -> str:
    return f"record FAILED: {safe(tried.fault)}{_free(tried)}"


def _free(tried: RecordTried) -> str:
    if not isfinite(tried.free):
        return ""
    gigabytes = tried.free / 1e9
    return f", {gigabytes:.0f} GB free" if gigabytes >= 10.0 else f", {gigabytes:.1f} GB free"
