"""Loads of lines that were measured, beside all that the computed ones rest on."""

from dataclasses import dataclass
from enum import IntEnum
from typing import Final

import numpy as np

from alongside.mechanics.situation import Situation
from alongside.readings import Codes, Floats


class Left(IntEnum):
    """Why a load does not count."""

    COUNTS = 0
    NOTHING = 1
    """No cell, no signal, or no line out."""
    DOUBTED = 2
    """The cell, the tide or a draught is doubtful."""
    CHANGED = 3
    """The line was tended a moment ago: the cell's mean is still that of before."""
    AT_BRAKE = 4
    """The brake may render, or is in question: the length is not sure."""
    AUTOMATIC = 5
    """The winch is on automatic: the length is not constant."""
    UNKNOWN = 6
    """Where she lies is not known."""
    BEFORE = 7
    """It rests on a stiffness that another was accepted for since."""


LEFT_WORDS: Final = {
    Left.DOUBTED: "doubtful",
    Left.CHANGED: "just tended",
    Left.AT_BRAKE: "near the brake's holding",
    Left.AUTOMATIC: "winch on automatic",
    Left.UNKNOWN: "tide or draught not known",
    Left.BEFORE: "before the stiffness of now was accepted",
}


@dataclass(frozen=True, slots=True, eq=False)
class Observed:
    """n instants in order of time. Arrays (n, lines) in the order of the stay: `unstretched` main rope m as
    the stay has it, NaN for none; `load_kn` as measured, NaN where none counts; `sigma_kn` one standard
    deviation of it where that is stated, 0 else; `by_hand` 1 where somebody has read it; `left` why one does
    not count, `Left`."""

    situation: Situation
    unstretched: Floats
    load_kn: Floats
    sigma_kn: Floats
    by_hand: Codes
    left: Codes

    def __len__(self) -> int:
        return len(self.situation)

    @property
    def counts(self) -> np.ndarray:
        """Return (n, lines) whether a load counts."""
        return np.asarray((self.left == Left.COUNTS) & ~np.isnan(self.load_kn) & ~np.isnan(self.unstretched))

    def at(self, rows: np.ndarray) -> "Observed":
        """Return chosen instants, in order of time."""
        return Observed(
            self.situation.at(rows),
            self.unstretched[rows],
            self.load_kn[rows],
            self.sigma_kn[rows],
            self.by_hand[rows],
            self.left[rows],
        )

    def epochs(self, column: int) -> Codes:
        """Return (n,) which stretch of one length each instant belongs to, 0 for the first: a new one begins
        where somebody has tended the line."""
        length = self.unstretched[:, column]
        known = np.flatnonzero(~np.isnan(length))
        codes = np.zeros(len(length), dtype=np.int8)
        if known.size:
            turned = np.concatenate([[False], np.abs(np.diff(length[known])) > SAME_M])
            codes[known] = np.minimum(np.cumsum(turned), 100)
        return codes


SAME_M: Final = 1e-4
"""Lengths nearer than this, m, are one: nobody tends so little, and records have seven digits."""
