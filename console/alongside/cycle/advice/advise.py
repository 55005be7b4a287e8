"""Which of all that stands is worth the one sentence."""

from collections.abc import Sequence
from dataclasses import replace
from math import isfinite, nan
from typing import Final

from alongside.alerts.joined import lines_of, row_of, rows_of
from alongside.alerts.model import Alert, Standing
from alongside.cycle.advice.by_cause import sentence_of
from alongside.cycle.advice.doubtful import doubtful_rows, look_before, look_first
from alongside.cycle.advice.gauge_deeds import (
    check_feed,
    is_bad_feed,
    is_lost,
    lines_rest_on,
    no_signal,
    unheard,
)
from alongside.cycle.advice.quiet import quiet
from alongside.cycle.advice.readings_due import ReadingDue, due_sentence, read_first, reading_due
from alongside.cycle.advice.rounds import is_due, next_round
from alongside.cycle.advice.scene import Scene
from alongside.cycle.advice.sentence import Sentence, more_text
from alongside.cycle.advice.urgency import eases, easing_headline, is_taken_back, stage_still_due, urgency
from alongside.cycle.picture import Advice
from alongside.stay.causes import Cause
from alongside.stay.stage import Stage
from alongside.wording.figures import listed
from alongside.wording.safe import safe

OF_LINES: Final[frozenset[Cause]] = frozenset({"steep", "stretch", "load", "slack", "brake"})
"""Causes that a line's own stage includes: where it is within all limits, an alert is only running out."""


def advise(scene: Scene) -> Advice:
    """Return the sentence for one instant.

    Alerts that are suspended or rectified need no deed; the worst of the others by stage, then by kind, then
    by how near it is to its limit, is said, and how many more there are. The next tending round is said
    instead where it is due and nothing worse than a caution stands (it is a caution itself then), and where
    nothing but the caution that a limit comes stands. A reading by hand that is due is said before cautions
    and before a round of later.
    """
    active = _active(scene)
    lost = [row for row in scene.channels if is_lost(row) and lines_rest_on(scene, row)]
    if lost:
        silent = {row.feed for row in lost}
        active = [alert for alert in active if alert.cause != "feed" or alert.subject not in silent]
    active.sort(key=lambda alert: urgency(alert, scene))
    owed = any(alert.standing is Standing.RECTIFIED for alert in scene.alerts)
    reading = reading_due(scene)
    to_read = reading if reading is not None and reading.is_due(scene.now) else None
    if not lost and not owed and not scene.unproved and not doubtful_rows(scene.channels):
        following = None if reading is not None and reading.never_read else _round(scene, active)
        if following is not None and (to_read is None or (scene.round and is_due(scene.round, scene.now))):
            then = f"{following.then}; read {to_read.words}" if to_read else following.then
            return replace(following, then=then).advice()
    if to_read is not None and not lost and all(alert.stage <= Stage.CAUTION for alert in active):
        return due_sentence(to_read, scene, more_text(len(rows_of(active)))).advice()
    if active and (not lost or active[0].stage is Stage.ALARM):
        return _worst(active, scene, len(rows_of(active)) - 1 + bool(lost), to_read).advice()
    if lost:
        return no_signal(lost, scene, others=len(rows_of(active))).advice()
    return quiet(scene).advice()


def _active(scene: Scene) -> list[Alert]:
    """Alerts that ask for a deed."""
    active = [
        alert for alert in scene.alerts if alert.active_stage and not (alert.suspended or alert.is_accepted)
    ]
    active = [alert for alert in active if alert.cause != "feed" or is_bad_feed(alert, scene)]
    slack = {alert.line for alert in active if alert.cause == "slack"}
    active = [alert for alert in active if alert.cause != "steep" or alert.line not in slack]
    within = {row.id for row in scene.lines if isfinite(row.tension_kn) and row.stage is Stage.NORMAL}
    return [
        alert
        for alert in active
        if alert.line not in within or alert.cause not in OF_LINES or not eases(alert)
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
    if unheard(scene):
        return None  # metres for the deck rest on a gauge that was heard
    due = is_due(each, scene.now)
    if due:
        return replace(words, stage=Stage.CAUTION, more=more_text(others))
    if others:
        return None
    if active:
        large = sentence_of(active[0], scene).large
        return replace(words, stage=Stage.CAUTION, large=large, by="")
    return replace(words, large=quiet(scene).large, by="")


def _worst(active: Sequence[Alert], scene: Scene, others: int, to_read: ReadingDue | None) -> Sentence:
    worst = active[0]
    asks = worst.cause == "brake" and worst.subject in scene.asked
    look, row = None, scene.line(worst.line or "")
    if not asks:
        look = look_first(worst, scene.channels, row) or (look_before(worst) if scene.unproved else None)
    reading = None if to_read is None or look is not None else read_first(to_read, worst, scene)
    look = look or reading
    if look is not None:
        sentence = look
    elif worst.cause == "feed":
        sentence = check_feed(worst, scene)
    elif not is_taken_back(worst, scene):
        sentence = sentence_of(worst, _believed_scene(worst, scene))
    elif stage := stage_still_due(worst, scene):
        # Better than the stage that stands, not well yet: the deed of the stage that it has by now.
        eased = replace(worst, stage=stage, limit=nan, escalated=False)
        sentence = replace(sentence_of(eased, _believed_scene(worst, scene)), stage=worst.stage)
    else:
        sentence = Sentence(worst.stage, worst.text, large=easing_headline(worst))
    stands = max(alert.stage for alert in active)
    more = f"{_neighbours(worst, active)}{more_text(others)}"
    then = f"{sentence.then}; read {to_read.words}" if to_read and reading is None else sentence.then
    return replace(sentence, stage=max(sentence.stage, stands), then=then, more=more)


def _neighbours(worst: Alert, active: Sequence[Alert]) -> str:
    """Return the lines that stand in one row with the worst: `; lines 4 and 5 too`; "" for none."""
    lines = [safe(line) for line in lines_of(row_of(worst, active)) if line != worst.line]
    return f"; {'line' if len(lines) == 1 else 'lines'} {listed(lines)} too" if lines else ""


def _believed_scene(worst: Alert, scene: Scene) -> Scene:
    """The scene without its lines where loads rest on a doubtful gauge: which to heave against the wind is
    not known then."""
    doubtful = worst.cause == "holding" and doubtful_rows(scene.channels)
    return replace(scene, lines=()) if doubtful else scene
