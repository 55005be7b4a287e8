"""Who sends a channel, and whether a feed sends far more than it used to: levels and words."""

from bisect import bisect_left
from collections.abc import Sequence
from functools import partial

import numpy as np

from alongside.alerts.hearing import Say, unguarded
from alongside.alerts.model import Event
from alongside.alerts.rule_model import Rule
from alongside.readings import Codes, FarAboveHabit, FeedCaution, FeedNews, Floats, Readings, SecondSender
from alongside.stay.stage import Stage
from alongside.wording.names import channel as channel_words
from alongside.wording.safe import safe


def caution_levels(rules: Sequence[Rule], time: Floats, news: FeedNews) -> Codes:
    """Return (n, feeds) a caution wherever one of these stands."""
    level = np.zeros((time.size, len(rules)), dtype=np.int8)
    column = {rule.subject: at for at, rule in enumerate(rules)}
    for each in news.cautions:
        if each.feed in column:
            level[(time >= each.since) & (time < each.until), column[each.feed]] = Stage.CAUTION
    return level


def caution_words(cautions: Sequence[FeedCaution], feed: str) -> str:
    """Return `second sender for tide: 10.0.0.7; first 10.0.0.5 is used`, or `120 lines a second, usually 4`;
    several apart by semicolons, "" for none."""
    parts: list[str] = []
    together: dict[tuple[str, str, str], list[str]] = {}
    for each in cautions:
        if each.feed != feed:
            continue
        if isinstance(each, SecondSender):
            key = each.other, each.used.sender, each.used.after
            together.setdefault(key, []).append(channel_words(each.channel))
        else:
            parts.append(_pace_words(each))
    for (other, used, after), channels in together.items():
        names = ", ".join(dict.fromkeys(channels))
        first = "" if after else "first "
        parts.insert(0, f"second sender for {names}: {safe(other)}; {first}{safe(used)} is used")
    return "; ".join(parts)


def _pace_words(each: FarAboveHabit) -> str:
    usual = "" if each.usual_per_s is None else f", usually {_per_s(each.usual_per_s)}"
    return f"{_per_s(each.per_s)} lines a second{usual}"


def _per_s(rate: float) -> str:
    return f"{rate:.0f}" if rate >= 10.0 else f"{rate:.1f}"


def sender_events(readings: Readings, say: Say = unguarded) -> tuple[Event, ...]:
    """Return a note for every sender that was taken into use, the channels that it sends together."""
    together: dict[tuple[int, str, str, str], list[str]] = {}
    for use in readings.feeds.senders:
        row = min(bisect_left(readings.time, use.since), len(readings) - 1)
        together.setdefault((row, use.feed, use.sender, use.after), []).append(use.channel)
    return tuple(
        Event(
            float(readings.time[row]),
            "note",
            text=say(partial(_use_text, feed, sender, after, channels), partial(str, f"{feed}: {sender}")),
        )
        for (row, feed, sender, after), channels in together.items()
    )


def _use_text(feed: str, sender: str, after: str, channels: Sequence[str]) -> str:
    """Return `Feed net: tide from 10.0.0.5`."""
    names = ", ".join(channel_words(channel) for channel in channels)
    if after:
        return f"Feed {safe(feed)}: {names} now from {safe(sender)}, no signal from {safe(after)}"
    return f"Feed {safe(feed)}: {names} from {safe(sender)}"
