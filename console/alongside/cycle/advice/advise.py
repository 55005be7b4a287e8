"""Which of all that stands is worth the one sentence."""

from collections.abc import Sequence
from dataclasses import replace
from math import inf, isfinite, nan
from typing import Final

from alongside.alerts.assess import DEADBAND
from alongside.alerts.hearing import unwatched_without
from alongside.alerts.joined import lines_of, nearness, row_of, rows_of
from alongside.alerts.model import Alert, Standing
from alongside.cycle.advice.by_cause import is_only_watched, sentence_of
from alongside.cycle.advice.doubtful import doubtful_rows, look_at, look_before, look_first
from alongside.cycle.advice.headlines import Headline, of_lines
from alongside.cycle.advice.motion import STEADY_SHARE_PER_H
from alongside.cycle.advice.rounds import is_due, next_round
from alongside.cycle.advice.scene import Scene
from alongside.cycle.advice.sentence import Sentence
from alongside.cycle.picture import Advice, ChannelRow, LineRow
from alongside.mechanics.reasons import NoLength
from alongside.readings import Quality, Reason
from alongside.stay.causes import Cause
from alongside.stay.stage import Stage
from alongside.wording.figures import counted, listed, percent
from alongside.wording.names import channel as channel_words
from alongside.wording.names import condition, without
from alongside.wording.names import reason as reason_words
from alongside.wording.safe import safe
from alongside.wording.times import DayClock, clock

FIRST_AT_ALARM: Final[frozenset[Cause]] = frozenset({"holding", "off_fenders", "under_keel"})
"""Causes that go before all at alarm, but for a line that has parted."""
ORDER: Final[tuple[frozenset[Cause], ...]] = (
    frozenset({"calculation"}),
    frozenset({"brake"}),
    frozenset({"stretch", "load", "bollard"}),
    FIRST_AT_ALARM,
    frozenset({"drift"}),
    frozenset({"gangway"}),
)
"""Causes that go before others of their stage, in this order; of those together the nearest to its limit."""
LAST: Final[tuple[Cause, ...]] = ("slack", "steep", "feed", "record", "clock", "caller", "ahead")
"""A steep lead that is only watched stands behind a slack line, which asks for a deed."""
OF_LINES: Final[frozenset[Cause]] = frozenset({"steep", "stretch", "load", "slack", "brake"})
"""Causes that a line's own stage includes: where it is within all limits, an alert is only running out."""
TIGHT: Final[frozenset[Cause]] = frozenset({"stretch", "load", "brake"})
"""Causes whose value rises with a line's stretch."""
MOST_NAMES: Final = 3
NOT_TRIED: Final = "not opened yet"
"""Note of a port in the first moment."""


def advise(scene: Scene) -> Advice:
    """Return the sentence for one instant.

    Alerts that are suspended or rectified need no deed; the worst of the others by stage, then by kind, then
    by how near it is to its limit, is said, and how many more there are. The next tending round is said
    instead where it is due and nothing worse than a caution stands (it is a caution itself then), and where
    nothing but the caution that a limit comes stands.
    """
    active = _active(scene)
    lost = [row for row in scene.channels if _is_lost(row) and _lines_rest_on(scene, row)]
    if lost:
        silent = {row.feed for row in lost}
        active = [alert for alert in active if alert.cause != "feed" or alert.subject not in silent]
    active.sort(key=lambda alert: _urgency(alert, scene))
    owed = any(alert.standing is Standing.RECTIFIED for alert in scene.alerts)
    if not lost and not owed and not scene.unproved and not doubtful_rows(scene.channels):
        following = _round(scene, active)
        if following is not None:
            return following.advice()
    if active and (not lost or active[0].stage is Stage.ALARM):
        return _worst(active, scene, others=len(rows_of(active)) - 1 + bool(lost)).advice()
    if lost:
        return _no_signal(lost, scene, others=len(rows_of(active))).advice()
    return _quiet(scene).advice()


def _active(scene: Scene) -> list[Alert]:
    """Alerts that ask for a deed."""
    active = [
        alert for alert in scene.alerts if alert.active_stage and not (alert.suspended or alert.is_accepted)
    ]
    active = [alert for alert in active if alert.cause != "feed" or _is_bad(alert, scene)]
    slack = {alert.line for alert in active if alert.cause == "slack"}
    active = [alert for alert in active if alert.cause != "steep" or alert.line not in slack]
    within = {row.id for row in scene.lines if isfinite(row.tension_kn) and row.stage is Stage.NORMAL}
    return [
        alert
        for alert in active
        if alert.line not in within or alert.cause not in OF_LINES or not _eases(alert)
    ]


def _round(scene: Scene, active: Sequence[Alert]) -> Sentence | None:
    """The next round, where it is what to do first."""
    each, forecast = scene.round, scene.forecast
    words = None if forecast is None else next_round(forecast, scene.now, scene.stay.display)
    others = sum(row[0].cause != "ahead" for row in rows_of(active))
    if each is None or words is None or any(alert.stage > Stage.CAUTION for alert in active):
        return None
    if all(move.pay_out_m < 0.0 and move.line in scene.slack_accepted for move in each.moves):
        return None  # the watch has a reason to leave these lines slack
    if _unheard(scene):
        return None  # metres for the deck rest on a gauge that was heard
    due = is_due(each, scene.now)
    if due:
        return replace(words, stage=Stage.CAUTION, more=_more(others))
    if others:
        return None
    if active:
        large = sentence_of(active[0], scene).large
        return replace(words, stage=Stage.CAUTION, large=large, by="")
    return replace(words, large=_quiet(scene).large, by="")


def _worst(active: Sequence[Alert], scene: Scene, others: int) -> Sentence:
    worst = active[0]
    asks = worst.cause == "brake" and worst.subject in scene.asked
    look, row = None, scene.line(worst.line or "")
    if not asks:
        look = look_first(worst, scene.channels, row) or (look_before(worst) if scene.unproved else None)
    if look is not None:
        sentence = look
    elif worst.cause == "feed":
        sentence = _check_feed(worst, scene)
    elif not _is_taken_back(worst, scene):
        sentence = sentence_of(worst, _believed_scene(worst, scene))
    elif stage := _stage_still_due(worst, scene):
        # Better than the stage that stands, not well yet: the deed of the stage that it has by now.
        eased = replace(worst, stage=stage, limit=nan, escalated=False)
        sentence = replace(sentence_of(eased, _believed_scene(worst, scene)), stage=worst.stage)
    else:
        sentence = Sentence(worst.stage, worst.text, large=_easing(worst))
    stands = max(alert.stage for alert in active)
    more = f"{_neighbours(worst, active)}{_more(others)}"
    return replace(sentence, stage=max(sentence.stage, stands), more=more)


def _neighbours(worst: Alert, active: Sequence[Alert]) -> str:
    """Return the lines that stand in one row with the worst: `; lines 4 and 5 too`; "" for none."""
    lines = [safe(line) for line in lines_of(row_of(worst, active)) if line != worst.line]
    return f"; {'line' if len(lines) == 1 else 'lines'} {listed(lines)} too" if lines else ""


def _believed_scene(worst: Alert, scene: Scene) -> Scene:
    """The scene without its lines where loads rest on a doubtful gauge: which to heave against the wind is
    not known then."""
    doubtful = worst.cause == "holding" and doubtful_rows(scene.channels)
    return replace(scene, lines=()) if doubtful else scene


def _easing(alert: Alert) -> str:
    """Return the headline of what gets better by itself: the ship's lines are looked at after it."""
    return "CHECK LINES" if alert.line is None else of_lines("EASING {}", [alert.line])


def _owing(alerts: Sequence[Alert]) -> str:
    """Return the headline where alerts only wait to be acknowledged."""
    lines = list(dict.fromkeys(alert.line for alert in alerts if alert.line is not None))
    if lines:
        return of_lines("WATCH LINE {}", lines)
    return "CHECK GAUGES" if all(alert.cause in ("feed", "heading") for alert in alerts) else "CHECK LINES"


def _shut(scene: Scene) -> dict[str, str]:
    """Why a port could not be opened, by feed; when it is tried again is for the page of the feeds."""
    why = {feed.name: feed.note.partition(", tried again")[0] for feed in scene.feeds if not feed.open}
    return {name: safe(note) for name, note in why.items() if note not in ("", NOT_TRIED)}


def _is_bad(alert: Alert, scene: Scene) -> bool:
    """Whether anything is the matter with a feed still; its alert stands for a while after."""
    bad = any(row.feed == alert.subject and row.quality is not Quality.GOOD for row in scene.channels)
    return bad or scene.stages.get(alert.key, Stage.NORMAL) > Stage.NORMAL


def _check_feed(alert: Alert, scene: Scene) -> Sentence:
    """A feed that is doubtful or lost, but without which the lines are still known."""
    bad = [row for row in scene.channels if row.feed == alert.subject and row.quality is not Quality.GOOD]
    doubted = [row for row in bad if row.why]
    if doubted:
        return look_at(doubted[0], alert.stage)
    unwatched = unwatched_without(scene.stay, [row.channel for row in bad if _is_lost(row)])
    then = f"; not watched: {', '.join(unwatched)}" if unwatched else ""
    name, why = safe(alert.subject), _shut(scene).get(alert.subject) or _trouble(bad, scene)
    if not bad and not why:
        why = alert.text.removeprefix(f"Feed {name}: ")
    if any(row.channel == "tide" for row in bad):
        return Sentence(
            alert.stage, f"Read the tide board, check {name}: {why}", "", then, large="READ TIDE BOARD"
        )
    if any(row.channel.startswith("draught_") for row in bad):
        return Sentence(alert.stage, f"Read draughts, check {name}: {why}", "", then, large="READ DRAUGHTS")
    return Sentence(alert.stage, f"Check {name}: {why}", "", then, large="CHECK GAUGES")


def _no_signal(lost: Sequence[ChannelRow], scene: Scene, others: int) -> Sentence:
    """Nothing is known of the lines."""
    stood = [
        alert for alert in scene.alerts if alert.suspended and alert.stage > Stage.CAUTION and alert.line
    ]
    was = f"; line {safe(stood[0].line or '')} was in {stood[0].stage.word}" if stood else ""
    shut = _shut(scene)
    closed = [feed for feed in dict.fromkeys(row.feed for row in lost) if feed in shut]
    why = "".join(f"; {safe(feed)}: {shut[feed]}" for feed in closed)
    do = f"Check lines by eye: {_trouble(lost, scene)}"
    return Sentence(Stage.WARNING, do, why + was, "", _more(others), large="CHECK LINES")


def _unheard(scene: Scene) -> list[ChannelRow]:
    """Inputs of the lines that have not been heard since the start."""
    return [row for row in scene.channels if row.reason is Reason.WAITING and _lines_rest_on(scene, row)]


def _waiting(scene: Scene) -> Sentence | None:
    """Inputs of the lines that have not been heard since the start; a port that does not open is what to
    see to."""
    rows = _unheard(scene)
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


def _quiet(scene: Scene) -> Sentence:
    """No alert asks for a deed: say that, and how far it is to the next."""
    waiting = _waiting(scene)
    if waiting is not None:
        return waiting
    known = [row for row in scene.lines if isfinite(row.tension_kn)]
    if all(row.no_length for row in scene.lines):
        return Sentence(Stage.CAUTION, _nothing_fast(scene), large="CHECKING")
    if not known:
        return Sentence(Stage.CAUTION, "No load is known: no tide or no draughts", large="CHECK GAUGES")
    within = _within(scene.lines, known)
    owed = [alert for alert in scene.alerts if alert.standing is Standing.RECTIFIED]
    if owed:
        do = f"Acknowledge {counted(len(owed), 'alert')}: nothing else to do"
        return Sentence(Stage.CAUTION, do, f"; {within}", large=_owing(owed))
    worst = max(known, key=lambda row: _stage_of(row, scene))
    stage = _stage_of(worst, scene)
    if stage > Stage.CAUTION:
        do = f"Watch line {safe(worst.id)}: {stage.word} reached, alert follows if it lasts"
        return Sentence(Stage.CAUTION, do, large=of_lines("WATCH LINE {}", [worst.id]))
    unknown = [row for row in scene.lines if not isfinite(row.tension_kn)]
    if unknown:
        do = f"Watch {without([(row.id, row.why) for row in unknown])} by eye"
        large = of_lines("WATCH LINE {}", [row.id for row in unknown])
        return Sentence(Stage.CAUTION, do, f"; {within}", large=large)
    yet = " yet" if stage else ""
    accepted = sum(alert.is_accepted for alert in scene.alerts)
    then = f"; {counted(accepted, 'alert')} accepted" if accepted else ""
    large = _headline(scene, worst)
    if accepted and not large:
        return Sentence(Stage.NORMAL, _accepted(scene), "; nothing else to do", f": {within}")
    return Sentence(Stage.NORMAL, f"Nothing to do{yet}", f": {within}", then, large=large)


def _accepted(scene: Scene) -> str:
    """Return what is accepted, first the next to end: `Accepted: line 4 steep until 14:00 and 1 more`."""
    when = DayClock(scene.stay.display, scene.now)
    accepted = [(alert.acceptance.until, alert) for alert in scene.alerts if alert.acceptance is not None]
    until, first = min(accepted, key=lambda each: (each[0], each[1].key))
    more = f" and {len(accepted) - 1} more" if len(accepted) > 1 else ""
    return f"Accepted: {condition(*first.key, first.line)} until {when(until)}{more}"


def _stage_of(row: LineRow, scene: Scene) -> Stage:
    """The worst stage of a line by the limits now, without the causes that the watch has accepted."""
    accepted = {alert.cause for alert in scene.alerts if alert.is_accepted and alert.line == row.id}
    if not accepted:
        return row.stage or Stage.NORMAL
    return max((each for cause, each in row.stages.items() if cause not in accepted), default=Stage.NORMAL)


def _headline(scene: Scene, worst: LineRow) -> str:
    """`ALL NORMAL` only while no alert stands, and every channel is good and was heard for some minutes."""
    bad = any(
        row.quality is not Quality.GOOD and row.reason is not Reason.NOT_FITTED for row in scene.channels
    )
    normal: Headline = "CHECKING" if scene.unproved else "ALL NORMAL"
    if _stage_of(worst, scene):
        return of_lines("WATCH LINE {}", [worst.id])
    alerts = [alert for alert in scene.alerts if not alert.is_accepted]
    eases = next((alert for alert in alerts if alert.active_stage and not alert.suspended), None)
    if eases is not None:
        return _easing(eases)
    if not (bad or alerts) and scene.alerts:
        return ""  # what is accepted has no headline, and not all is normal
    return "CHECK GAUGES" if bad or scene.alerts else normal


def _nothing_fast(scene: Scene) -> str:
    """Return that no line is made fast; what is known of them where that is not so plain."""
    if all(row.no_length is NoLength.NOT_FAST for row in scene.lines):
        return "No line is made fast yet"
    return f"Watch all lines by eye: {without([(row.id, row.why) for row in scene.lines])}"


def _within(lines: Sequence[LineRow], known: Sequence[LineRow]) -> str:
    """`16 lines within limits, highest stretch 54 % (line 3)`; lines that nothing is known of are in the
    count of all."""
    fine = sum(not row.stage for row in known)
    of = f"{fine} of {counted(len(lines), 'line')}" if fine != len(lines) else counted(fine, "line")
    worst = max(known, key=lambda row: row.stretch_share if isfinite(row.stretch_share) else -inf)
    return f"{of} within limits, highest stretch {percent(worst.stretch_share)} (line {safe(worst.id)})"


def _urgency(alert: Alert, scene: Scene) -> tuple[int, int, float]:
    """What is worst goes first; what gets better by itself goes by the stage that it has by now."""
    stage = alert.stage
    if _is_taken_back(alert, scene) and _stage_still_due(alert, scene) < Stage.WARNING:
        stage = min(stage, scene.stages.get(alert.key, Stage.NORMAL))
    if alert.cause == "parted":
        kind = -2
    elif stage is Stage.ALARM and alert.cause in FIRST_AT_ALARM:
        kind = -1
    elif alert.cause in LAST and (alert.cause != "steep" or is_only_watched(alert, scene)):
        kind = len(ORDER) + 1 + LAST.index(alert.cause)
    else:
        kind = next((at for at, causes in enumerate(ORDER) if alert.cause in causes), len(ORDER))
    return -stage, kind, -nearness(alert)


def _eases(alert: Alert) -> bool:
    """Whether an alert stands only for the delay with which it eases: better than its limit and deadband."""
    return alert.cause not in ("ahead", "feed") and 0.0 < nearness(alert) < 1.0 - DEADBAND


def _is_taken_back(alert: Alert, scene: Scene) -> bool:
    """Whether the deed of an alert is taken back: its value is better than the limit of its stage, and does
    not rise towards it again; of the ship, which lulls let down a little, by the deadband."""
    if _eases(alert):
        return True
    row = None if alert.line is None else scene.line(alert.line)
    if row is None or alert.cause not in TIGHT or not 0.0 < nearness(alert) < 1.0:
        return False
    return not row.trend_per_h >= STEADY_SHARE_PER_H


def _stage_still_due(alert: Alert, scene: Scene) -> Stage:
    """Return the stage that an alert whose own deed is taken back has by now, where that asks for a deed
    still; normal where it only eases."""
    stage, row = scene.stages.get(alert.key, Stage.NORMAL), scene.line(alert.line or "")
    if alert.line is None:
        return stage if stage > Stage.CAUTION else Stage.NORMAL
    if row is None or alert.cause not in TIGHT:
        return stage
    if stage is Stage.CAUTION:
        return stage if row.trend_per_h >= STEADY_SHARE_PER_H else Stage.NORMAL
    return Stage.NORMAL if row.trend_per_h <= -STEADY_SHARE_PER_H else stage


def _is_lost(row: ChannelRow) -> bool:
    return row.quality is Quality.LOST and row.reason not in (Reason.WAITING, Reason.NOT_FITTED)


def _lines_rest_on(scene: Scene, row: ChannelRow) -> bool:
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


def _more(others: int) -> str:
    return f"; {others} more" if others > 0 else ""
