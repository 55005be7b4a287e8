"""What is due of each deed, for the alert: from the rows of a look ahead with what is remembered of each."""

from collections.abc import Sequence
from math import isnan, nan

from alongside.alerts.rule_model import DueBy
from alongside.forecast.decided import DecideRow, Decisions, comes_at
from alongside.stay.model import Deed


def due_now(decisions: Decisions | None, now: float) -> tuple[DueBy, ...] | None:
    """Return what is due, one each deed, and what is ordered already; None where nothing is known of the
    hours ahead. `decisions` as of `decide_memory.as_remembered`."""
    if decisions is None:
        return None
    deeds = {limit.do for limit in decisions.limits}
    by_deed: dict[Deed, list[DecideRow]] = {}
    for row in decisions.rows:
        # One alert a deed: to stop cargo stands in its own, also where it is to be disconnected sooner.
        deed = next((each for each in deeds if each == row.order), row.limit.do)
        by_deed.setdefault(deed, []).append(row)
    return tuple(_of_deed(decisions, deed, rows, now) for deed, rows in by_deed.items())


def _of_deed(decisions: Decisions, deed: Deed, rows: Sequence[DecideRow], now: float) -> DueBy:
    """Return what is to be ordered next of one deed; where all is, the last of it, with when it was."""
    left = [row for row in rows if row.is_open]
    if left:
        return _due(deed, left, comes_at(left[0], decisions.rows, now))
    last = max(rows, key=lambda row: row.answered)
    return _due(deed, [last], comes_at(last, decisions.rows, now))


def _due(deed: Deed, rows: Sequence[DecideRow], comes: float = nan) -> DueBy:
    row, limit = rows[0], rows[0].limit
    return DueBy(
        do=deed,
        calls_for=limit.do,
        order=row.order,
        by=limit.first if isnan(row.due) else row.due,
        lead_s=row.lead_s,
        first=limit.first,
        chance=limit.chance,
        peak=(limit.peak_ms, limit.peak_from_deg, limit.peak_at),
        limit_ms=limit.limit_ms,
        high=(limit.high_ms, limit.high_limit_ms),
        gust=limit.gust,
        agreed=limit.agreed is not None,
        gives=limit.gives,
        was=row.was,
        why=row.why,
        then=tuple((each.order, each.due) for each in rows[1:]),
        answered=row.answered,
        comes=comes,
        newest=row.by,
        early=row.early,
    )
