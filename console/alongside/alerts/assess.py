"""Values against limits, all rules at all instants in a few passes over the arrays."""

from collections.abc import Callable, Iterator, Sequence
from functools import partial
from itertools import groupby

import numpy as np
from numpy.typing import NDArray

from alongside.alerts.findings import Findings
from alongside.alerts.rule_model import Assessment, Parts, Rule
from alongside.alerts.rules import RULE_SETS, RuleSet
from alongside.readings import Codes, Floats
from alongside.stay.causes import EXPECTED, Cause
from alongside.stay.stage import Stage

DEADBAND = 0.05
"""A stage once reached is kept until the value is better than its limit by this part of the limit."""

NOT_BY_LIMITS: frozenset[Cause] = EXPECTED | {"not_known", "parted"}
"""Causes that give a line no stage: of what is to come, and of a line that nothing is known of."""
NOT_KNOWN = -1
"""In place of the Stage of a line that nothing is known of."""

HELD, ON, OFF, LOST = 0, 1, 2, 3
"""What a row says of one stage of one rule: as before, called for, not called for, not known."""

_RULE_SET = {rule_set.cause: rule_set for rule_set in RULE_SETS}

Levels = tuple[Floats, Codes, Codes]
Run = Callable[[str, Callable[[], Levels], Callable[[], Levels]], Levels]
"""Runs one part; where it may fail, what the third argument gives stands for it."""


def unguarded(_part: str, deed: Callable[[], Levels], _otherwise: Callable[[], Levels]) -> Levels:
    return deed()


def assess(rules: tuple[Rule, ...], findings: Findings, run: Run = unguarded) -> Assessment:
    """Hold every rule against what was found. `rules` are those of `rules_of`, or any of them, each cause's
    rules side by side.

    A value that is not known is NaN with level and keep normal. `run` measures each cause: a guard leaves
    the rules of one that fails not known.
    """
    parts: list[Levels] = []
    for name, together in groupby(rules, key=lambda rule: rule.cause):
        part = tuple(together)
        measured = partial(_levels, _RULE_SET[name], part, findings)
        parts.append(run(f"cause {name}", measured, partial(_unknown, part, findings)))
    if not parts:
        parts.append(_unknown((), findings))
    value, level, keep = (np.concatenate(arrays, axis=1) for arrays in zip(*parts, strict=True))
    return Assessment(findings.situation.time, rules, value, level, keep, _parts(rules, findings, level))


def _parts(rules: Sequence[Rule], findings: Findings, level: Codes) -> dict[int, Parts]:
    """Return what calls for a warning or an alarm (n,), of rules that have several parts."""
    parts: dict[int, Parts] = {}
    for name, together in groupby(enumerate(rules), key=lambda numbered: numbered[1].cause):
        parts_of = _RULE_SET[name].parts
        if parts_of is None:
            continue
        places, part = zip(*together, strict=True)
        each = parts_of(part, findings)
        called = level[:, places] > Stage.CAUTION
        if called.any():
            each = np.where(called, each, 0)
            parts |= {at: each[:, column] for column, at in enumerate(places)}
    return parts


def _levels(rule_set: RuleSet, rules: Sequence[Rule], findings: Findings) -> Levels:
    """(n, rules) value, level and keep of the rules of one cause."""
    value = rule_set.measure(rules, findings)
    if rule_set.grade is not None:
        level = rule_set.grade(rules, findings)
        return value, level, level if rule_set.kept is None else rule_set.kept(rules, findings)
    level = np.zeros(value.shape, dtype=np.int8)
    keep = np.zeros(value.shape, dtype=np.int8)
    _by_limits(rules, value, level, keep)
    if rule_set.asks is not None:
        asked = rule_set.asks(rules, findings)
        level[asked] = keep[asked] = Stage.ALARM
    if rule_set.warns is None:
        return value, level, keep
    return _with_warnings(rules, (value, level, keep), rule_set.warns(rules, findings))


def _with_warnings(rules: Sequence[Rule], levels: Levels, other: Floats) -> Levels:
    """Return value, level and keep where another value (n, rules) calls for a warning at most; it is the
    value where it calls for more than the first."""
    value, level, keep = levels
    more, kept = np.zeros_like(level), np.zeros_like(keep)
    _by_limits(rules, other, more, kept)
    np.minimum(more, Stage.WARNING, out=more)
    np.minimum(kept, Stage.WARNING, out=kept)
    by_other = (more > level) | ((more == level) & (kept > keep))
    return np.where(by_other, other, value), np.maximum(level, more), np.maximum(keep, kept)


def _unknown(rules: Sequence[Rule], findings: Findings) -> Levels:
    shape = len(findings), len(rules)
    nothing = np.zeros(shape, dtype=np.int8)
    return np.full(shape, np.nan), nothing, nothing


def _by_limits(rules: Sequence[Rule], value: Floats, level: Codes, keep: Codes) -> None:
    """Fill in level and keep (n, rules) of the rules of one cause.

    A stage is reached at its limit, not beyond it. Since limits never ease from caution to alarm, the level
    is the number of limits reached; a stage not used counts with the next one that is.
    """
    sense = np.array([rule.sense for rule in rules], dtype=np.float64)
    limits = np.array([rule.limits for rule in rules]).T
    for stage in (Stage.WARNING, Stage.CAUTION):
        unused = np.isnan(limits[stage - 1])
        limits[stage - 1][unused] = limits[stage][unused]
    eased = limits - sense * DEADBAND * np.abs(limits)
    worse = sense * value
    for limit, kept in zip(sense * limits, sense * eased, strict=True):
        level += (worse >= limit).view(np.int8)
        keep += (worse >= kept).view(np.int8)


def stages_of(rule: Rule, value: Floats) -> Codes:
    """Return the Stage of each value (m,) by the limits of a rule, without deadband or delay; normal if not
    known."""
    level = np.zeros((value.size, 1), dtype=np.int8)
    _by_limits([rule], value[:, np.newaxis], level, np.zeros_like(level))
    stages: Codes = level[:, 0]
    return stages


def changed_rows(assessment: Assessment) -> NDArray[np.intp]:
    """Return rows, rising, at which what any rule calls for may change, once each is held by its deadband:
    where it reaches a stage it did not call for, falls out of the band of one it did, or is known or lost.
    Row 0 is none of them. Between them nothing but time passes for the alerts; noise within a deadband is no
    change."""
    all_known = assessment.known
    code = assessment.level + 4 * assessment.keep + 16 * (~all_known).view(np.int8)
    column, row = np.nonzero((code[1:] != code[:-1]).T)
    k = code.shape[1]
    column, row = (
        np.concatenate([np.arange(k), column]),
        np.concatenate([np.zeros(k, dtype=np.intp), row + 1]),
    )
    order = np.lexsort((row, column))
    column, row = column[order], row[order]
    known = all_known[row, column]
    level, keep = assessment.level[row, column], assessment.keep[row, column]
    changed = np.zeros(assessment.time.size, dtype=bool)
    for parts in assessment.parts.values():
        changed[1:] |= parts[1:] != parts[:-1]
    for stage in (Stage.CAUTION, Stage.WARNING, Stage.ALARM):
        call = np.full(row.size, HELD, dtype=np.int8)
        call[level >= stage] = ON
        call[keep < stage] = OFF
        call[~known] = LOST
        telling = np.flatnonzero(call != HELD)
        differs = np.diff(call[telling], prepend=HELD) != 0
        differs |= np.diff(column[telling], prepend=-1) != 0
        changed[row[telling[differs]]] = True
    changed[:1] = False
    return np.flatnonzero(changed)


def line_levels(assessment: Assessment, lines: Sequence[str]) -> Codes:
    """Return the worst Stage of each line (n, lines), by the limits now; `NOT_KNOWN` where nothing is."""
    worst = np.full((assessment.time.size, len(lines)), NOT_KNOWN, dtype=np.int8)
    place = {line: column for column, line in enumerate(lines)}
    known = assessment.known
    for at, rule in enumerate(assessment.rules):
        if rule.line in place and rule.cause not in NOT_BY_LIMITS:
            column = place[rule.line]
            level = np.where(known[:, at], assessment.level[:, at], np.int8(NOT_KNOWN))
            np.maximum(worst[:, column], level, out=worst[:, column])
    return worst


_STAGES = tuple(Stage)


def stages_at(assessment: Assessment, row: int) -> dict[tuple[Cause, str], Stage]:
    """Return the Stage of each (cause, subject) at one instant, by the limits now: without deadband or delay.

    What is not known is left out, and so is what is only expected.
    """
    instant = assessment.at(row)  # not the whole block: this is asked for state by state
    known, level = instant.known.tolist(), instant.level.tolist()
    return {
        rule.key: Stage(level[at])
        for at, rule in enumerate(assessment.rules)
        if known[at] and rule.cause not in EXPECTED
    }


def line_stages(
    assessment: Assessment, lines: Sequence[str], rows: Sequence[int]
) -> Iterator[list[dict[Cause, Stage]]]:
    """Yield the Stage of each cause of each line at each of some instants, as `stages_at`."""
    columns: dict[str, list[tuple[int, Cause]]] = {line: [] for line in lines}
    for at, rule in enumerate(assessment.rules):
        if rule.line in columns and rule.cause not in NOT_BY_LIMITS:
            columns[rule.line].append((at, rule.cause))
    chosen = np.asarray(rows, dtype=np.intp)
    level = assessment.level[chosen].tolist()
    known = (~np.isnan(assessment.value[chosen]) | (assessment.level[chosen] > 0)).tolist()
    for levels, knows in zip(level, known, strict=True):
        yield [{cause: _STAGES[levels[at]] for at, cause in columns[line] if knows[at]} for line in lines]
