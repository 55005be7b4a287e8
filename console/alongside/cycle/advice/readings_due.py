"""When draughts and tide board are to be read next where no gauge gives them, and what is said of it."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf, isfinite
from typing import Final

from alongside.alerts.model import Alert
from alongside.cycle.advice.doubtful import TENDED_BY
from alongside.cycle.advice.headlines import Headline
from alongside.cycle.advice.scene import Scene
from alongside.cycle.advice.sentence import Sentence
from alongside.cycle.plausibility.by_hand import last_reading, serves_s
from alongside.readings import Reason
from alongside.stay.causes import Cause
from alongside.stay.stage import Stage
from alongside.wording.figures import listed
from alongside.wording.times import clock

SENSITIVE: Final[frozenset[Cause]] = frozenset({"steep", "stretch", "under_keel"})
"""Causes whose limits a reading in time may keep her from."""
SOONER: Final = 0.25
"""Of the interval, where an end of the spread of what is carried on reaches a limit of these; common
practice, no source."""
AT_ONCE_S: Final = 600.0
"""After so long already, where a warning or an alarm stands by such an end alone: what was read just now is
read no better."""
BEFORE_S: Final = 900.0
"""So long before a reading serves no more, another is due."""
TOGETHER_S: Final = 900.0
"""Readings that are due so soon after each other are read together."""


@dataclass(frozen=True, slots=True)
class ReadingDue:
    """The next reading: of which channels, from when on it is due and when they were read last, UNIX seconds,
    minus infinity for what was never read; `sooner` where their spread matters to a limit."""

    channels: tuple[str, ...]
    at: float
    read_at: float
    sooner: bool = False

    def is_due(self, now: float) -> bool:
        """Return whether it is the deed of now."""
        return self.at <= now

    @property
    def never_read(self) -> bool:
        """Return whether one of them was never read: no metres for the deck rest on such."""
        return self.read_at == -inf

    @property
    def large(self) -> Headline:
        return "READ TIDE BOARD" if self.channels == ("tide",) else "READ DRAUGHTS"

    @property
    def words(self) -> str:
        """Return `draughts and tide board`."""
        names = {"tide": "tide board", "heel": "heel"}
        return listed(list(dict.fromkeys(names.get(channel, "draughts") for channel in self.channels)))


def reading_due(scene: Scene) -> ReadingDue | None:
    """Return the next reading by hand; None where gauges give all that lines rest on, or nobody is to be
    reminded."""
    every = scene.stay.by_hand.every_min
    if every is None or not scene.unmeasured:
        return None
    read = {channel: _read_at(channel, scene) for channel in scene.unmeasured}
    sooner_s = _sooner_s(scene, every * 60.0)
    wide = _widest(scene) if sooner_s < every * 60.0 else ()
    due = {}
    for channel, at in read.items():
        serves = serves_s(channel, scene.stay.tide is not None) - BEFORE_S
        due[channel] = at + min(sooner_s if channel in wide else every * 60.0, serves)
    first = min(due.values())
    now = tuple(channel for channel, at in due.items() if at <= max(first + TOGETHER_S, scene.now))
    sooner = all(channel in wide and read[channel] + every * 60.0 > scene.now for channel in now)
    return ReadingDue(now, first, min(read[channel] for channel in now), sooner)


def due_sentence(each: ReadingDue, scene: Scene, more: str = "") -> Sentence:
    """Return that a reading is due, and why."""
    display = scene.stay.display
    if not any(isfinite(row.tension_kn) for row in scene.lines):
        do = f"Read {each.words}: no load is known before"
        return Sentence(Stage.WARNING, do, "", "; check lines by eye", more, each.large)
    if each.sooner:
        why = f"read {clock(each.read_at, display)}, the spread since then reaches a limit"
    elif isfinite(each.read_at):
        why = f"read {clock(each.read_at, display)}, due {clock(each.at, display)}"
    else:
        why = "not read yet"
    return Sentence(Stage.CAUTION, f"Read {each.words}: {why}", more=more, large=each.large)


def read_first(each: ReadingDue, alert: Alert, scene: Scene) -> Sentence | None:
    """Return that she is to be read before anything is done about an alert that only an end of the spread of
    what was read calls for, or about any line while something was never read; None else. For a ship off her
    fenders the master is called first."""
    if alert.cause == "off_fenders":
        return None
    if each.never_read and alert.cause in TENDED_BY:
        what = f"{alert.text[:1].lower()}{alert.text[1:]}"
        return Sentence(alert.stage, f"Read {each.words} first, not read yet: {what}", large=each.large)
    if alert.key not in scene.only_at_an_end:
        return None
    at_worst = f"{alert.text[:1].lower()}{alert.text[1:]} at worst"
    return Sentence(alert.stage, f"Read {each.words} first: {at_worst}", large=each.large)


def _read_at(channel: str, scene: Scene) -> float:
    """When a channel was read last, or when the stay file states its draught; minus infinity for never."""
    row = next((row for row in scene.channels if row.channel == channel), None)
    if row is not None and row.reason in (Reason.BY_HAND, Reason.EXPECTED) and isfinite(row.age):
        return scene.now - row.age
    last = last_reading(scene.by_hand, channel)
    return -inf if last is None else last.at


def _sooner_s(scene: Scene, every_s: float) -> float:
    """After how many seconds channels are read again whose spread matters."""
    by_end = [alert for alert in scene.alerts if alert.key in scene.only_at_an_end and not alert.is_accepted]
    if any(alert.active_stage > Stage.CAUTION for alert in by_end):
        return min(AT_ONCE_S, every_s)
    return every_s * (SOONER if any(cause in SENSITIVE for cause, _ in scene.only_at_an_end) else 1.0)


def _widest(scene: Scene) -> Sequence[str]:
    """The channels whose spread is what matters: the widest, and those half as wide or more."""
    spread = {
        row.channel: row.spread
        for row in scene.channels
        if row.channel in scene.unmeasured and isfinite(row.spread)
    }
    return [channel for channel, each in spread.items() if each >= 0.5 * max(spread.values())]
