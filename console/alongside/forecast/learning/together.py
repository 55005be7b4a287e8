"""All lines of which loads were measured, found together: with other ropes and lengths she lies elsewhere,
and then the paths are others too.

Where the wind alone loads the lines, each may be half as stiff as its curve and the loads are the same: that
is in the covariance, for the slopes are those with the ship in balance.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from alongside.forecast.learning.observed import Observed
from alongside.forecast.learning.one_line import LineSeen, RopeOfLine, start_more, with_noise
from alongside.forecast.learning.robust import Fit, Sum, fitted
from alongside.mechanics.arrangement import Arrangement, arrangement_of
from alongside.mechanics.hold import hold
from alongside.mechanics.situation import Situation
from alongside.mechanics.state import LineStates
from alongside.readings import Floats
from alongside.stay.learnt import taught
from alongside.stay.model import Learnt, Stay

STEP_M: Final = 0.01
ROUNDS: Final = 2
"""Times that the noise of the cells is taken anew from what is left."""


@dataclass(frozen=True, slots=True, eq=False)
class Together:
    """What was found of lines by their ids: the fit of all at once, each as it was seen along the paths that
    follow from it, where the parameters of each stand in the fit (its stiffness, then its lengths), and what
    is left of its loads, kN. `computed_kn` are its loads by the stay as it is."""

    fit: Fit
    wide: Fit
    """The same, straight about it, with stiffness and length of each line of which no load counts open too:
    its figures stand first, each as far as they are known then."""
    seen: Mapping[str, LineSeen]
    at: Mapping[str, slice]
    residual: Mapping[str, Floats]
    computed_kn: Mapping[str, Floats]

    @property
    def sigma(self) -> Floats:
        """Return the noise of all loads, one line after the other, kN."""
        return np.concatenate([each.sigma_kn for each in self.seen.values()])


@dataclass(frozen=True, slots=True, eq=False)
class _Piece:
    """Instants with the same lengths out."""

    rows: np.ndarray
    situation: Situation
    unstretched: Floats


class Joint:
    """The loads of several lines as they follow from their stiffness and lengths."""

    def __init__(self, stay: Stay, observed: Observed, columns: Sequence[int]) -> None:
        self._stay, self._observed, self._columns = stay, observed, tuple(columns)
        self._arrangement = arrangement_of(stay)
        self._pieces = _pieces(observed)
        counts = observed.counts
        self._rows = {column: np.flatnonzero(counts[:, column]) for column in self._columns}
        base = self._states(self._arrangement, observed.unstretched)
        self._base_kn = base.tension_kn
        self.seen = {column: self._seen(column, base) for column in self._columns}
        sizes = [1 + len(self.seen[column].epochs) for column in self._columns]
        ends = np.cumsum([0, *sizes]).tolist()
        self.at = {
            column: slice(a, b) for column, a, b in zip(self._columns, ends[:-1], ends[1:], strict=True)
        }
        self.size = int(ends[-1])

    def found(self, are_open: Mapping[str, Sequence[bool]] | None = None) -> Together:
        """Return what is found of all lines; with `are_open` of those figures alone, by line, in the order of
        the fit: the others stay as the stay has them."""
        ids = self._arrangement.ids
        start, expected = np.zeros(self.size), np.zeros(self.size)
        is_open = np.ones(self.size, dtype=bool)
        for column, seen in self.seen.items():
            at = self.at[column]
            start[at] = [0.0, *start_more(seen)]
            expected[at] = [seen.rope.stiffness_sd, *[seen.rope.length_sd] * len(seen.epochs)]
            is_open[at] = True if are_open is None else are_open[ids[column]]
        fit, wide, seen_now = self._fit(start, expected, is_open)
        paths = self._states(*self._with(fit.theta)).path_m
        residual = self._of_lines(fit.residual)
        return Together(
            fit,
            wide,
            {ids[c]: replace(each, path=paths[self._rows[c], c]) for c, each in seen_now.items()},
            {ids[c]: self.at[c] for c in self._columns},
            {ids[c]: residual[c] for c in self._columns},
            {ids[c]: self._base_kn[self._rows[c], c] for c in self._columns},
        )

    def _fit(
        self, start: Floats, expected: Floats, is_open: np.ndarray
    ) -> tuple[Fit, Fit, dict[int, LineSeen]]:
        """Return the fit with the figures that are open, the same widened where all are, and the lines with
        the noise that is left."""
        seen_now = dict(self.seen)
        measured = self._over_rows({c: seen.load_kn for c, seen in seen_now.items()})

        def values(theta: Floats) -> Floats:
            return self.values(_spread_out(theta, is_open))

        def slopes(theta: Floats) -> Floats:
            return self.slopes(_spread_out(theta, is_open))[:, is_open]

        in_full = np.concatenate([seen.by_hand for seen in seen_now.values()]) > 0
        theta = start[is_open]
        for _ in range(1 + ROUNDS):
            sigma = self._over_rows({c: seen.sigma_kn for c, seen in seen_now.items()})
            of = Sum(measured, sigma, expected[is_open], in_full)
            fit = fitted(values, slopes, of, theta)
            theta, residual = fit.theta, self._of_lines(fit.residual)
            seen_now = {c: with_noise(seen, residual[c]) for c, seen in seen_now.items()}
        if is_open.all():
            return fit, of.widened(fit, self.others(fit.theta)), seen_now
        size = self.size
        covariance, slope = np.zeros((size, size)), np.zeros((measured.size, size))
        covariance[np.ix_(is_open, is_open)], slope[:, is_open] = fit.covariance, fit.slope
        whole = replace(fit, theta=_spread_out(fit.theta, is_open), covariance=covariance, slope=slope)
        return whole, whole, seen_now

    def values(self, theta: Floats) -> Floats:
        """Return the loads of all lines at their instants, one line after the other, kN."""
        return self._flat(np.nan_to_num(self._states(*self._with(theta)).tension_kn))

    def without(self, every: Together) -> dict[str, Floats]:
        """Return the loads of all lines with the figures that were found, each time without those of one, by
        that line."""
        loads = {}
        for line, at in every.at.items():
            theta = every.fit.theta.copy()
            theta[at] = 0.0
            loads[line] = self.values(theta)
        return loads

    def slopes(self, theta: Floats) -> Floats:
        """Return how these change with each figure (loads, figures), the ship in balance."""
        arrangement, lengths = self._with(theta)
        states = self._states(arrangement, lengths)
        loads = np.nan_to_num(states.tension_kn)
        slope = np.zeros((sum(map(len, self._rows.values())), self.size))
        for column in self._columns:
            at, epochs = self.at[column], self._epochs(column)
            per_metre = self._per_metre(arrangement, lengths, loads, column)
            ratio = self._ratio(
                self.seen[column].rope, column, states.path_m, theta[at][1:] @ epochs, float(theta[at.start])
            )
            for place, factor in enumerate([ratio, *epochs], start=at.start):
                slope[:, place] = self._flat(per_metre * factor[:, np.newaxis])
        return slope

    def others(self, theta: Floats) -> Floats:
        """Return how these change with stiffness and length of each line of which no load counts, by one
        standard deviation of what is expected of each (loads, two a line): where it lies is not known better
        than that, and she lies where all lines let her."""
        arrangement, lengths = self._with(theta)
        states = self._states(arrangement, lengths)
        loads = np.nan_to_num(states.tension_kn)
        slopes = [np.zeros((sum(map(len, self._rows.values())), 0))]
        for column, rope in _without_loads(self._stay, self._observed, self._columns):
            per_metre = self._per_metre(arrangement, lengths, loads, column)
            ratio = self._ratio(rope, column, states.path_m, np.zeros(len(loads)), 0.0)
            by_stiffness = per_metre * ratio[:, np.newaxis] * rope.stiffness_sd
            slopes.append(
                np.stack([self._flat(by_stiffness), self._flat(per_metre * rope.length_sd)], axis=1)
            )
        return np.hstack(slopes)

    def _per_metre(self, arrangement: Arrangement, lengths: Floats, loads: Floats, column: int) -> Floats:
        """Return how all loads (n, lines) change with the length of one line, kN a metre."""
        longer = lengths.copy()
        longer[:, column] += STEP_M
        moved = np.nan_to_num(self._states(arrangement, longer).tension_kn)
        return np.asarray((moved - loads) / STEP_M, dtype=np.float64)

    def _ratio(
        self, rope: RopeOfLine, column: int, path: Floats, more: Floats, softness_log: float
    ) -> Floats:
        own, here = (np.nan_to_num(each[:, column], nan=1.0) for each in (self._observed.unstretched, path))
        return rope.softer_over_longer(here, own, more, softness_log)

    def _flat(self, by_line: Floats) -> Floats:
        """Return the loads that count of (n, lines), one line after the other."""
        return self._over_rows({c: by_line[self._rows[c], c] for c in self._columns})

    def _with(self, theta: Floats) -> tuple[Arrangement, Floats]:
        """Return the arrangement and the lengths (n, lines) with parameters."""
        lines, lengths = list(self._stay.lines), self._observed.unstretched.copy()
        for column in self._columns:
            at, rope = self.at[column], self.seen[column].rope
            softness = float(np.exp(theta[at.start]))
            line = lines[column]
            before = Learnt() if line.learnt is None else line.learnt
            lines[column] = taught(line, replace(before, stiffness=before.stiffness / softness))
            lengths[:, column] = rope.length(lengths[:, column], softness) + theta[at][1:] @ self._epochs(
                column
            )
        return arrangement_of(replace(self._stay, lines=tuple(lines))), lengths

    def _states(self, arrangement: Arrangement, lengths: Floats) -> LineStates:
        states = {name: np.full(lengths.shape, np.nan) for name in ("tension_kn", "path_m")}
        for piece in self._pieces:
            held = hold(arrangement, piece.situation, lengths[piece.rows[0]]).lines
            for name, column in states.items():
                column[piece.rows] = getattr(held, name)
        nothing = np.full(lengths.shape, np.nan)
        others = dict.fromkeys(LineStates.__dataclass_fields__, nothing)
        return LineStates(**{**others, **states})

    def _epochs(self, column: int) -> Floats:
        """Return (epochs, n) 1 where an instant belongs to a stretch of one length of those that count."""
        codes = self._observed.epochs(column)
        return np.array([codes == epoch for epoch in self.seen[column].epochs], dtype=np.float64)

    def _seen(self, column: int, states: LineStates) -> LineSeen:
        rows, observed = self._rows[column], self._observed
        line = self._stay.lines[column]
        length = observed.unstretched[rows, column]
        load, stated = observed.load_kn[rows, column], observed.sigma_kn[rows, column]
        seen = LineSeen(
            RopeOfLine.of(line, float(np.median(length))),
            states.path_m[rows, column],
            length,
            load,
            stated,
            stated,
            observed.situation.time[rows],
            observed.epochs(column)[rows],
            observed.by_hand[rows, column],
            line.smallest_wll_kn,
        )
        return with_noise(seen, np.zeros(load.shape))

    def _over_rows(self, of_lines: Mapping[int, Floats]) -> Floats:
        return np.concatenate([of_lines[column] for column in self._columns])

    def _of_lines(self, flat: Floats) -> dict[int, Floats]:
        ends = np.cumsum([len(self._rows[column]) for column in self._columns])[:-1]
        return dict(zip(self._columns, np.split(flat, ends), strict=True))


def _without_loads(
    stay: Stay, observed: Observed, columns: Sequence[int]
) -> Iterator[tuple[int, RopeOfLine]]:
    """Yield lines that are out and are none of `columns`, by their columns: not parts of a bight, nor those
    on automatic winches, whose load is known."""
    bights = {each.bight_with for each in stay.lines} | {each.id for each in stay.lines if each.bight_with}
    for column, line in enumerate(stay.lines):
        winch = stay.ship.winches[line.winch] if line.winch is not None else None
        is_set = winch is not None and winch.automatic_kn is not None
        out = observed.unstretched[:, column]
        if column not in columns and line.id not in bights and not is_set and np.isfinite(out).any():
            yield column, RopeOfLine.of(line, float(np.nanmedian(out)))


def _spread_out(theta: Floats, is_open: np.ndarray) -> Floats:
    """Return open figures among all, which stay 0."""
    whole = np.zeros(is_open.size)
    whole[is_open] = theta
    return whole


def _pieces(observed: Observed) -> tuple[_Piece, ...]:
    lengths = np.nan_to_num(observed.unstretched, nan=-1.0)
    _, which = np.unique(lengths, axis=0, return_inverse=True)
    which = np.ravel(which)
    pieces = []
    for each in np.unique(which):
        rows = np.flatnonzero(which == each)
        pieces.append(_Piece(rows, observed.situation.at(rows), observed.unstretched[rows[0]]))
    return tuple(pieces)
