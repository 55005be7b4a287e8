"""When the screen goes home by itself: after three minutes without a key, and on a new alarm while nobody is
there."""

from math import isnan
from typing import Final

from alongside.alerts.model import Key
from alongside.screens.parts import HOME
from alongside.screens.view import View
from alongside.stay.stage import Stage

HOME_AFTER_S: Final = 180.0
"""Without key or mouse for so long the screen goes home; common practice, no source."""
AT_IT_S: Final = 15.0
"""After a key somebody is at the screen for so long: a new alarm leaves the page then."""
PAUSED_FOR_S: Final = 120.0
"""A frozen view ends by itself after so long."""


class Idle:
    """By the screen's clock in seconds. A form that is open, a replay that stands still and an exercise keep
    the part that is in sight."""

    def __init__(self, now: float) -> None:
        self._used_at = now
        self._alarms: frozenset[Key] = frozenset()

    def used(self, now: float) -> None:
        """Take a key or the mouse."""
        self._used_at = now

    def goes_home(self, view: View, form: str, now: float) -> bool:
        """Return whether the screen is to go home now; alarms seen by then are no longer new."""
        alarms = frozenset(alert.key for alert in view.watch.alerts if _rings(alert.stage) and alert.flashes)
        is_new = bool(alarms - self._alarms)
        self._alarms = alarms
        if form or view.part == HOME or _stays(view):
            return False
        idle_s = now - self._used_at
        return idle_s >= HOME_AFTER_S or (is_new and idle_s >= AT_IT_S)


def _rings(stage: Stage) -> bool:
    return stage == Stage.ALARM


def _stays(view: View) -> bool:
    watch = view.watch
    stands_still = watch.replay and watch.paused
    return stands_still or watch.exercise or isnan(watch.time)
