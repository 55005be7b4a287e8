"""The order of rows: the worst first, and among equals each keeps its place."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf, isnan
from typing import Final

BY_MORE_THAN: Final = 5.0
"""Points of the bar by which a row must pass another one to go before it."""


@dataclass(frozen=True, slots=True)
class Ranked:
    """What a row is ordered by: its severity, then how near it is to the worst of its limits, per cent; NaN
    where that is not known."""

    id: str
    severity: float
    bar: float


def steady_order(rows: Sequence[Ranked], former: Sequence[str] = ()) -> list[str]:
    """Return the ids of rows, the most severe first, of equal ones the highest bar.

    A row goes before another one of its severity only once its bar is more than `BY_MORE_THAN` points higher;
    else rows stand as they did in `former`, those that are new by their bars. The same rows in the order
    returned are returned as they are.
    """
    place = {row: at for at, row in enumerate(former)}
    new = sorted((row for row in rows if row.id not in place), key=lambda row: -_bar(row))
    order: list[Ranked] = []
    for row in (*sorted((row for row in rows if row.id in place), key=lambda row: place[row.id]), *new):
        margin = BY_MORE_THAN if row.id in place else 0.0
        order.insert(
            next((at for at, each in enumerate(order) if _passes(row, each, margin)), len(order)), row
        )
    return [row.id for row in order]


def _passes(row: Ranked, other: Ranked, margin: float) -> bool:
    if row.severity != other.severity:
        return row.severity > other.severity
    return _bar(row) > _bar(other) + margin


def _bar(row: Ranked) -> float:
    return -inf if isnan(row.bar) else row.bar
