"""Which alerts are in sight and since when: only one that could be read is acknowledged."""

from collections.abc import Iterable
from math import inf
from typing import Final

from alongside.alerts.model import Alert, Key
from alongside.stay.stage import Stage

READ_S: Final = 1.0
"""An alert must have been in sight for so long. Common practice, no source."""
NOT_IN_SIGHT: Final = "Not in sight until now: look, then press a again"
CHANGED: Final = "List has changed: look, then press a again"

Shown = tuple[Key, Stage]
"""An alert at a stage: one that grew worse is another."""


class Sight:
    """What stood on the screen, by the screen's clock in seconds."""

    def __init__(self) -> None:
        self._since: dict[Shown, float] = {}
        self._chosen: Shown | None = None
        self._chosen_since = -inf

    def look(self, in_sight: Iterable[Alert], chosen: Alert | None, now: float) -> None:
        """Take what stands on the screen now."""
        self._since = {_shown(alert): self._since.get(_shown(alert), now) for alert in in_sight}
        self._choose(chosen, now)

    def covered(self, alerts: Iterable[Alert], chosen: Alert | None, now: float) -> None:
        """Take the alerts while a form covers them: those that were in sight before count as seen."""
        still = {_shown(alert) for alert in alerts}
        self._since = {each: since for each, since in self._since.items() if each in still}
        self._choose(chosen, now)

    def _choose(self, chosen: Alert | None, now: float) -> None:
        shown = None if chosen is None else _shown(chosen)
        if shown != self._chosen:
            self._chosen, self._chosen_since = shown, now

    def why_not(self, alert: Alert, pressed_at: float, by_hand: bool) -> str:
        """Return why a key pressed at a time does not mean this alert; "" where it does. `by_hand`: the watch
        chose it; else it must have had its place for as long as it takes to read it."""
        since = self._since.get(_shown(alert))
        if since is None:
            return NOT_IN_SIGHT
        chosen = self._chosen == _shown(alert)
        in_place = pressed_at - self._chosen_since >= (0.0 if by_hand else READ_S)
        return "" if chosen and in_place and pressed_at - since >= READ_S else CHANGED


def _shown(alert: Alert) -> Shown:
    return alert.key, alert.stage
