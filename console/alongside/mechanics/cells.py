"""Lines cut into cells of load, within which each part of a line is a single cubic.

The cells begin at the loads of the rows of both curves, merged; the last, straight one has no end.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from alongside.mechanics.rope import RopeCurve, cell_cubics, elongation_pct
from alongside.readings import Floats

FAR: Final = 1e9
"""kN by which the last, straight cell reaches on: farther than any rope, near enough for plain arithmetic."""


@dataclass(frozen=True, slots=True, eq=False)
class Part:
    """One part of a line: its curve, its breaking load in kN, its unstretched length (tails only) in m."""

    curve: RopeCurve
    mbl_kn: float
    length: float = 0.0


@dataclass(frozen=True, slots=True, eq=False)
class Cells:
    """Merged cells of several lines, each array (cells, lines); padded with cells that never begin.

    From the beginning of a cell on, with u the main rope's strain and w the tail's stretch in m beyond
    theirs there: tension = load + u (m1 + u (m2 + u m3)) = load + w (t1 + w (t2 + w t3)), for u up to
    `main_width` and w up to `tail_width`.
    """

    load: Floats
    main_strain: Floats
    tail_stretch: Floats
    main_width: Floats
    tail_width: Floats
    m1: Floats
    m2: Floats
    m3: Floats
    t1: Floats
    t2: Floats
    t3: Floats


def cells_of(main: Part, tail: Part | None) -> Cells:
    """Return the merged cells of one line, arrays (cells,)."""
    loads = _merged_loads(main, tail)
    m_begin, m1, m2, m3, m_width = _part_cells(main, loads)
    if tail is None:
        t_begin = t1 = t2 = t3 = t_width = np.zeros_like(loads)
    else:
        t_begin, t1, t2, t3, t_width = _part_cells(tail, loads)
        by = tail.length
        t_begin, t_width = t_begin * by, t_width * by
        t1, t2, t3 = t1 / by, t2 / by**2, t3 / by**3
    return Cells(loads, m_begin, t_begin, m_width, t_width, m1, m2, m3, t1, t2, t3)


def side_by_side(lines: Sequence[Cells]) -> Cells:
    """Return the cells of several lines side by side, padded to the longest with cells that begin at no
    strain."""
    most = max((line.load.size for line in lines), default=1)

    def padded(name: str) -> Floats:
        fill = np.inf if name == "main_strain" else 0.0
        columns = [getattr(line, name) for line in lines]
        rows = [np.pad(column, (0, most - column.size), constant_values=fill) for column in columns]
        return np.ascontiguousarray(np.array(rows, dtype=np.float64).reshape(len(lines), most).T)

    return Cells(**{name: padded(name) for name in Cells.__dataclass_fields__})


def _merged_loads(main: Part, tail: Part | None) -> Floats:
    """Return the loads, kN, at the knots of either curve, rising."""
    parts = [main] if tail is None else [main, tail]
    return np.unique(np.concatenate([part.curve.load * part.mbl_kn for part in parts]))


def _part_cells(part: Part, loads: Floats) -> tuple[Floats, Floats, Floats, Floats, Floats]:
    """Return, for the cell that begins at each load, a part's strain there, the three coefficients of its
    load as a cubic of the further strain (kN), and how much further strain the cell has."""
    curve, knots = part.curve, part.curve.load * part.mbl_kn
    knot = np.searchsorted(knots, loads, side="right") - 1
    at_knot = knots[knot] == loads
    begin = np.where(at_knot, curve.elongation_pct[knot], elongation_pct(curve, loads / part.mbl_kn)) / 100.0
    second, third = cell_cubics(curve)
    scale = part.mbl_kn * 100.0
    c1, c2, c3 = curve.slope[knot] * scale, second[knot] * scale * 100.0, third[knot] * scale * 1e4
    u = begin - curve.elongation_pct[knot] / 100.0
    slope = c1 + u * (2.0 * c2 + u * (3.0 * c3))
    return begin, slope, c2 + 3.0 * c3 * u, c3, np.append(np.diff(begin), FAR / slope[-1])
