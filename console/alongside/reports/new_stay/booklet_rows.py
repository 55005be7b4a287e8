"""Rows of the booklet made whole: each that was given stands, and only its missing figures are estimated."""

from collections.abc import Sequence
from itertools import pairwise
from math import isnan
from typing import Final

from alongside.reports.new_stay.values import Row, Value, number_of
from alongside.stay.hull_estimates import (
    LCF_SPREAD,
    TPC_SPREAD,
    block_coefficient,
    mctc_of,
    tpc_of,
    waterplane_coefficient,
)

RISE_SPREAD: Final = 0.015
"""Part by which a TPC may be off that is taken from the rise of displacement between two rows: rounding and
reading of a scale; common practice, no source."""


def whole_rows(rows: Sequence[Row], lbp: float, breadth: float) -> tuple[Row, ...]:
    """Return two rows or more, at different draughts, from light to laden, all with TPC, MCTC and LCF. TPC
    agrees with the rise of displacement, MCTC is that of the hull form as far as rows that have it say, LCF
    is between those of other rows, or amidships."""
    rows = sorted(rows, key=lambda row: number_of(row, "draught"))
    draughts = [number_of(row, "draught") for row in rows]
    planes = [_waterplane(row, lbp, breadth) for row in rows]
    tpcs = _tpcs(rows, [tpc_of(lbp, breadth, plane) for plane in planes])
    by_form = [mctc_of(lbp, breadth, plane) for plane in planes]
    known = [number_of(row, "mctc") / form for row, form in zip(rows, by_form, strict=True) if "mctc" in row]
    share = sum(known) / len(known) if known else 1.0
    lcfs = [(at, number_of(row, "lcf")) for at, row in zip(draughts, rows, strict=True) if "lcf" in row]
    made = []
    for number, row in enumerate(rows):
        lcf = _between(lcfs, draughts[number]) if lcfs else lbp / 2.0
        estimates = {
            "tpc": _guess(tpcs[number], RISE_SPREAD, "TPC from the rise of displacement between rows"),
            "mctc": _guess(share * by_form[number], TPC_SPREAD, "MCTC from the form of the hull"),
            "lcf": _guess(
                lcf, LCF_SPREAD * lbp / lcf, "LCF of other rows" if lcfs else "LCF taken at midships"
            ),
        }
        made.append({**row, **{name: value for name, value in estimates.items() if name not in row}})
    return tuple(made)


def _guess(number: float, spread: float, source: str) -> Value:
    return Value(number, f"{number:.5g}", round(spread, 4), source)


def _waterplane(row: Row, lbp: float, breadth: float) -> float:
    block = block_coefficient(number_of(row, "displacement"), lbp, breadth, number_of(row, "draught"))
    return waterplane_coefficient(min(block, 1.0))


def _tpcs(rows: Sequence[Row], by_form: Sequence[float]) -> list[float]:
    """Return the TPC of each row, so that the mean of two is the rise of displacement between them."""
    tpcs = [number_of(row, "tpc") for row in rows]
    steps = [number_of(high, "draught") - number_of(low, "draught") for low, high in pairwise(rows)]
    rises = [
        (number_of(high, "displacement") - number_of(low, "displacement")) / (100.0 * step)
        for (low, high), step in zip(pairwise(rows), steps, strict=True)
    ]
    for at in range(1, len(rows) - 1):
        if isnan(tpcs[at]):
            before, after = steps[at - 1], steps[at]
            tpcs[at] = (rises[at - 1] * after + rises[at] * before) / (before + after)
    if isnan(tpcs[0]) and isnan(tpcs[1]):
        tpcs[0] = rises[0] * 2.0 * by_form[0] / (by_form[0] + by_form[1])
    for end, beside, rise in ((0, 1, rises[0]), (-1, -2, rises[-1])):
        if isnan(tpcs[end]):
            tpcs[end] = 2.0 * rise - tpcs[beside]
        if isnan(tpcs[beside]):
            tpcs[beside] = 2.0 * rise - tpcs[end]
    return tpcs


def _between(points: Sequence[tuple[float, float]], at: float) -> float:
    """Return the value at a draught, straight between those around it, as at the nearest beyond them."""
    for (low, before), (high, after) in pairwise(points):
        if low <= at <= high:
            return before + (after - before) * (at - low) / (high - low)
    return points[0][1] if at < points[0][0] else points[-1][1]
