"""How many points an exercise is worth: each part, its weight and what it is counted from stand in the
manual."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import isnan
from typing import Final

import numpy as np

from alongside.stay.stage import Stage
from alongside.training.exercise.conduct import Attempt
from alongside.training.exercise.judged import OF_ONE_LINE, Judged
from alongside.training.exercise.score import OF_THE_SHIP, AlertScore
from alongside.wording.figures import counted

KEPT: Final = 50.0
EXPECTED: Final = 20.0
"""Where the exercise expects no deeds these are for ship and lines as well."""
ANSWERED: Final = 5.0
ACTED: Final = 15.0
WORK: Final = 10.0
SOON_S, LATE_S = 120.0, 600.0
"""An alert acknowledged by the first has all of its points, by the second none. Common practice, no
source."""
ACTED_WITHIN_S: Final = 1800.0
HARMED: Final = 3.0
NEEDLESS: Final = 1.0
LOOKED: Final = 2.0
"""Taken off for each time that somebody went back, jumped on or looked at what comes."""
PAUSED: Final = 1.0
MOST_OFF: Final = 20.0
AT_STAKE: Final = 10.0
"""Where nothing done costs less than this more than the best plan, there was nothing to gain: ten minutes of
caution."""


@dataclass(frozen=True, slots=True)
class Part:
    """Points of one part, of at most so many, and what they were counted from."""

    name: str
    points: float
    most: float
    counted: str


@dataclass(frozen=True, slots=True)
class Points:
    """All parts; `off` is what pauses, jumps and looks ahead take off. `passed` None: nobody asks."""

    parts: tuple[Part, ...]
    off: float
    mark: int | None
    finished: bool

    @property
    def total(self) -> int:
        """Return whole points, at most 100; below 0 for who did worse than somebody who does nothing. What is
        taken off for pauses and looks never takes them there."""
        return round(self.unrounded)

    @property
    def unrounded(self) -> float:
        """Return them with their fractions, by which runs are ordered."""
        points = sum(part.points for part in self.parts)
        return points if points < 0.0 else max(0.0, points - self.off)

    @property
    def passed(self) -> bool | None:
        return None if self.mark is None else self.finished and self.total >= self.mark


@dataclass(frozen=True, slots=True)
class Costs:
    """What the exercise costs with nothing done, as it went, and by the best plan. That may cost more than
    nothing done: orders that were due for a wind that did not come."""

    nothing: float
    went: float
    best: float

    @property
    def kept(self) -> float:
        """Return the part, 0 to 1, of what could be kept that was."""
        if self._stake < AT_STAKE:
            return float(np.clip(1.0 - (self.went - self._quiet) / self._spare, 0.0, 1.0))
        return float(np.clip((self.nothing - self.went) / self._stake, 0.0, 1.0))

    @property
    def harm(self) -> float:
        """Return how much worse than nothing done it went, 0 to 1: a half where it cost as much more as could
        have been saved. It never comes to 1, so of two that did harm the one who did less has more."""
        little = self._stake < AT_STAKE
        more = self.went - (self._quiet + self._spare if little else self.nothing)
        return max(more, 0.0) / (max(more, 0.0) + max(self._stake, AT_STAKE))

    @property
    def _stake(self) -> float:
        return max(self.nothing - self.best, 0.0)

    @property
    def _quiet(self) -> float:
        """Where there was nothing to gain, what costs no points."""
        return max(self.nothing, self.best)

    @property
    def _spare(self) -> float:
        """Where there was nothing to gain, so much more costs all of the points."""
        return max(self._quiet, AT_STAKE)


def points_of(
    costs: Costs,
    alerts: Sequence[AlertScore],
    judged: Sequence[Judged],
    expected: tuple[int, int],
    *,
    harmful: int = 0,
    idle: int = 0,
    called: tuple[int, int] = (0, 0),
    attempt: Attempt | None = None,
    mark: int | None = None,
    end: float = np.inf,
) -> Points:
    """Return the points. `expected` are deeds that the trainer expects: how many were done in time, of how
    many, without the `harmful` ones and the `idle` ones that made no difference; `called` are orders that
    alerts `decide` called for: how many were given in time, of how many. `end` is that of the exercise."""
    done, wanted = expected
    most = KEPT + (0.0 if wanted else EXPECTED)
    parts = [Part("ship and lines", (costs.kept - costs.harm) * most, most, _costs_words(costs))]
    if wanted:
        words = f"{done} of {wanted} in time"
        words += f", {harmful} more did harm and does not count" if harmful else ""
        words += f", {idle} more made no difference and does not count" if idle else ""
        parts.append(Part("expected deeds", EXPECTED * done / wanted, EXPECTED, words))
    parts += [_answered(alerts), _acted(alerts, judged, costs.kept, called), _work(judged, costs.kept)]
    finished = attempt is None or attempt.left_early_s(end) == 0.0
    return Points(tuple(parts), _taken_off(attempt), mark, finished)


def _answered(alerts: Sequence[AlertScore]) -> Part:
    """Each time that an alert called counts for itself: a warning, and again when it came to alarm. What was
    due before the exercise began does not."""
    waits = [call.waited_s for alert in alerts if not alert.overdue for call in alert.calls]
    if not waits:
        return Part("alerts answered", ANSWERED, ANSWERED, "none to answer")
    shares = np.clip((LATE_S - np.nan_to_num(waits, nan=LATE_S)) / (LATE_S - SOON_S), 0.0, 1.0)
    words = f"{sum(not isnan(wait) for wait in waits)} of {len(waits)} warnings and alarms acknowledged"
    return Part("alerts answered", ANSWERED * float(shares.mean()), ANSWERED, words)


def _acted(
    alerts: Sequence[AlertScore], judged: Sequence[Judged], kept: float, called: tuple[int, int]
) -> Part:
    """An alert is acted upon by a deed that helped, on something that bears on it, ordered before it had
    stood for half an hour; each order that was called for by being given in time."""
    asked = [each for each in alerts if each.bearing and each.stage >= Stage.WARNING]
    ordered, orders = called
    if not asked and not orders:
        return Part("alerts acted upon", ACTED * kept, ACTED, "none to act upon: as ship and lines were kept")
    good = [each for each in judged if each.verdict == "helped"]
    met = sum(
        any(
            deed.work.order.time <= alert.raised_at + ACTED_WITHIN_S
            and deed.until > alert.raised_at
            and _bears(alert, deed)
            for deed in good
        )
        for alert in asked
    )
    words = [f"{met} of {len(asked)} by deeds that helped, ordered within half an hour"] if asked else []
    words += [f"{ordered} of {counted(orders, 'order')} given when due"] if orders else []
    points = ACTED * (met + ordered) / (len(asked) + orders)
    return Part("alerts acted upon", points, ACTED, "; ".join(words))


def _bears(alert: AlertScore, deed: Judged) -> bool:
    """A deed on a line bears on what that line bears on; a tug, cargo, a line put out or let go on the ship,
    and on lines that it eased."""
    if isinstance(deed.work.order.action, OF_ONE_LINE):
        return deed.work.order.action.line in alert.bearing
    return alert.cause in OF_THE_SHIP or bool(deed.eased & alert.bearing)


def _work(judged: Sequence[Judged], kept: float) -> Part:
    harmed = sum(each.verdict == "harmed" for each in judged)
    needless = sum(each.verdict == "no difference" for each in judged)
    points = max(-WORK, WORK * kept - HARMED * harmed - NEEDLESS * needless)
    helped = len(judged) - harmed - needless
    return Part("work", points, WORK, f"{helped} helped, {harmed} did harm, {needless} made no difference")


def _taken_off(attempt: Attempt | None) -> float:
    if attempt is None:
        return 0.0
    looks = attempt.went_back + attempt.jumped_on + attempt.looked_ahead
    return min(MOST_OFF, LOOKED * looks + PAUSED * attempt.pauses)


def _costs_words(costs: Costs) -> str:
    return f"{costs.went:.0f} of {costs.nothing:.0f} with nothing done, {costs.best:.0f} by the best plan"
