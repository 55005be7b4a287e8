"""What to do about gauges and feeds: those without which lines are not known, and those not heard yet."""

from collections.abc import Sequence
from math import isfinite
from typing import Final

from alongside.alerts.hearing import unwatched_without
from alongside.alerts.model import Alert
from alongside.cycle.advice.doubtful import look_at
from alongside.cycle.advice.scene import Scene
from alongside.cycle.advice.sentence import Sentence, more_text
from alongside.cycle.picture import ChannelRow
from alongside.readings import Quality, Reason
from alongside.stay.stage import Stage
from alongside.wording.figures import listed
from alongside.wording.names import channel as channel_words
from alongside.wording.names import reason as reason_words
from alongside.wording.safe import safe
from alongside.wording.times import clock

MOST_NAMES: Final = 3
NOT_TRIED: Final = "not opened yet"
"""Note of a port in the first moment."""


def _shut(scene: Scene) -> dict[str, str]:
    """Why a port could not be opened, by feed; when it is tried again is for the page of the feeds."""
    why = {feed.name: feed.note.partition(", tried again")[0] for feed in scene.feeds if not feed.open}
    return {name: safe(note) for name, note in why.items() if note not in ("", NOT_TRIED)}


def is_bad_feed(alert: Alert, scene: Scene) -> bool:
    """Whether anything is the matter with a feed still; its alert stands for a while after."""
    bad = any(row.feed == alert.subject and row.quality is not Quality.GOOD for row in scene.channels)
    return bad or scene.stages.get(alert.key, Stage.NORMAL) > Stage.NORMAL


def check_feed(alert: Alert, scene: Scene) -> Sentence:
    """A feed that is doubtful or lost, but without which the lines are still known."""
    bad = [row for row in scene.channels if row.feed == alert.subject and row.quality is not Quality.GOOD]
    doubted = [row for row in bad if row.why and row.reason is not Reason.BY_HAND]
    if doubted:
        return look_at(doubted[0], alert.stage)
    unwatched = unwatched_without(scene.stay, [row.channel for row in bad if is_lost(row)])
    then = f"; not watched: {', '.join(unwatched)}" if unwatched else ""
    name, why = safe(alert.subject), _shut(scene).get(alert.subject) or _trouble(bad, scene)
    if not bad and not why:
        why = alert.text.removeprefix(f"Feed {name}: ")
    unread = [row for row in bad if row.reason is not Reason.BY_HAND]
    if any(row.channel == "tide" for row in unread):
        return Sentence(
            alert.stage, f"Read the tide board, check {name}: {why}", "", then, large="READ TIDE BOARD"
        )
    if any(row.channel.startswith("draught_") for row in unread):
        return Sentence(alert.stage, f"Read draughts, check {name}: {why}", "", then, large="READ DRAUGHTS")
    return Sentence(alert.stage, f"Check {name}: {why}", "", then, large="CHECK GAUGES")


def no_signal(lost: Sequence[ChannelRow], scene: Scene, others: int) -> Sentence:
    """Nothing is known of the lines."""
    stood = [
        alert for alert in scene.alerts if alert.suspended and alert.stage > Stage.CAUTION and alert.line
    ]
    was = f"; line {safe(stood[0].line or '')} was in {stood[0].stage.word}" if stood else ""
    shut = _shut(scene)
    closed = [feed for feed in dict.fromkeys(row.feed for row in lost) if feed in shut]
    why = "".join(f"; {safe(feed)}: {shut[feed]}" for feed in closed)
    do = f"Check lines by eye: {_trouble(lost, scene)}"
    return Sentence(Stage.WARNING, do, why + was, "", more_text(others), large="CHECK LINES")


def unheard(scene: Scene) -> list[ChannelRow]:
    """Inputs of the lines that have not been heard since the start."""
    return [row for row in scene.channels if row.reason is Reason.WAITING and lines_rest_on(scene, row)]


def first_signals(scene: Scene) -> Sentence | None:
    """Inputs of the lines that have not been heard since the start; a port that does not open is what to
    see to."""
    rows = unheard(scene)
    if not rows:
        return None
    waits = f"aiting for {_names(rows)}"
    shut = _shut(scene)
    feed = next((row.feed for row in rows if row.feed in shut), None)
    if feed is None:
        return Sentence(Stage.CAUTION, f"W{waits}", large="CHECKING")
    return Sentence(
        Stage.CAUTION, f"Check {safe(feed)}: {shut[feed]}", "", f"; w{waits}", large="CHECK GAUGES"
    )


def is_lost(row: ChannelRow) -> bool:
    return row.quality is Quality.LOST and row.reason not in (Reason.WAITING, Reason.NOT_FITTED)


def lines_rest_on(scene: Scene, row: ChannelRow) -> bool:
    return "all lines" in unwatched_without(scene.stay, [row.channel])


def _trouble(rows: Sequence[ChannelRow], scene: Scene) -> str:
    """`tide no signal since 03:10`; those of one reason together, since the oldest was heard."""
    together: dict[Reason, list[ChannelRow]] = {}
    for row in rows:
        together.setdefault(row.reason, []).append(row)
    parts = []
    for reason, those in together.items():
        ages = [row.age for row in those if isfinite(row.age)]
        since = f" since {clock(scene.now - max(ages), scene.stay.display)}" if ages else ""
        if reason is Reason.EXPECTED:
            source = "table" if all(row.channel == "tide" for row in those) else "plan"
            silent = f"no signal{since}" if ages else "not heard yet"
            parts.append(f"{_names(those)} {silent}, expected from {source}")
        else:
            parts.append(f"{_names(those)} {reason_words(reason.name)}{since}")
    return ", ".join(parts)


def _names(rows: Sequence[ChannelRow]) -> str:
    """`tide`, `tide and heel`, `tide, heel and gust`, `4 gauges`: one count, beside that of the alerts."""
    names = [channel_words(row.channel) for row in rows]
    return listed(names) if len(names) <= MOST_NAMES else f"{len(names)} gauges"
