"""What stands where no alert asks for a deed: how far it is to the next."""

from collections.abc import Sequence
from math import inf, isfinite
from typing import Final

from alongside.alerts.model import Alert, Standing
from alongside.cycle.advice.gauge_deeds import first_signals
from alongside.cycle.advice.headlines import Headline, of_lines
from alongside.cycle.advice.readings_due import reading_due
from alongside.cycle.advice.scene import Scene
from alongside.cycle.advice.sentence import Sentence
from alongside.cycle.advice.urgency import easing_headline
from alongside.cycle.gauge_words import faults
from alongside.cycle.line_row import LineRow
from alongside.cycle.picture import ChannelRow
from alongside.mechanics.reasons import NoLength
from alongside.readings import READ_BY_HAND, Quality, Reason
from alongside.stay.stage import Stage
from alongside.wording.figures import counted, percent
from alongside.wording.names import condition, without
from alongside.wording.safe import safe
from alongside.wording.times import DayClock, clock

BY_HAND: Final = "by hand"
"""In place of a headline: nothing is to be checked, but what goes by hand is never good. The next reading is
said there with its time."""
CHECK_LINES: Final[Headline] = "CHECK LINES"
CHECK_GAUGES: Final[Headline] = "CHECK GAUGES"
CHECKING: Final[Headline] = "CHECKING"


def _owing(alerts: Sequence[Alert]) -> str:
    """Return the headline where alerts only wait to be acknowledged."""
    lines = list(dict.fromkeys(alert.line for alert in alerts if alert.line is not None))
    if lines:
        return of_lines("WATCH LINE {}", lines)
    return CHECK_GAUGES if all(alert.cause in ("feed", "heading") for alert in alerts) else "CHECK LINES"


def quiet(scene: Scene) -> Sentence:
    """No alert asks for a deed: say that, and how far it is to the next."""
    awaited = first_signals(scene)
    if awaited is not None:
        return awaited
    known = [row for row in scene.lines if isfinite(row.tension_kn)]
    if all(row.no_length for row in scene.lines):
        return Sentence(Stage.CAUTION, _nothing_fast(scene), large=CHECKING)
    if not known:
        return Sentence(Stage.CAUTION, "No load is known: no tide or no draughts", large=CHECK_GAUGES)
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
    out = [row for row in scene.lines if row.no_length is not NoLength.LET_GO]
    unknown = [row for row in out if not isfinite(row.tension_kn)]
    if unknown:
        do = f"Watch {without([(row.id, row.why) for row in unknown])} by eye"
        large = of_lines("WATCH LINE {}", [row.id for row in unknown])
        return Sentence(Stage.CAUTION, do, f"; {within}", large=large)
    accepted = sum(alert.is_accepted for alert in scene.alerts)
    then = f"; {counted(accepted, 'alert')} accepted" if accepted else ""
    large, reading = _headline(scene, worst), reading_due(scene)
    wrong = faults(scene.channels, scene.feeds) if large == CHECK_GAUGES and not scene.alerts else []
    if wrong:
        return Sentence(Stage.CAUTION, f"Check gauges: {wrong[0]}", f"; {within}", large=large)
    yet = " yet" if stage or large == CHECKING else ""
    at = clock(reading.at, scene.stay.display) if reading is not None and isfinite(reading.at) else ""
    if reading is not None and at:
        then = f"{then}; read {reading.words} by {at}"
    if large == BY_HAND:
        large, at = (CHECK_LINES, "") if reading is None else (reading.large, at)
        return Sentence(Stage.NORMAL, f"Nothing to do{yet}", f": {within}", then, large=large, by=at)
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
        row.quality is not Quality.GOOD
        and row.reason not in (Reason.NOT_FITTED, Reason.BY_HAND)
        and not is_unfitted(row)
        for row in scene.channels
    )
    normal: Headline = CHECKING if scene.unproved else "ALL NORMAL"
    if _stage_of(worst, scene):
        return of_lines("WATCH LINE {}", [worst.id])
    alerts = [alert for alert in scene.alerts if not alert.is_accepted]
    eases = next((alert for alert in alerts if alert.active_stage and not alert.suspended), None)
    if eases is not None:
        return easing_headline(eases)
    if not (bad or alerts) and scene.alerts:
        return ""  # what is accepted has no headline, and not all is normal
    if scene.unmeasured and not bad and not scene.alerts and not scene.unproved:
        return BY_HAND
    return CHECK_GAUGES if bad or scene.alerts else normal


def is_unfitted(row: ChannelRow) -> bool:
    """Return whether a channel has no gauge, and goes by table, plan and readings by hand."""
    return not row.feed and row.channel in READ_BY_HAND


def _nothing_fast(scene: Scene) -> str:
    """Return that no line is made fast; what is known of them where that is not so plain."""
    if all(row.no_length is NoLength.NOT_FAST for row in scene.lines):
        return "No line is made fast yet"
    if all(row.no_length is NoLength.LET_GO for row in scene.lines):
        return "All lines are let go"
    return f"Watch all lines by eye: {without([(row.id, row.why) for row in scene.lines])}"


def _within(lines: Sequence[LineRow], known: Sequence[LineRow]) -> str:
    """`16 lines within limits, highest stretch 54 % (line 3)`; lines that nothing is known of are in the
    count of all."""
    fine = sum(not row.stage for row in known)
    of = f"{fine} of {counted(len(lines), 'line')}" if fine != len(lines) else counted(fine, "line")
    worst = max(known, key=lambda row: row.stretch_share if isfinite(row.stretch_share) else -inf)
    return f"{of} within limits, highest stretch {percent(worst.stretch_share)} (line {safe(worst.id)})"
