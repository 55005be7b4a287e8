"""A frozen clock, a table of levels and a watchkeeper: alert rules read like a log.

    bridge = Bridge("stretch")
    bridge.at(0, "warning").at(15).raised("warning")

Times are seconds from an arbitrary start. Between two times nothing but the clock moves: the bridge steps
every second.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field

import numpy as np

from alongside.actions import Acknowledge, Action, Silence
from alongside.alerts.event_text import worded
from alongside.alerts.model import Alert, Event, Standing, Watchlist
from alongside.alerts.rule_model import AssessedInstant, Rule
from alongside.alerts.step import sounding, step
from alongside.stay.stage import Stage

START = 1_772_424_000.0
STAGE = {stage.word: stage for stage in Stage}
SAMPLE = {"unknown": float("nan"), "normal": 0.5, "caution": 0.75, "warning": 0.9, "alarm": 1.1}
LIMITS = (0.70, 0.85, 1.00)


def rule(cause: str, subject: str = "3", slow: bool = True) -> Rule:
    return Rule(cause, subject, LIMITS, line=subject, slow=slow)


@dataclass
class Bridge:
    """One or more rules under watch. `say(...)` changes what a rule says; `at(...)` lets time pass."""

    causes: tuple[str, ...] = ("stretch",)
    subjects: tuple[str, ...] = ("3",)
    slow: bool = True
    watch: Watchlist = field(default_factory=Watchlist)
    events: list[Event] = field(default_factory=list)
    sounds: dict[int, Stage] = field(default_factory=dict)
    clock: int = -1

    def __post_init__(self) -> None:
        self.rules = tuple(rule(c, s, self.slow) for c in self.causes for s in self.subjects)
        self.said = ["normal"] * len(self.rules)
        self.kept = ["normal"] * len(self.rules)
        self.parts = dict.fromkeys(range(len(self.rules)), 0)

    def say(self, word: str, *which: int, keep: str | None = None) -> "Bridge":
        """From the next second on rules (all where none is named) are at this stage; `keep` where the
        deadband still holds more."""
        for k in which or range(len(self.rules)):
            self.said[k], self.kept[k] = word, keep or word
        return self

    def call(self, parts: int, k: int = 0) -> "Bridge":
        """From the next second on these parts of a rule call for a warning, a bit each; 0: it is normal."""
        self.parts[k] = parts
        return self.say("warning" if parts else "normal", k)

    def until(self, second: int, *actions: Action) -> "Bridge":
        """Step every second up to and including this one; actions are done at the last."""
        while self.clock < second:
            self.clock += 1
            self._step(actions if self.clock == second else ())
        return self

    def acknowledge(self, second: int, k: int = 0, by: str = "") -> "Bridge":
        return self.until(second, Acknowledge(*self.rules[k].key, by=by))

    def silence(self, second: int) -> "Bridge":
        return self.until(second, Silence())

    def _step(self, actions: Iterable[Action]) -> None:
        value = np.array([SAMPLE[word] for word in self.said])
        level = np.array([STAGE.get(word, Stage.NORMAL) for word in self.said], dtype=np.int8)
        keep = np.array([STAGE.get(word, Stage.NORMAL) for word in self.kept], dtype=np.int8)
        now = START + self.clock
        seen = AssessedInstant(now, self.rules, value, level, keep, self.parts)
        watch, changes = step(self.watch, seen, tuple(actions))
        self.watch, new = worded(watch, changes, lambda k, stage, _onset: f"{k} {stage.word}")
        self.events.extend(new)
        sound = sounding(self.watch, now)
        if sound:
            self.sounds[self.clock] = sound

    @property
    def alert(self) -> Alert:
        return next(iter(self.watch.alerts.values()))

    @property
    def standing(self) -> Standing | None:
        return self.alert.standing if self.watch.alerts else None

    def log(self) -> list[tuple[int, str, str]]:
        """(second, event, stage) of all that happened so far."""
        return [
            (int(e.time - START), e.event, e.stage.word if e.stage is not None else "") for e in self.events
        ]
