"""Texts of alerts on what the watch goes by: gauges, the record, the second caller, the bridge, the clock."""

from collections.abc import Sequence
from math import isfinite
from typing import Final

from alongside.alerts.feed_senders import caution_words
from alongside.alerts.hearing import trouble, unwatched_without
from alongside.alerts.rule_model import Rule
from alongside.readings import Quality, Readings, Reason
from alongside.stay.model import Display, Stay
from alongside.stay.stage import Stage
from alongside.wording.doubts import SET_ASIDE
from alongside.wording.figures import listed
from alongside.wording.names import channel, stands_in
from alongside.wording.safe import safe
from alongside.wording.times import clock, span

BACK: Final = "signal is back"


def feed_text(stay: Stay, rule: Rule, stage: Stage, readings: Readings, row: int) -> str:
    """Return `Feed gauges: tide no signal since 22:40; not watched: all lines, UKC`, and what else is to be
    said of the feed."""
    cautions = readings.feeds.at(float(readings.time[row]))
    words = caution_words(cautions, rule.subject) if stage else ""
    text, nothing = _channels_text(stay, rule, stage, readings, row), f"Feed {safe(rule.subject)}: {BACK}"
    if not words:
        return text
    feed = f"Feed {safe(rule.subject)}"
    if text == nothing:
        return f"{feed}: {words}"
    if stage > Stage.CAUTION:
        return f"{text}; {words}"
    return f"{feed}: {words}; {text.removeprefix(feed).removeprefix(':').strip()}"


def _channels_text(stay: Stay, rule: Rule, stage: Stage, readings: Readings, row: int) -> str:
    """Return what is the matter with the channels of a feed, and which of them go by hand meanwhile."""
    shown, readings = readings, readings.by_gauges
    name, display = f"Feed {safe(rule.subject)}", stay.display
    fitted = {source.channel for feed in stay.feeds if feed.name == rule.subject for source in feed.channels}
    columns = [at for at, each in enumerate(readings.channels) if each in fitted]
    quality, reason = readings.quality[row], readings.reason[row]
    lost = [at for at in columns if quality[at] == Quality.LOST and reason[at] != Reason.WAITING]
    expected = [at for at in columns if reason[at] == Reason.EXPECTED]
    waiting = [at for at in columns if reason[at] == Reason.WAITING]
    shut = [at for at in columns if reason[at] == Reason.CLOSED]
    doubtful = [at for at in columns if quality[at] == Quality.SUSPECT and at not in expected + shut]
    by_hand = [at for at in columns if shown.reason[row, at] == Reason.BY_HAND]
    meanwhile = f"; {shown.why(readings.channels[by_hand[0]], row) or 'by hand'}" if by_hand else ""
    if stage and shut:
        return f"{name}: {trouble(readings, row, shut + lost, display)}"
    if stage > Stage.CAUTION and expected and not lost and not by_hand:
        text = expected_text(readings, row, expected, display)
        return f"{text}; {_not_heard(stay, readings, row, waiting)}" if waiting else text
    if stage > Stage.CAUTION and lost + expected:
        unwatched = ", ".join(
            unwatched_without(stay, [readings.channels[at] for at in lost if at not in by_hand])
        )
        then = f"{meanwhile}; not watched: {unwatched}" if unwatched else meanwhile
        return f"{name}: {trouble(readings, row, lost + expected, display)}{then}"
    if stage and lost + expected + doubtful:
        return f"{name} doubtful: {trouble(readings, row, lost + expected + doubtful, display)}"
    if stage and waiting:
        return f"{name}: {_not_heard(stay, readings, row, waiting)}"
    return f"{name}: {BACK}"


def _not_heard(stay: Stay, readings: Readings, row: int, waiting: Sequence[int]) -> str:
    """Return `tide not heard yet; not watched: all lines, UKC`."""
    channels = [readings.channels[at] for at in waiting]
    named = [channel(each) for each in channels]
    unwatched = ", ".join(each for each in unwatched_without(stay, channels) if each not in named)
    text = trouble(readings, row, waiting, stay.display)
    return f"{text}; not watched: {unwatched}" if unwatched else text


def expected_text(readings: Readings, row: int, columns: Sequence[int], display: Display) -> str:
    """Return `Tide gauge: no signal since 22:40; expected from table`, of channels that are expected."""
    aside = [at for at in columns if readings.why(readings.channels[at], row) == SET_ASIDE]
    silent = [at for at in columns if at not in aside]
    if aside and silent:
        return "; ".join(expected_text(readings, row, part, display) for part in (aside, silent))
    names = listed([channel(readings.channels[at]) for at in columns])
    since = float(readings.time[row]) - float(readings.age[row, columns].max())
    source = stands_in(readings.channels[columns[0]])
    why = f"no signal since {clock(since, display)}" if isfinite(since) else "not heard yet"
    why = SET_ASIDE if aside else why
    return f"{names[:1].upper()}{names[1:]} gauge: {why}; expected from {source}"


def record_text(stage: Stage, unrecorded: str, filling: str = "") -> str:
    """Return `Not on record: journal (disk full)`, or which feed fills the disk."""
    if not stage:
        return "All is on record"
    if filling and not unrecorded:
        return filling
    return f"Not on record: {unrecorded}" if unrecorded else "Was not on record"


def caller_text(stage: Stage, fault: str) -> str:
    """Return `Second caller failed: exit 3`."""
    return f"Second caller failed: {fault or 'before'}" if stage else "Second caller works"


def bridge_text(stage: Stage, fault: str) -> str:
    """Return `Alerts do not go to the bridge: no such port /dev/ttyUSB1`."""
    return f"Alerts do not go to the bridge: {fault or 'before'}" if stage else "Alerts go to the bridge"


def clock_text(stage: Stage, seconds: float) -> str:
    """Return `Clock was set back 5 h 45 min: times here run ahead`."""
    return f"Clock was set back {span(seconds)}: times here run ahead" if stage else "Times are right again"
