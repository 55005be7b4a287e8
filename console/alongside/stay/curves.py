"""Curves given as rows: ropes and fenders. Both start at nothing."""

from collections.abc import Callable
from typing import Any, Final

from alongside.stay.fields import force, listed, number, rising, row
from alongside.stay.nodes import Node


def _starts_at_zero(node: Node, rows: tuple[tuple[float, float], ...]) -> None:
    if rows and any(value < 0 or value > 0 for value in rows[0]):
        node[0].fault(f"first row [{rows[0][0]:g}, {rows[0][1]:g}]", "[0, 0]")


def end_slope(rows: tuple[tuple[float, float], ...]) -> float:
    """Return the slope with which the monotone cubic through three rows and more ends: the one-sided
    three-point slope, 0 where it would turn down (Fritsch and Carlson)."""
    (x0, y0), (x1, y1), (x2, y2) = rows[-3:]
    before, last = (y1 - y0) / (x1 - x0), (y2 - y1) / (x2 - x1)
    slope = ((2.0 * (x2 - x1) + (x1 - x0)) * last - (x2 - x1) * before) / (x2 - x0)
    return max(slope, 0.0)


def _column(place: int) -> Callable[[Any], float]:
    return lambda row: float(row[place])


ROPE_CURVE: Final = listed(
    row(elongation=number("%", least=0, most=100), load=number("a fraction of MBL", least=0, most=1.5)),
    _starts_at_zero,
    rising(_column(0), "elongation"),
    rising(_column(1), "load"),
    least=2,
)

FENDER_TABLE: Final = listed(
    row(deflection=number("m", least=0, most=10), reaction=force(least=0)),
    _starts_at_zero,
    rising(_column(0), "deflection"),
    least=2,
)
"""The reaction may dip: buckling fenders do."""
