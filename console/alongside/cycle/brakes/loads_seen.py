"""The loads by which brakes come into question: those by load cell beside those computed, and which of both
rest on a reading that another witness says is wrong."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from alongside.mechanics.arrangement import Arrangement
from alongside.mechanics.making_fast import unstretched_for
from alongside.mechanics.render import GRIP
from alongside.mechanics.state import Hold
from alongside.readings import MISLEADS, Floats, Readings

Flags = NDArray[np.bool_]

RESTS_ON: Final = (
    *("tide", "draught_fwd", "draught_aft", "heel", "draught_mid_port", "draught_mid_stbd"),
    *("wind_speed", "wind_from", "current_speed", "current_to"),
)
"""Channels that computed loads rest on."""


def misled_at(readings: Readings) -> Flags:
    """Return where (n,) a reading that computed loads rest on is wrong by another witness."""
    among = np.array([name in RESTS_ON for name in readings.channels], dtype=bool)
    misled = np.isin(readings.reason[:, among], tuple(MISLEADS))
    return np.asarray(misled.any(axis=1))


@dataclass(frozen=True, slots=True, eq=False)
class LoadsSeen:
    """At n instants: the loads by cell that count (n, lines), kN, NaN where there is none; where (n, lines)
    those, and where (n,) the computed ones, rest on a reading that another witness says is wrong."""

    by_cell_kn: Floats
    cell_misled: Flags
    misled: Flags

    def rows(self, start: int, stop: int) -> "LoadsSeen":
        """Return the instants start..stop-1 as views."""
        part = slice(start, stop)
        return LoadsSeen(self.by_cell_kn[part], self.cell_misled[part], self.misled[part])

    def over(self, held: Hold, holding_kn: Floats) -> Flags:
        """Return where (n, lines) a load that the brake is judged by is above its holding (lines,), kN: the
        larger of computed and by cell, as the alert has it."""
        limit = holding_kn * (1.0 + GRIP)
        over: Flags = (held.lines.tension_kn > limit) | (self._cells_of(held) > limit)
        return over

    def believed_kn(self, held: Hold) -> Floats:
        """Return the larger of computed load and load by cell (n, lines), kN, that no witness says is wrong;
        NaN where there is none."""
        computed = np.where(self.misled[:, None], np.nan, held.lines.tension_kn)
        return np.fmax(computed, np.where(self.cell_misled, np.nan, self._cells_of(held)))

    def ran_out_m(self, arrangement: Arrangement, held: Hold, holding_kn: Floats) -> Floats:
        """Return the metres (n, lines) that take the load by cell down to the holding at the stiffness of the
        line there, on its path in the held state; 0 where the cell shows no more, is said to be wrong, or
        the path is not known.

        The length that such a load stands for is a hypothesis: only the difference of two of them is used.
        """
        metres = np.zeros(self.by_cell_kn.shape)
        cells = np.where(self.cell_misled, np.nan, self._cells_of(held))
        at = np.flatnonzero((cells > holding_kn * (1.0 + GRIP)).any(axis=1))
        if at.size:
            pose = held.at(at).pose
            rope = [unstretched_for(arrangement, pose, load) for load in (holding_kn, cells[at])]
            more = np.where(cells[at] > holding_kn * (1.0 + GRIP), rope[0] - rope[1], 0.0)
            metres[at] = np.maximum(np.nan_to_num(more), 0.0)
        return metres

    def unclear(self, slipped: Hold, holding_kn: Floats) -> Flags:
        """Return where (n, lines) more may have run out than the slipped state has: its load is not known, or
        stands above the holding, or a cell said to be wrong shows more."""
        load, limit = slipped.lines.tension_kn, holding_kn * (1.0 + 10.0 * GRIP)
        wrong = self.cell_misled & (self._cells_of(slipped) > limit)
        unclear: Flags = np.isnan(load) | (load > limit) | wrong
        return unclear

    def _cells_of(self, held: Hold) -> Floats:
        """Return the cells of lines that have a length."""
        return np.where(np.isnan(held.lines.unstretched_m), np.nan, self.by_cell_kn)
