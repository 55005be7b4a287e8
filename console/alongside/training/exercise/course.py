"""How a stay went, minute by minute: how long lines and ship stood at each stage, and how near to limits."""

from collections.abc import Sequence
from copy import copy
from dataclasses import dataclass, field
from math import ceil
from typing import Final

import numpy as np
from numpy.typing import NDArray

from alongside.alerts.assess import NOT_BY_LIMITS, NOT_KNOWN
from alongside.alerts.bars import bars_of
from alongside.alerts.rule_model import Assessment, Rule
from alongside.readings import Codes, Floats
from alongside.stay.causes import Cause
from alongside.stay.stage import Stage

MINUTE_S: Final = 60.0
OF_THE_SHIP: Final[tuple[Cause, ...]] = (
    "bollard", "under_keel", "off_fenders", "holding", "drift", "gangway",
)  # fmt: skip
"""Causes beside those of lines that a watch can do something about."""
WEIGHTS: Final = {Stage.NORMAL: 0.0, Stage.CAUTION: 1.0, Stage.WARNING: 4.0, Stage.ALARM: 10.0}
"""What a minute at a stage costs. Common practice, no source: set so that an alarm is never worth a caution
less elsewhere."""
UNKNOWN: Final = 1.0
"""What a minute costs in which nothing is known of a line: else a gauge that is lost would save points."""
SHIP_TIMES: Final = 2.0
"""A minute of the ship costs so much more than one of a line."""
_WEIGHT = np.array([WEIGHTS[stage] for stage in Stage])


@dataclass(frozen=True, slots=True)
class ShipPeak:
    """The worst value of one rule of the ship, in its unit, and when; NaN where it was never known."""

    cause: Cause
    subject: str
    unit: str
    value: float
    at: float
    bar: float


@dataclass(frozen=True, slots=True, eq=False)
class Course:
    """Minutes (m,) from `start`, UNIX s, on; columns are `lines` (n) of the stay file and causes of the ship
    (c) as in `OF_THE_SHIP`.

    `line_cost` (m, n) and `ship_cost` (m, c) are minutes at each stage by their weights; `line_bar` (m, n)
    and `ship_bar` (m, c) the highest bar in the minute, per cent, NaN while nothing is known. `peaks` has
    each rule of the ship.
    """

    start: float
    lines: tuple[str, ...]
    line_cost: Floats
    ship_cost: Floats
    line_bar: Floats
    ship_bar: Floats
    peaks: tuple[ShipPeak, ...] = ()
    agreed_cost: Floats = field(default_factory=lambda: np.zeros(0))
    """(m,) What limits of wind agreed with the terminal cost; none where the exercise shows none."""

    @property
    def cost(self) -> float:
        """Return what the whole of it costs."""
        return float(self.line_cost.sum() + self.ship_cost.sum() + self.agreed_cost.sum())

    def of_line(self, line: str, begin: float, end: float) -> float:
        """Return what a line costs from one UNIX time to another; 0 for one that the stay file has not."""
        if line not in self.lines:
            return 0.0
        return float(self.line_cost[self._rows(begin, end), self.lines.index(line)].sum())

    def of_ship(self, begin: float, end: float) -> float:
        """Return what the ship costs from one UNIX time to another."""
        rows = self._rows(begin, end)
        return float(self.ship_cost[rows].sum() + self.agreed_cost[rows].sum())

    def of_all(self, begin: float, end: float) -> float:
        """Return what ship and lines cost from one UNIX time to another."""
        return float(self.line_cost[self._rows(begin, end)].sum()) + self.of_ship(begin, end)

    def _rows(self, begin: float, end: float) -> slice:
        first, last = (round((at - self.start) / MINUTE_S) for at in (begin, end))
        return slice(max(first, 0), max(last, 0))


class CourseMaker:
    """Adds up what was assessed, block by block, from `start` to `end`, UNIX s."""

    def __init__(self, lines: Sequence[str], start: float, end: float) -> None:
        minutes, causes = ceil((end - start) / MINUTE_S) + 1, len(OF_THE_SHIP)
        self._lines, self._start = tuple(lines), start
        self._cost = np.zeros((minutes, len(lines))), np.zeros((minutes, causes))
        self._bar = np.full((minutes, len(lines)), np.nan), np.full((minutes, causes), np.nan)
        self._peaks: dict[tuple[Cause, str], ShipPeak] = {}

    def copied(self) -> "CourseMaker":
        """Return a copy that adds up for itself."""
        other = copy(self)
        other._cost = self._cost[0].copy(), self._cost[1].copy()
        other._bar = self._bar[0].copy(), self._bar[1].copy()
        other._peaks = dict(self._peaks)
        return other

    def add(self, assessment: Assessment) -> None:
        """Add the cycles of a block, a second each."""
        time = assessment.time
        minute = ((time - self._start) // MINUTE_S).astype(np.intp)
        worst = tuple(np.full((minute.size, cost.shape[1]), NOT_KNOWN, dtype=np.int8) for cost in self._cost)
        placed = [(at, place) for at, rule in enumerate(assessment.rules) if (place := self._place(rule))]
        columns = [at for at, _ in placed]
        rules = [assessment.rules[at] for at in columns]
        value, level = assessment.value[:, columns], assessment.level[:, columns]
        # Minus infinite: an alert of its own says it, and here nothing is known.
        bars = np.where(np.isneginf(value), np.nan, bars_of(rules, value, level)) if rules else value
        stages = np.where(assessment.known[:, columns], level, np.int8(NOT_KNOWN))
        first = np.flatnonzero(np.diff(minute, prepend=-1))
        of_minute = np.fmax.reduceat(bars, first, axis=0) if rules else bars
        for column, (_, (kind, own)) in enumerate(placed):
            np.maximum(worst[kind][:, own], stages[:, column], out=worst[kind][:, own])
            bar = self._bar[kind][:, own]
            bar[minute[first]] = np.fmax(bar[minute[first]], of_minute[:, column])
            if kind:
                self._add_peak(rules[column], time, value[:, column], bars[:, column])
        lines, ship = worst
        np.add.at(self._cost[0], minute, _costs(lines, UNKNOWN) / MINUTE_S)
        np.add.at(self._cost[1], minute, _costs(ship, 0.0) * SHIP_TIMES / MINUTE_S)

    def _add_peak(self, rule: Rule, time: Floats, value: Floats, bars: Floats) -> None:
        """Keep the value that stands highest on the bar."""
        before = self._peaks.get(rule.key)
        known: NDArray[np.bool_] = ~np.isnan(bars)
        if not known.any():
            self._peaks.setdefault(rule.key, ShipPeak(*rule.key, rule.unit, np.nan, np.nan, np.nan))
            return
        row = int(np.nanargmax(bars))
        if before is None or not before.bar >= bars[row]:
            peak = float(value[row]), float(time[row]), float(bars[row])
            self._peaks[rule.key] = ShipPeak(*rule.key, rule.unit, *peak)

    def _place(self, rule: Rule) -> tuple[int, int] | None:
        """Return whether a rule is of a line (0) or of the ship (1), and its column; None for neither."""
        if np.isnan(rule.limits).all():
            return None
        if rule.cause in OF_THE_SHIP:
            return 1, OF_THE_SHIP.index(rule.cause)
        if rule.line in self._lines and rule.cause not in NOT_BY_LIMITS:
            return 0, self._lines.index(rule.line)
        return None

    def course(self) -> Course:
        """Return the whole course."""
        return Course(self._start, self._lines, *self._cost, *self._bar, tuple(self._peaks.values()))


def _costs(stage: Codes, unknown: float) -> Floats:
    costs: Floats = np.where(stage < 0, unknown, _WEIGHT[np.maximum(stage, 0)])
    return costs
