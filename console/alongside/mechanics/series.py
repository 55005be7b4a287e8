"""A line under load: main rope and tail in series, one tension, lengths add.

The unstretched length L of the main rope and the tail's l are laid along a path P, so the stretch
P - L - l is shared:  L e_main(T) + l e_tail(T) = P - L - l,  with e(T) the strain at which a part carries
the tension T. Without a tail T follows from the main rope's curve directly.

To solve it fast the loads at the knots of both curves are merged: between two merged loads each part is a
single cubic. A cell is found by comparing the stretch with the stretch at the merged loads, and within it
a few steps of Newton find the main rope's strain; both cubics rise, so the root is the only one and is
bracketed, and the rare element on which Newton does not settle goes to a method that cannot fail.

Arrays here are lines first, (lines, instants), so that each line's constants meet a run of numbers.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from alongside.mechanics.cells import Cells, Part, cells_of, side_by_side
from alongside.mechanics.roots import increasing_root
from alongside.readings import Floats

NEWTON_STEPS: Final = 2
SETTLED: Final = 1e-7
"""A last step smaller than this part of what either part has stretched in its cell leaves an error of about
its square."""
NEVER_ZERO: Final = 1e-300


@dataclass(frozen=True, slots=True, eq=False)
class Series:
    """The lines of an arrangement made ready: which have a tail and which have none, and their cells."""

    tail_length: Floats
    """(lines,) m, 0 without a tail."""
    plain: NDArray[np.intp]
    tailed: NDArray[np.intp]
    plain_cells: Cells
    tailed_cells: Cells


@dataclass(frozen=True, slots=True, eq=False)
class Pull:
    """What lines carry, (lines, instants): tension kN, its derivative by the path kN/m (0 when slack), and
    how far each part is stretched: the main rope as a strain, the tail in m (0 without a tail)."""

    tension: Floats
    stiffness: Floats
    main_strain: Floats
    tail_stretch: Floats


def series_of(mains: Sequence[Part], tails: Sequence[Part | None]) -> Series:
    """Return lines made ready, each a main rope and a tail or None."""
    tailed = [i for i, tail in enumerate(tails) if tail is not None]
    plain = [i for i, tail in enumerate(tails) if tail is None]
    return Series(
        tail_length=np.array([tail.length if tail else 0.0 for tail in tails]),
        plain=np.array(plain, dtype=np.intp),
        tailed=np.array(tailed, dtype=np.intp),
        plain_cells=side_by_side(_cells([(mains[i], None) for i in plain])),
        tailed_cells=side_by_side(_cells([(mains[i], tails[i]) for i in tailed])),
    )


def _cells(lines: Sequence[tuple[Part, Part | None]]) -> list[Cells]:
    """Return the cells of each line, those of like ropes from one calculation."""
    made: dict[tuple[object, ...], Cells] = {}
    found = []
    for main, tail in lines:
        like = (id(main.curve), main.mbl_kn, *((id(tail.curve), tail.mbl_kn, tail.length) if tail else ()))
        if like not in made:
            made[like] = cells_of(main, tail)
        found.append(made[like])
    return found


def pull(series: Series, path: Floats, unstretched: Floats) -> Pull:
    """Return the tension of each line along its path.

    `path` (lines, n) in m; `unstretched` main rope, (lines, 1) or (lines, n), in m, above 0. NaN in either
    gives NaN for that element alone. The tension is exact to about 1e-12 of itself.
    """
    stretch = np.maximum(path - unstretched - series.tail_length[:, None], 0.0)
    if series.tailed.size == 0:
        return _plain(series.plain_cells, stretch, unstretched)
    if series.plain.size == 0:
        return _tailed(series.tailed_cells, stretch, unstretched)
    some = _plain(series.plain_cells, stretch[series.plain], unstretched[series.plain])
    others = _tailed(series.tailed_cells, stretch[series.tailed], unstretched[series.tailed])
    whole = Pull(*(np.empty_like(stretch) for _ in range(4)))
    for name in Pull.__dataclass_fields__:
        getattr(whole, name)[series.plain] = getattr(some, name)
        getattr(whole, name)[series.tailed] = getattr(others, name)
    return whole


def _plain(cells: Cells, stretch: Floats, unstretched: Floats) -> Pull:
    """Return what lines without a tail carry: their strain is known, the curve gives the rest."""
    strain = stretch / unstretched
    cell = np.zeros(strain.shape, dtype=np.intp)
    for begin in cells.main_strain[1:, :, None]:
        cell += strain >= begin
    at = _flat(cell)
    u = strain - cells.main_strain.take(at)
    value, slope = _cubic(u, cells.m1.take(at), cells.m2.take(at), cells.m3.take(at))
    taut = stretch > 0.0
    return Pull(cells.load.take(at) + value, slope / unstretched * taut, strain, np.zeros_like(strain))


def _tailed(cells: Cells, stretch: Floats, unstretched: Floats) -> Pull:
    """Return what lines with a tail carry: first which cell, then how the stretch beyond its beginning is
    shared."""
    cell = np.zeros(stretch.shape, dtype=np.intp)
    for strain, tail in zip(cells.main_strain[1:, :, None], cells.tail_stretch[1:, :, None], strict=True):
        cell += stretch >= unstretched * strain + tail
    at = _flat(cell)
    main_begin, tail_begin = cells.main_strain.take(at), cells.tail_stretch.take(at)
    sharing = _Sharing(cells, at, stretch - (unstretched * main_begin + tail_begin), unstretched)
    u = sharing.first_guess()
    for _ in range(NEWTON_STEPS):
        u = sharing.inside(u + sharing.step(u))
    found = sharing.finish(u)
    unsettled = unstretched * np.abs(found.step) > SETTLED * np.minimum(unstretched * u, found.tail_stretch)
    if unsettled.any():
        u[unsettled] = _Sharing(cells, at, sharing.beyond, unstretched, unsettled).root()
        found = sharing.finish(u)
    u += found.step
    return Pull(
        cells.load.take(at) + found.tension,
        found.stiffness * (stretch > 0.0),
        main_begin + u,
        tail_begin + (sharing.beyond - unstretched * u),
    )


@dataclass(frozen=True, slots=True, eq=False)
class _Found:
    """What a share gives: Newton's step that is left, the tail's stretch and the tension beyond the cell's
    beginning, stiffness."""

    step: Floats
    tail_stretch: Floats
    tension: Floats
    stiffness: Floats


class _Sharing:
    """How the stretch `beyond` the beginning of a cell is shared between main rope and tail: u is the main
    rope's strain, and beyond - L u the tail's stretch. With `only`, those elements alone, in one row."""

    def __init__(
        self,
        cells: Cells,
        at: NDArray[np.intp],
        beyond: Floats,
        unstretched: Floats,
        only: NDArray[np.bool_] | None = None,
    ) -> None:
        if only is not None:
            at, beyond = at[only], beyond[only]
            unstretched = np.broadcast_to(unstretched, only.shape)[only]
        self.beyond, self.unstretched = beyond, unstretched
        self.main = cells.m1.take(at), cells.m2.take(at), cells.m3.take(at)
        self.tail = cells.t1.take(at), cells.t2.take(at), cells.t3.take(at)
        self.main_width, self.tail_width = cells.main_width.take(at), cells.tail_width.take(at)
        self.low = np.maximum((beyond - self.tail_width) / unstretched, 0.0)
        self.high = np.maximum(np.minimum(self.main_width, beyond / unstretched), self.low)

    def first_guess(self) -> Floats:
        """Return the strain as if both parts stretched evenly through the cell: exact in the last, straight
        one."""
        whole = self.unstretched * self.main_width + self.tail_width
        return self.inside(self.beyond / whole * self.main_width)

    def inside(self, u: Floats) -> Floats:
        return np.minimum(np.maximum(u, self.low), self.high)

    def difference(self, u: Floats) -> tuple[Floats, Floats]:
        """Return how much more the main rope would carry than the tail, kN, and its derivative: rises with
        u."""
        main, main_slope = _cubic(u, *self.main)
        tail, tail_slope = _cubic(self.beyond - self.unstretched * u, *self.tail)
        return main - tail, main_slope + self.unstretched * tail_slope

    def step(self, u: Floats) -> Floats:
        """Return Newton's step."""
        value, slope = self.difference(u)
        return -value / (slope + NEVER_ZERO)

    def root(self) -> Floats:
        return increasing_root(self.difference, self.low, self.high, self.first_guess())

    def finish(self, u: Floats) -> _Found:
        """Return what the share gives after one more step of Newton, which leaves both parts the same tension
        to its square."""
        w = self.beyond - self.unstretched * u
        main, main_slope = _cubic(u, *self.main)
        tail, tail_slope = _cubic(w, *self.tail)
        slope = main_slope + self.unstretched * tail_slope + NEVER_ZERO
        step = (tail - main) / slope
        return _Found(step, w, main + main_slope * step, main_slope * tail_slope / slope)


def _cubic(u: Floats, c1: Floats, c2: Floats, c3: Floats) -> tuple[Floats, Floats]:
    """Return c1 u + c2 u^2 + c3 u^3 and its derivative."""
    return u * (c1 + u * (c2 + u * c3)), c1 + u * (2.0 * c2 + u * (3.0 * c3))


def _flat(cell: NDArray[np.intp]) -> NDArray[np.intp]:
    """Return the flat index into (cells, lines) of a cell number for each (line, instant)."""
    lines = cell.shape[0]
    flat: NDArray[np.intp] = cell * lines + np.arange(lines)[:, None]
    return flat
