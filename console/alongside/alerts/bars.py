"""How near each value is to its limits, on one scale for all: 70 at the limit of a caution, 85 of a warning,
100 of an alarm."""

from collections.abc import Iterator, Mapping, Sequence
from math import isnan
from typing import Final

import numpy as np

from alongside.alerts.assess import NOT_BY_LIMITS
from alongside.alerts.rule_model import Assessment, Rule
from alongside.readings import Codes, Floats
from alongside.stay.causes import Cause
from alongside.stay.model import Stay
from alongside.stay.stage import Stage
from alongside.wording.figures import percent_short_of

BAR_AT: Final[Mapping[Stage, float]] = {Stage.CAUTION: 70.0, Stage.WARNING: 85.0, Stage.ALARM: 100.0}
"""Where the limit of a stage stands on the bar."""

_CAUTION, _WARNING, _ALARM = BAR_AT.values()
_LEAST = np.array([0.0, *BAR_AT.values()])
_MOST = np.nextafter([*BAR_AT.values(), np.inf], -np.inf)


def stage_of_bar(bar: float) -> Stage | None:
    """Return the stage in whose part of the bar a value stands; None where it is not known."""
    if isnan(bar):
        return None
    return max((stage for stage, at in BAR_AT.items() if bar >= at), default=Stage.NORMAL)


def bar_percent(bar: float) -> str:
    """Return a value on a bar, `69 %`, which never reads as the stage that it has not come to."""
    return percent_short_of(bar, BAR_AT.values())


def bars_of(rules: Sequence[Rule], value: Floats, level: Codes) -> Floats:
    """Return the bars (n, k), per cent, of values (n, k) of k rules, NaN where not known.

    `level` is the Stage of each as it was assessed: a bar never stands outside of that stage's part. So it
    does not pass into the part of a stage that has no limit, and what is an alarm whatever its value (a brake
    in question) stands at 100 at least.
    """
    least, most = _LEAST[level], _MOST[level]
    bars = straight_bars(rules, value)
    return np.where(np.isnan(bars) & (level > 0), least, np.clip(bars, least, most))


def straight_bars(rules: Sequence[Rule], value: Floats) -> Floats:
    """Return the bars (n, k) by value and limits alone: straight from zero to the first limit, from limit to
    limit, and on above the last.

    A limit that is not used stands on the straight between those that are, or beyond them. Where less is
    worse the bar begins at twice the first limit.
    """
    zero, caution, warning, alarm = _corners(rules)
    worse = np.array([rule.sense for rule in rules], dtype=np.float64) * value
    with np.errstate(divide="ignore", invalid="ignore"):
        last = (_ALARM - _WARNING) / (alarm - warning)
        whole = _ALARM / (alarm - zero)
    slope = np.where(alarm > warning, last, np.where(alarm > zero, whole, 0.0))
    beyond = np.where(worse > alarm, slope * (worse - alarm), 0.0)
    bars: Floats = (
        _CAUTION * _part(worse, zero, caution)
        + (_WARNING - _CAUTION) * _part(worse, caution, warning)
        + (_ALARM - _WARNING) * _part(worse, warning, alarm)
        + beyond
    )
    return np.where(np.isnan(value), np.nan, bars)


def _part(worse: Floats, start: Floats, end: Floats) -> Floats:
    """Return how much of the way from start to end (k,) values (n, k) have gone: 0 to 1."""
    width = end - start
    part: Floats = np.where(width > 0.0, (worse - start) / np.where(width > 0.0, width, 1.0), worse >= end)
    return np.clip(part, 0.0, 1.0)


def _corners(rules: Sequence[Rule]) -> tuple[Floats, Floats, Floats, Floats]:
    """Return zero and the three limits (k,) of each rule, rising, limits that are not used filled in."""
    return tuple(np.array([_corners_of(rule) for rule in rules], dtype=np.float64).reshape(-1, 4).T)  # type: ignore[return-value]


def _corners_of(rule: Rule) -> tuple[float, float, float, float]:
    caution, warning, alarm = (rule.sense * limit for limit in rule.limits)
    first = next(limit for limit in (caution, warning, alarm) if not isnan(limit))
    zero = min(0.0, first) if rule.sense > 0 else first - abs(first)
    if isnan(caution):
        share = _CAUTION / (_ALARM if isnan(warning) else _WARNING)
        caution = zero + share * (first - zero)
    if isnan(warning) and isnan(alarm):
        warning = zero + _WARNING / _CAUTION * (caution - zero)
    elif isnan(warning):
        warning = (caution + alarm) / 2.0  # 85 is half way from 70 to 100
    if isnan(alarm):
        alarm = warning + (warning - caution)
    return zero, caution, warning, alarm


def line_bars(
    assessment: Assessment, stay: Stay, rows: Sequence[int]
) -> Iterator[tuple[dict[Cause, float], ...]]:
    """Yield, at each of some instants, the bars of each line of a stay by cause: of every limit that watches
    it, and of those of its bollard. NaN where not known; a cause that leaves its say to another one is left
    out."""
    chosen = np.asarray(rows, dtype=np.intp)
    value = assessment.value[chosen]
    columns = _columns(assessment.rules, stay)
    bars = np.full(value.shape, np.nan)
    at = sorted({column for line in columns for column, _cause in line})
    if at:
        rules = [assessment.rules[column] for column in at]
        bars[:, at] = bars_of(rules, value[:, at], assessment.level[chosen][:, at])
    elsewhere = np.isneginf(value)
    for row, not_here in zip(bars.tolist(), elsewhere.tolist(), strict=True):
        yield tuple(_by_cause(line, row, not_here) for line in columns)


def _by_cause(
    columns: Sequence[tuple[int, Cause]], bars: list[float], elsewhere: list[bool]
) -> dict[Cause, float]:
    """Return the highest bar of each cause."""
    highest: dict[Cause, float] = {}
    for at, cause in columns:
        if not elsewhere[at]:
            before = highest.get(cause, float("nan"))
            highest[cause] = before if before >= bars[at] or isnan(bars[at]) else bars[at]
    return highest


def _columns(rules: Sequence[Rule], stay: Stay) -> list[list[tuple[int, Cause]]]:
    """Return, for each line, the columns of the rules that watch it or what bears it."""
    place = {line.id: at for at, line in enumerate(stay.lines)}
    columns: list[list[tuple[int, Cause]]] = [[] for _line in stay.lines]
    for at, rule in enumerate(rules):
        if rule.cause == "bollard":
            for line in stay.lines:
                if stay.berth.bears(rule.subject, line.bollard):
                    columns[place[line.id]].append((at, rule.cause))
        elif rule.line in place and rule.cause not in NOT_BY_LIMITS:
            columns[place[rule.line]].append((at, rule.cause))
    return columns
