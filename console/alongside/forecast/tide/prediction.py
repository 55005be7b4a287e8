"""Water levels that carry their datum, and the tide that is expected of a plan.

A level is a number only together with what it is measured from; two levels meet only above one datum.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from alongside.errors import WrongInput
from alongside.forecast.tide.astronomy import middle_of_year
from alongside.forecast.tide.between_extremes import planned_height
from alongside.forecast.tide.harmonics import Harmonics, harmonics_of, height_about_mean, unknown_in_words
from alongside.forecast.tide.subordinate import height_by_differences
from alongside.readings import Floats
from alongside.stay.model import TidePlan

COSINE_OFF: Final = 1.7
"""m by which a cosine between high and low water can be off in shallow ports with a stand or double tide."""


@dataclass(frozen=True, slots=True, eq=False)
class Levels:
    """Metres (n,) above `datum` at UNIX seconds (n,); NaN where not known."""

    time: Floats
    metres: Floats
    datum: str

    def __sub__(self, other: "Levels") -> Floats:
        """Return the difference in m, instant by instant. Raises WrongInput where datum or instants are not
        the same."""
        if self.datum != other.datum:
            raise WrongInput(f"levels above {self.datum} and above {other.datum} cannot be compared")
        if not np.array_equal(self.time, other.time):
            raise ValueError("levels at different instants cannot be compared")
        return np.asarray(self.metres - other.metres, dtype=np.float64)

    def above(self, datum: str, metres_down: float) -> "Levels":
        """Return the same levels above another datum that lies `metres_down` below this one."""
        return Levels(self.time, self.metres + metres_down, datum)


@dataclass(frozen=True, slots=True, eq=False)
class TideTable:
    """A tide plan made ready: harmonic where it has constants, else a cosine between high and low waters; by
    differences where these are of a standard port."""

    plan: TidePlan
    harmonics: Harmonics | None

    @property
    def left_out(self) -> float:
        """Return sum of the amplitudes of constituents that are not known, m: in no prediction."""
        return 0.0 if self.harmonics is None else self.harmonics.left_out

    def in_words(self) -> list[str]:
        """Return what a reader of these heights has to know of them, a line each."""
        if self.plan.levels:
            return ["level of dock or lock by the stay file: no tide, and no weather upon it"]
        by_differences = ["tide by differences on a standard port"] if self.is_subordinate else []
        if self.harmonics is None:
            cosine = f"tide by cosine from high and low waters: up to {COSINE_OFF} m wrong in shallow ports"
            return [*by_differences, cosine]
        return [*by_differences, *unknown_in_words(self.harmonics)]

    @property
    def is_subordinate(self) -> bool:
        """Return whether the port goes by differences on another."""
        return bool(self.plan.standard) or self.plan.differences is not None


def tide_table(plan: TidePlan) -> TideTable:
    """Make a plan ready."""
    return TideTable(plan, harmonics_of(plan.constituents) if plan.constituents else None)


@dataclass(frozen=True, slots=True)
class StandardPort:
    """What the constants predict, m above chart datum (n,) at UNIX s (n,); equal where all of it is."""

    table: TideTable
    nodes_at: float | None

    def __call__(self, time: Floats) -> Floats:
        assert self.table.harmonics is not None  # asked before
        height = height_about_mean(self.table.harmonics, time, self.nodes_at)
        return height + (self.table.plan.mean_level + self.table.plan.to_chart_datum)


def expected_level(table: TideTable, time: ArrayLike, nodes_at: float | None = None) -> Levels:
    """Return astronomical height at UNIX seconds (n,) above the stay's chart datum; NaN outside a table of
    high and low waters. `nodes_at` as in `height_about_mean`."""
    at = np.atleast_1d(np.asarray(time, dtype=np.float64))
    plan = table.plan
    if table.harmonics is None:
        return Levels(at, planned_height(plan, at), plan.datum)
    if nodes_at is None and at.size:
        nodes_at = middle_of_year(float(at[0]))
    port = StandardPort(table, nodes_at)
    if plan.differences is None:
        return Levels(at, port(at), plan.datum)
    return Levels(at, height_by_differences(port, plan.differences, at), plan.datum)
