"""The cause `feed`: how far the channels of each feed can be believed, as levels.

A channel that is doubtful (stale, frozen, spikes), one that has a second sender, and a feed that sends far
more than it used to make a caution; one that was heard and is lost makes a
warning; one not heard yet makes a caution, since nothing that was known has been lost. A channel that is
replaced by an expectation is lost: what stands in for it was not measured.
"""

from collections.abc import Sequence
from typing import Final

import numpy as np

from alongside.alerts.feed_senders import caution_levels
from alongside.alerts.findings import Findings
from alongside.alerts.hearing import NOT_HEARD, hearing
from alongside.alerts.rule_model import Parts, Rule
from alongside.readings import Codes, Floats, Quality, Readings, Reason
from alongside.stay.model import Feed, Stay
from alongside.stay.stage import Stage

NAN = float("nan")
LAST_BIT: Final = 62


def feed_rules(stay: Stay) -> tuple[Rule, ...]:
    """Return one rule a feed. Its limits, in s, are those of its strictest channels: stale is doubtful, lost
    is lost."""
    return tuple(
        Rule("feed", feed.name, (*_strictest(feed), NAN), unit="s", slow=False)
        for feed in stay.feeds
        if feed.channels
    )


def _strictest(feed: Feed) -> tuple[float, float]:
    stale = min(source.stale_s for source in feed.channels)
    lost = min(source.lost_s for source in feed.channels)
    return stale, lost


def channel_levels(readings: Readings) -> Codes:
    """Return (n, c) Stage of every channel by its quality and reason."""
    level = np.zeros(readings.quality.shape, dtype=np.int8)
    level[readings.quality == Quality.SUSPECT] = Stage.CAUTION
    lost = (readings.quality == Quality.LOST) | (readings.reason == Reason.EXPECTED)
    level[lost] = Stage.WARNING
    # A port that is not open is certain at once, though the last value is still young.
    level[readings.reason == Reason.CLOSED] = Stage.WARNING
    level[lost & (readings.reason == Reason.WAITING)] = Stage.CAUTION
    level[readings.reason == Reason.NOT_FITTED] = Stage.NORMAL
    if "heading" in readings.channels:
        # Gyro against berth is an alert of its own.
        at = readings.channels.index("heading")
        level[readings.reason[:, at] == Reason.DIFFERS, at] = Stage.NORMAL
    return level


def feed_levels(rules: Sequence[Rule], findings: Findings) -> Codes:
    """Return (n, feeds) worst level of each feed's channels."""
    level = channel_levels(findings.readings.by_gauges)
    worst = np.zeros((len(findings), len(rules)), dtype=np.int8)
    for at, columns in enumerate(_columns(rules, findings)):
        if columns:
            worst[:, at] = level[:, columns].max(axis=1)
    cautions: Codes = caution_levels(rules, findings.readings.time, findings.readings.feeds)
    return np.maximum(worst, cautions)


def lost_channels(rules: Sequence[Rule], findings: Findings) -> Parts:
    """Return (n, feeds) which channels of each feed were heard and are lost, a bit each; all beyond the 62nd
    share one. One that is waited for anew after a restart is no news."""
    readings = findings.readings.by_gauges
    lost = (channel_levels(readings) > Stage.CAUTION) & (hearing(readings) != NOT_HEARD)
    parts = np.zeros((len(findings), len(rules)), dtype=np.int64)
    for at, columns in enumerate(_columns(rules, findings)):
        for place, column in enumerate(columns):
            parts[:, at] |= lost[:, column].astype(np.int64) << min(place, LAST_BIT)
    return parts


def feed_ages(rules: Sequence[Rule], findings: Findings) -> Floats:
    """Return (n, feeds) age in s of the oldest channel; NaN while none of them has been heard."""
    oldest = np.full((len(findings), len(rules)), np.nan)
    for at, columns in enumerate(_columns(rules, findings)):
        for column in columns:
            oldest[:, at] = np.fmax(oldest[:, at], findings.readings.by_gauges.age[:, column])
    return oldest


def _columns(rules: Sequence[Rule], findings: Findings) -> list[list[int]]:
    """Columns of the readings that belong to each rule's feed."""
    place = {name: column for column, name in enumerate(findings.readings.channels)}
    channels = {feed.name: [source.channel for source in feed.channels] for feed in findings.stay.feeds}
    return [[place[name] for name in channels[rule.subject] if name in place] for rule in rules]
