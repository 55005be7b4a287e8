"""Cautions that tide or cargo bring to one line after the other as one row: that is one situation.

Only rows are joined: each alert goes on by itself, and so it is on record and in JSON. A warning or an alarm
always has a row of its own, so that none is hidden and each is acknowledged by itself.
"""

from collections.abc import Iterable, Sequence
from itertools import pairwise
from math import inf, isfinite, isnan, nan
from typing import Final

from alongside.alerts.model import Alert, Key
from alongside.stay.causes import Cause
from alongside.stay.stage import Stage
from alongside.wording.names import cause as cause_words
from alongside.wording.names import condition
from alongside.wording.safe import safe

JOINED: Final[tuple[frozenset[Cause], ...]] = (
    frozenset({"steep"}),
    frozenset({"slack"}),
    frozenset({"stretch", "load", "brake"}),
    frozenset({"ahead"}),
)
"""Causes that one deed cures. Those of a line that carries too much are joined with each other: to slack it
helps against all."""
APART_S: Final = 3600.0
"""Neighbours are joined that were raised no longer apart than this. Common practice, no source."""
LESS_IS_WORSE: Final[frozenset[Cause]] = frozenset({"slack", "under_keel", "ahead", "decide"})

Row = tuple[Alert, ...]
"""Alerts that stand as one, the worst of them first; mostly one."""


def rows_of(alerts: Sequence[Alert]) -> tuple[Row, ...]:
    """Return alerts as rows, in their order; joined ones stand where the first of them does."""
    by_key: dict[Key, Row] = {}
    for causes in JOINED:
        some = sorted((one for one in alerts if one.cause in causes and can_join(one)), key=_since)
        for run in _runs(some):
            row = tuple(sorted(run, key=_worst_first))
            by_key |= {one.key: row for one in row}
    rows = [by_key.get(alert.key, (alert,)) for alert in alerts]
    return tuple(dict.fromkeys(rows))


def can_join(alert: Alert) -> bool:
    """Return whether an alert may stand in a row with others: a caution on a line that waits for nothing,
    accepted by nobody and with a value that is known."""
    is_caution = alert.active_stage is Stage.CAUTION and not alert.owed
    return is_caution and alert.line is not None and not (alert.is_accepted or alert.suspended)


def row_of(alert: Alert, alerts: Sequence[Alert]) -> Row:
    """Return the row in which an alert stands."""
    return next((row for row in rows_of(alerts) if alert in row), (alert,))


def row_text(row: Row) -> str:
    """Return what a row says: the text of its alert; of joined ones which lines, and the figure of the worst:
    `Lines 12, 4 slack: worst 0.3 t (limit 4 % of WLL)`; of one line each of its figures."""
    worst, lines = row[0], lines_of(row)
    if len(lines) < 2:
        name = f"Line {safe(worst.line or '')} "
        return "; ".join([worst.text, *(alert.text.removeprefix(name) for alert in row[1:])])
    heads = f"Lines {', '.join(safe(line) for line in lines)}"
    text = f"{worst.text[:1].lower()}{worst.text[1:]}"
    if worst.cause == "ahead":
        return f"{heads}: limits expected, first {text}"
    if len({alert.cause for alert in row}) > 1:
        return f"{heads} tight: worst {text}"
    return f"{heads} {cause_words(worst.cause)}: worst {_figure(worst)}"


def lines_of(row: Row) -> list[str]:
    """Return the lines of a row, the worst first."""
    return list(dict.fromkeys(alert.line for alert in row if alert.line is not None))


def _figure(alert: Alert) -> str:
    """Return the text of a line's alert without line and cause: `27° down (limit 25°)`."""
    head = condition(alert.cause, alert.subject, alert.line)
    return alert.text[len(head) :].lstrip(": ")


def nearness(alert: Alert) -> float:
    """Return the value by the limit, 1 and more where it is reached; NaN where either is not known."""
    if not (isfinite(alert.limit) and isfinite(alert.value)):
        return nan
    if alert.cause in LESS_IS_WORSE or alert.key == ("gangway", "low"):
        return alert.limit / alert.value if alert.value > 0.0 else inf
    return alert.value / alert.limit if alert.limit > 0.0 else inf


def _runs(alerts: Sequence[Alert]) -> Iterable[list[Alert]]:
    """Cut alerts in order of time wherever the next is raised too long after the one before."""
    run = list(alerts[:1])
    for before, alert in pairwise(alerts):
        if alert.raised_at - before.raised_at > APART_S:
            yield run
            run = []
        run.append(alert)
    if run:
        yield run


def _since(alert: Alert) -> tuple[float, Key]:
    return alert.raised_at, alert.key


def _worst_first(alert: Alert) -> tuple[float, float, Key]:
    """Rounded, so that lines do not change places with every ripple."""
    near = nearness(alert)
    return 0.0 if isnan(near) else -round(near, 1), alert.raised_at, alert.key
