"""Which alert goes first, and which asks for nothing any more since it gets better by itself."""

from math import inf, isinf, isnan
from typing import Final

from alongside.alerts.assess import DEADBAND
from alongside.alerts.joined import nearness
from alongside.alerts.model import Alert
from alongside.cycle.advice.by_cause import is_only_watched
from alongside.cycle.advice.headlines import of_lines
from alongside.cycle.advice.motion import STEADY_SHARE_PER_H
from alongside.cycle.advice.scene import Scene
from alongside.stay.causes import EXPECTED, Cause
from alongside.stay.stage import Stage

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
LAST: Final[tuple[Cause, ...]] = ("slack", "steep", "feed", "record", "clock", "caller", "bridge", "ahead")
"""A steep lead that is only watched stands behind a slack line, which asks for a deed."""
TIGHT: Final[frozenset[Cause]] = frozenset({"stretch", "load", "brake"})
"""Causes whose value rises with a line's stretch."""


def easing_headline(alert: Alert) -> str:
    """Return the headline of what gets better by itself: the ship's lines are looked at after it."""
    return "CHECK LINES" if alert.line is None else of_lines("EASING {}", [alert.line])


def urgency(alert: Alert, scene: Scene) -> tuple[int, int, float, float]:
    """What is worst goes first; what gets better by itself goes by the stage that it has by now. Of what is
    to be ordered and late all the same, what is due first: cargo stands still before she is disconnected."""
    stage = alert.stage
    if is_taken_back(alert, scene) and stage_still_due(alert, scene) < Stage.WARNING:
        stage = min(stage, scene.stages.get(alert.key, Stage.NORMAL))
    if alert.cause == "parted":
        kind = -2
    elif stage is Stage.ALARM and alert.cause in FIRST_AT_ALARM:
        kind = -1
    elif alert.cause in LAST and (alert.cause != "steep" or is_only_watched(alert, scene)):
        kind = len(ORDER) + 1 + LAST.index(alert.cause)
    else:
        kind = next((at for at, causes in enumerate(ORDER) if alert.cause in causes), len(ORDER))
    near = nearness(alert)
    return -stage, kind, 0.0 if isnan(near) else -near, _due(alert, scene)


def _due(alert: Alert, scene: Scene) -> float:
    """Return when what is to be ordered is due, UNIX s; infinite for what is not, and for other causes."""
    due = (each.by for each in scene.due if ("decide", each.do) == alert.key and each.is_open)
    return next(due, inf)


def eases(alert: Alert) -> bool:
    """Whether an alert stands only for the delay with which it eases: better than its limit and deadband."""
    if alert.cause == "decide":
        return isinf(alert.value)  # all is ordered, or nothing calls for it any more
    return alert.cause not in EXPECTED | {"feed"} and nearness(alert) < 1.0 - DEADBAND


def is_taken_back(alert: Alert, scene: Scene) -> bool:
    """Whether the deed of an alert is taken back: its value is better than the limit of its stage, and does
    not rise towards it again; of the ship, which lulls let down a little, by the deadband."""
    if eases(alert):
        return True
    row = None if alert.line is None else scene.line(alert.line)
    if row is None or alert.cause not in TIGHT or not nearness(alert) < 1.0:
        return False
    return not row.trend_per_h >= STEADY_SHARE_PER_H


def stage_still_due(alert: Alert, scene: Scene) -> Stage:
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
