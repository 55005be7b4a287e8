"""When limits are reached, member by member, and what that says of all members together."""

from collections.abc import Sequence
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from alongside.alerts.rule_model import Rule
from alongside.forecast.model import LimitAhead
from alongside.readings import Floats
from alongside.stay.stage import Stage

EARLY, LATE = 0.05, 0.95
Number = TypeVar("Number", np.float64, np.int8)


def limits_ahead(rules: Sequence[Rule], time: Floats, value: Floats) -> list[LimitAhead]:
    """Return limits to come of rules, earliest first; `value` (members, m, k) at instants `time` (m,)."""
    sought = FirstTimes(rules)
    sought.add(time, value)
    return sought.limits()


class FirstTimes:
    """When rules first reach each of their limits, member by member, as blocks of time come one after the
    other."""

    def __init__(self, rules: Sequence[Rule]) -> None:
        self._rules = rules
        self._limits = np.array([rule.limits for rule in rules]).reshape(len(rules), 3)
        self._sense = np.array([rule.sense for rule in rules])
        self._begin = np.nan
        self._first: list[Floats] = []
        self._time, self._value = np.empty(0), np.empty(0)

    def add(self, time: Floats, value: Floats) -> None:
        """Take the values (members, m, k) of the next instants `time` (m,)."""
        if self._first:  # straight from the last instant of the block before
            time, value = np.append(self._time, time), np.concatenate([self._value, value], axis=1)
        else:
            self._begin = float(time[0])
        found = [first_times(time, value, self._limits[:, stage], self._sense) for stage in range(3)]
        before = self._first or found
        self._first = [
            np.where(np.isfinite(one), one, other) for one, other in zip(before, found, strict=True)
        ]
        self._time, self._value = time[-1:], value[:, -1:].copy()

    def limits(self) -> list[LimitAhead]:
        """Return limits to come, earliest first."""
        found: list[LimitAhead] = []
        for stage in (Stage.CAUTION, Stage.WARNING, Stage.ALARM):
            first = np.sort(self._first[stage - 1], axis=0)
            reached = np.flatnonzero(np.isfinite(first[rank(len(first), EARLY)])).tolist()
            found += [_limit(self._rules[k], stage, first[:, k], self._begin) for k in reached]
        found.sort(key=lambda limit: (limit.not_before, -limit.stage, limit.cause, limit.subject))
        return found


def first_times(time: Floats, value: Floats, limit: Floats, sense: Floats) -> Floats:
    """Return (members, k) instant at which (members, m, k) values first reach limits (k,), straight between
    samples; infinite where they do not. `sense` (k,) +1 where more is worse. A limit NaN is never reached."""
    over = sense * (value - limit)
    reached = over >= 0.0
    at = reached.argmax(axis=1)
    members, k = at.shape
    rows, columns = np.arange(members)[:, None], np.arange(k)[None, :]
    before = np.maximum(at - 1, 0)
    low, high = over[rows, before, columns], over[rows, at, columns]
    with np.errstate(invalid="ignore", divide="ignore"):
        part = np.where((at > 0) & (high > low), -low / (high - low), 1.0)
    part = np.where(np.isnan(part), 1.0, part)
    when = time[before] + part * (time[at] - time[before])
    return np.where(reached[rows, at, columns], when, np.inf)


def _limit(rule: Rule, stage: Stage, first: Floats, begin: float) -> LimitAhead:
    """Return one limit by its sorted instants (members,)."""
    early, middle, late = (float(first[rank(first.size, share)]) for share in (EARLY, 0.5, LATE))
    return LimitAhead(
        cause=rule.cause,
        subject=rule.subject,
        line=rule.line,
        stage=stage,
        not_before=early,
        expected=middle if np.isfinite(middle) else None,
        no_later=late if np.isfinite(late) else None,
        standing=late <= begin,
    )


def rank(members: int, share: float) -> int:
    """Return which of so many sorted members bounds a share of them: outwards of the middle, so that the band
    holds at least what it says."""
    exact = share * (members - 1)
    return int(np.floor(exact)) if share <= 0.5 else int(np.ceil(exact))


def quantile(values: NDArray[Number], share: float) -> NDArray[Number]:
    """Return the member at a share of sorted values (members, …); NaN sorts last."""
    ordered: NDArray[Number] = np.sort(values, axis=0)
    return np.asarray(ordered[rank(len(values), share)], dtype=values.dtype)
