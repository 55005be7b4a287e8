"""Stages, rules and what an assessment holds."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import isnan, nan

import numpy as np
from numpy.typing import NDArray

from alongside.readings import Codes, Floats
from alongside.stay.causes import Cause
from alongside.stay.model import Deed, Order
from alongside.stay.stage import Stage


@dataclass(frozen=True, slots=True)
class Rule:
    """One cause on one subject. `subject` is a line id, bollard id, feed name or "" for the ship.

    `limits` are (caution, warning, alarm) in `unit`, NaN where a stage is not used; `sense` +1 when more is
    worse, -1 when less is. Values that are `slow` (what follows from three-minute means) wait longer before
    they raise a caution than others; a warning and an alarm wait the same for all.
    """

    cause: Cause
    subject: str
    limits: tuple[float, float, float]
    sense: int = 1
    unit: str = ""
    line: str | None = None
    slow: bool = True

    @property
    def key(self) -> tuple[Cause, str]:
        return self.cause, self.subject


@dataclass(frozen=True, slots=True)
class NextLimit:
    """What the forecast says: `stage` of `cause` (on `of`: a line, a bollard, a way to drift, or "") is
    expected on `subject`, a line or "" for the ship, at `time`, UNIX seconds."""

    subject: str
    cause: Cause
    of: str
    stage: Stage
    time: float


NextLimits = tuple[NextLimit, ...] | None
"""The next limit of each subject that has one to come; None where nothing is known of the hours ahead."""


@dataclass(frozen=True, slots=True)
class DueBy:
    """What is to be ordered next for a limit that calls for `do`, UNIX s: due `by`, so that it is done,
    `lead_s` later (NaN: not given), when a limit of wind may be reached `first`; `chance` share of the
    cases that reach it. `peak`: m/s, deg true, UNIX s of the wind expected; `limit_ms` what was `agreed`,
    or what the lines hold and what of them `gives`. `was` before it moved, NaN where it did not, and
    why."""

    do: Deed
    calls_for: Deed
    """What the limit itself calls for: cargo stands still to disconnect."""
    order: Order
    by: float
    lead_s: float
    first: float
    chance: float
    peak: tuple[float, float, float]
    limit_ms: float
    gust: bool = False
    agreed: bool = True
    gives: str = ""
    was: float = nan
    why: str = ""
    then: tuple[tuple[Order, float], ...] = ()
    """What is to be ordered after it for the same limit, and by when."""
    answered: float = nan
    """When it was ordered, where all is that this limit calls for, minus infinity for tugs that are there;
    NaN where it is not."""
    comes: float = nan
    """When all that the limit calls for is done, if what is not ordered yet is ordered now; NaN: after
    `lead_s`."""
    high: tuple[float, float] = (nan, nan)
    """The wind of the high case, and the limit in it, m/s."""
    newest: float = nan
    """When it is due by the newest calculation, where `by` has passed unanswered; else the same."""
    early: bool = False
    """Whether it was due before the watch knew of the wind."""

    @property
    def is_open(self) -> bool:
        """Return whether it is still to be ordered."""
        return isnan(self.answered)


DueBys = tuple[DueBy, ...] | None
"""What is due, and what is ordered already; None where nothing is known of the hours ahead."""


Parts = NDArray[np.int64]
"""Which parts of what a rule watches call for a warning or an alarm, a bit each: channels of a feed, the next
order, why a calculation has no answer. One more of them is news, though the stage stays the same."""


@dataclass(frozen=True, slots=True)
class Assessment:
    """n instants of k rules. Where the value is NaN and the level normal, the rule's input is not known."""

    time: Floats
    """(n,)"""
    rules: tuple[Rule, ...]
    value: Floats
    """(n, k) in the rule's unit; NaN where not known."""
    level: Codes
    """(n, k) Stage by the limits as they stand."""
    keep: Codes
    """(n, k) Stage that may still be held: by limits eased by the deadband. `level <= keep`."""
    parts: Mapping[int, Parts] = field(default_factory=dict)
    """(n,) of each rule that has several, by its place."""

    @property
    def known(self) -> NDArray[np.bool_]:
        """(n, k) bool: what can be said of the rule at all. A level may be stated without a value (a feed
        never heard has no age); a value not known with a normal level says nothing."""
        known: NDArray[np.bool_] = ~np.isnan(self.value) | (self.level > 0)
        return known

    def at(self, row: int) -> "AssessedInstant":
        """Return one of the instants."""
        parts = {k: int(each[row]) for k, each in self.parts.items()}
        return AssessedInstant(
            float(self.time[row]), self.rules, self.value[row], self.level[row], self.keep[row], parts
        )


@dataclass(frozen=True, slots=True)
class AssessedInstant:
    """k rules at one instant: (k,) value, level and keep, as in an `Assessment`."""

    time: float
    rules: tuple[Rule, ...]
    value: Floats
    level: Codes
    keep: Codes
    parts: Mapping[int, int] = field(default_factory=dict)

    @property
    def known(self) -> NDArray[np.bool_]:
        """(k,) bool, as of an `Assessment`."""
        known: NDArray[np.bool_] = ~np.isnan(self.value) | (self.level > 0)
        return known
