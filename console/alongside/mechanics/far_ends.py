"""Where lines end off the ship: on the quay, on what floats, or on another ship.

A bollard of the quay keeps its height over chart datum. One that floats, and one on a pontoon, keeps its
height over the water: it rides with the tide. One on a ship or barge rides with the tide and her draught.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from alongside.readings import Floats
from alongside.stay.model import Beside, Bollard, Stay


@dataclass(frozen=True, slots=True, eq=False)
class Neighbour:
    """A ship whose draught, m (k,), is known at times (k,), UNIX s, and goes straight in between; it stands
    before the first and after the last. `lines` (lines,) is 1 for those that end on her, else 0."""

    time: Floats
    draught: Floats
    lines: Floats

    def draught_at(self, time: Floats) -> Floats:
        """Return her draught (n,) m; NaN at a time that is not known, unless it is always the same."""
        if self.time.size == 1:
            return np.full(time.shape, self.draught[0])
        return np.asarray(np.interp(time, self.time, self.draught), dtype=np.float64)


@dataclass(frozen=True, slots=True, eq=False)
class FarEnds:
    """`at` (lines, 3) berth frame, z over chart datum, over the water or over a keel; `rides` (lines,) 1
    where the height rides with the tide, else 0; `neighbours` on whose draught it rides too."""

    at: Floats
    rides: Floats
    neighbours: tuple[Neighbour, ...] = ()
    moves: NDArray[np.bool_] | None = None
    """(lines,) which end on a ship that is made fast to her, and moves with her; None for none."""

    def height(self, tide: Floats, time: Floats) -> Floats:
        """Return heights over chart datum, m, (lines, 1) where all stand fast, else (lines, n)."""
        height: Floats = self.at[:, 2, None]
        if not self.rides.any():
            return height
        height = height + np.where(self.rides[:, None] > 0.0, tide, 0.0)
        for each in self.neighbours:
            height = height - np.where(each.lines[:, None] > 0.0, each.draught_at(time), 0.0)
        return height

    def hold_her(self) -> Floats | float:
        """Return (lines, 1) 1 for lines that hold her to the quay, 0 for those to a ship that she carries
        along."""
        return 1.0 if self.moves is None else np.where(self.moves, 0.0, 1.0)[:, None]


def far_ends_of(stay: Stay) -> FarEnds:
    """Return where each line of a stay ends."""
    bollards = [stay.berth.bollards[line.bollard] for line in stay.lines]
    moves = np.array([each.on != "" and stay.beside[each.on].lies == "outside" for each in bollards])
    points = [(each.at.x, each.at.y, each.at.z) for each in bollards]
    return FarEnds(
        at=np.array(points, dtype=np.float64).reshape(len(points), 3),
        rides=np.array([each.rides for each in bollards], dtype=np.float64),
        neighbours=_neighbours(stay, bollards),
        moves=moves if moves.any() else None,
    )


def _neighbours(stay: Stay, bollards: Sequence[Bollard]) -> tuple[Neighbour, ...]:
    found = []
    for name, ship in stay.beside.items():
        lines = np.array([each.on == name for each in bollards], dtype=np.float64)
        if lines.any():
            found.append(draught_of(ship, lines))
    return tuple(found)


def draught_of(ship: Beside, lines: Floats) -> Neighbour:
    """Return a ship with her draughts, and the lines that end on her."""
    time, draught = np.array(ship.draughts, dtype=np.float64).T
    return Neighbour(time, draught, lines)
