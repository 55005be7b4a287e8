"""Which explanation the measured loads of each line speak for, all lines weighed together.

About the fit of all stiffnesses and lengths the loads are taken as straight in them, so that any choice of
what is open and what is as the stay has it is answered at once: how likely the loads are with it, whatever
figures were to be expected beforehand (the evidence: a figure that is not needed makes them less likely).
Beside rope and length a cell may be at fault: its zero, its scale, or a drift over the readings.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np

from alongside.forecast.learning.one_line import LineSeen, cell_noise
from alongside.forecast.learning.robust import weights
from alongside.forecast.learning.together import Together
from alongside.readings import Floats

ZERO_SHARE: Final = 0.04
"""One standard deviation of a cell's zero, and of its drift over the readings, over the working limit."""
SCALE_SD: Final = 0.03
"""The same of its scale. Both common practice, no source."""
TELLS: Final = 4.0
"""Difference of minus twice the logarithm of likelihood from which one is clearly better: 7 to 1."""

ROUNDS: Final = 4
"""Times that the noise is sought anew."""

LEAST_FOR_BOTH: Final = 3
"""Loads below which a stiffness and a length are not sought together."""

Explanation = Literal["nothing", "length", "stiffness", "both", "zero", "scale", "drift"]
OF_ROPE: Final[tuple[Explanation, ...]] = ("nothing", "length", "stiffness", "both")
OF_CELL: Final[tuple[Explanation, ...]] = ("zero", "scale", "drift")
AS_IT_IS: Final[tuple[Explanation, ...]] = ("nothing", *OF_CELL)
"""Explanations with which stiffness and length are as the stay has them."""


@dataclass(frozen=True, slots=True, eq=False)
class Chosen:
    """What is chosen of one line; the evidence of every explanation of it, less being likelier; its figure by
    each that has one."""

    explanation: Explanation
    evidence: Mapping[Explanation, float]
    figure: Mapping[Explanation, float]


class Straight:
    """The loads of all lines as straight in every figure, about a fit of all stiffnesses and lengths; where
    a line is taken as the stay has it, about that fit without its figures, `without` (loads,) kN by line."""

    def __init__(self, every: Together, without: Mapping[str, Floats]) -> None:
        fit, seen, at = every.fit, every.seen, every.at
        self._lines: dict[str, _Columns] = {}
        # Ropes and lengths of lines without loads are open whatever is chosen.
        size, self._others = every.wide.theta.size, range(fit.theta.size, every.wide.theta.size)
        of_cells = np.zeros((fit.residual.size, 3 * len(seen)))
        expected = np.ones(size + 3 * len(seen))
        row = 0
        for place, (line, each) in enumerate(seen.items()):
            own, n = at[line], each.path.size
            expected[own] = [each.rope.stiffness_sd, *[each.rope.length_sd] * len(each.epochs)]
            begun = float(np.ptp(each.time))
            since = (each.time - each.time.min()) / begun if begun > 0.0 else np.zeros(n)
            columns = np.stack([np.ones(n), each.load_kn, since], axis=1) * (each.by_hand == 0)[:, np.newaxis]
            of_cells[row : row + n, 3 * place : 3 * place + 3] = columns
            zero = ZERO_SHARE * each.limit_kn
            expected[size + 3 * place : size + 3 * place + 3] = zero, SCALE_SD, zero
            lengths = tuple(range(own.start + 1, own.stop))
            cell = size + 3 * place if each.has_cell else None
            self._lines[line] = _Columns(own.start, lengths, cell, n < LEAST_FOR_BOTH)
            row += n
        self._expected, self._x = expected, np.hstack([every.wide.slope, of_cells])
        self._y = fit.residual + fit.slope @ fit.theta
        sigma = self._noise(seen, every.sigma)
        by_hand = np.concatenate([each.by_hand for each in seen.values()]) > 0
        weight = np.where(by_hand, 1.0, weights(fit.residual, sigma)) / sigma**2
        self._xx = self._x.T @ (weight[:, np.newaxis] * self._x)
        self._about_fit = self._side(weight, self._y)
        measured = np.concatenate([each.load_kn for each in seen.values()])
        self._about = {}
        for line, values in without.items():
            theta = fit.theta.copy()
            theta[at[line]] = 0.0
            self._about[line] = self._side(weight, measured - values + fit.slope @ theta)

    def _side(self, weight: Floats, y: Floats) -> tuple[Floats, float]:
        return self._x.T @ (weight * y), float(weight @ y**2)

    def chosen(self) -> dict[str, Chosen]:
        """Return what is chosen of each line, stiffness and lengths of all others being open: no rope is just
        as its curve, and none is to answer for another."""
        return {line: self._of(line) for line in self._lines}

    def _of(self, line: str) -> Chosen:
        columns = self._lines[line]
        evidence: dict[Explanation, float] = {}
        figure: dict[Explanation, float] = {}
        taken: dict[str, Explanation] = dict.fromkeys(self._lines, "both")
        for name in columns.possible:
            open_now = self._open({**taken, line: name})
            about = self._about[line] if name in AS_IT_IS else self._about_fit
            evidence[name], theta = self._answer(open_now, *about)
            if name != "nothing":
                figure[name] = float(theta[open_now.index(columns.of(name)[-1])])
        return Chosen(_best(evidence), evidence, figure)

    def _open(self, taken: Mapping[str, Explanation]) -> list[int]:
        of_lines = (column for line, name in taken.items() for column in self._lines[line].of(name))
        return sorted([*of_lines, *self._others])

    def _answer(self, columns: list[int], all_xy: Floats, yy: float) -> tuple[float, Floats]:
        """Return the evidence with these figures open, and the figures."""
        if not columns:
            return yy, np.zeros(0)
        sd, xy = self._expected[columns], all_xy[columns]
        # In units of what was expected, so that the matrix is well conditioned whatever the units are.
        precision = self._xx[np.ix_(columns, columns)] * np.outer(sd, sd) + np.eye(len(columns))
        theta = np.linalg.solve(precision, xy * sd)
        evidence = yy - float(theta @ (xy * sd)) + float(np.linalg.slogdet(precision)[1])
        return evidence, theta * sd

    def _noise(self, seen: Mapping[str, LineSeen], sigma: Floats) -> Floats:
        """Return the noise of the cells (n,) that is left with every figure open, sought anew by itself: what
        another explanation leaves of a cell's drift is none."""
        noise = sigma.copy()
        for _ in range(ROUNDS):
            scaled = self._x / noise[:, np.newaxis] * self._expected
            precision = scaled.T @ scaled + np.eye(self._expected.size)
            theta = np.linalg.solve(precision, scaled.T @ (self._y / noise)) * self._expected
            left, row = self._y - self._x @ theta, 0
            for each in seen.values():
                rows = row + np.flatnonzero(each.by_hand == 0)
                noise[rows] = np.minimum(noise[rows], cell_noise(left[rows], each)) if rows.size else 0.0
                row += each.path.size
        return noise


def _best(evidence: Mapping[Explanation, float]) -> Explanation:
    """Return the explanation that is likeliest: something only where it is likelier than nothing, two figures
    only where they are clearly likelier than one, and a fault of the cell only where it is clearly likelier
    than any of rope and length."""
    alone: Explanation = "stiffness" if evidence["stiffness"] < evidence["length"] else "length"
    both = evidence.get("both", np.inf)
    best: Explanation = "both" if both < evidence[alone] - TELLS / 2.0 else alone
    if evidence["nothing"] < evidence[best] + TELLS / 2.0:
        best = "nothing"
    cell = min(OF_CELL, key=lambda name: evidence.get(name, np.inf))
    least = min(evidence.get(name, np.inf) for name in OF_ROPE)
    return cell if evidence.get(cell, np.inf) < least - TELLS else best


@dataclass(frozen=True, slots=True)
class _Columns:
    """Where the figures of a line stand; `cell` the first of three of its cell, None where it has none; with
    `few` loads there is no telling two figures."""

    stiffness: int
    lengths: tuple[int, ...]
    cell: int | None
    few: bool

    @property
    def possible(self) -> tuple[Explanation, ...]:
        """Return the explanations that there may be."""
        of_rope = OF_ROPE[:-1] if self.few else OF_ROPE
        return of_rope if self.cell is None else (*of_rope, *OF_CELL)

    def of(self, name: Explanation) -> tuple[int, ...]:
        """Return the figures that are open with an explanation, the one that is said last."""
        match name:
            case "nothing":
                return ()
            case "length":
                return self.lengths
            case "stiffness":
                return (self.stiffness,)
            case "both":
                return (self.stiffness, *self.lengths)
        assert self.cell is not None, "of a cell"
        return (self.cell + OF_CELL.index(name),)
