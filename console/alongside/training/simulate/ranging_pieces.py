"""The ship of a simulated stay as she ranges, piece by piece: what pushes her becomes the force with which
the balance gives the pose she then has."""

from dataclasses import replace
from typing import Final

import numpy as np

from alongside.cycle.lengths import Lengths, changes_due
from alongside.errors import WrongInput
from alongside.mechanics.arrangement import Arrangement
from alongside.mechanics.ranging import Motion, at_rest, inertia_of, ranged
from alongside.mechanics.situation import Situation
from alongside.stay.model import Stay
from alongside.training.simulate.sea import Sea
from alongside.units import iso_time

PIECE_S: Final = 60.0
"""Lengths are those of the beginning for so long: a brake that renders is heeded within this time."""
QUIET_KN: Final = 0.5
QUIET_KNM: Final = 20.0
"""Once all that is left of her motion is less than this she lies still again."""


class Ranging:
    """Her motion from one piece to the next; None while she lies still."""

    def __init__(self, stay: Stay, arrangement: Arrangement, sea: Sea, interval_s: float) -> None:
        if not arrangement.balanced:
            raise WrongInput(
                f"{stay.file}: simulate: waves and ships that pass move no ship that is kept in place, "
                "expected balance: on and fenders"
            )
        self._arrangement, self._sea, self._interval_s = arrangement, sea, interval_s
        self._file, self._depth = stay.file, stay.berth.charted_depth
        self._rows = max(1, round(PIECE_S / interval_s))
        self._motion: Motion | None = None

    def next_piece(self, rest: Situation, stay: Stay, lengths: Lengths) -> Situation:
        """Return the first instants of the rest of a block, with what moves her as a force. None of them but
        the first is one at which the stay file changes a length."""
        felt = self._sea.felt(rest.time)
        if self._motion is None and not felt[0]:
            return rest.rows(0, int(felt.argmax()) if felt.any() else len(rest))
        piece = rest.rows(0, min(self._rows, len(rest)))
        due = changes_due(stay, lengths, piece)
        if due:
            piece = rest.rows(0, max(1, due[0]))
        unstretched = lengths.unstretched
        if not (unstretched > 0.0).any():
            self._motion = None
            return replace(piece, other_force=self._sea.push(piece.time))
        return self._moved(piece, unstretched, bool(felt[: len(piece)].any()))

    def _moved(self, piece: Situation, unstretched: np.ndarray, is_felt: bool) -> Situation:
        arrangement = self._arrangement
        motion = self._motion or at_rest(arrangement, piece, unstretched)
        draught = float(0.5 * (piece.draught_fwd + piece.draught_aft)[0])
        depth = float(piece.tide[0]) + (np.nan if self._depth is None else self._depth)
        inertia = inertia_of(arrangement.exposure.ship, draught, depth)
        try:
            force, motion = ranged(
                arrangement,
                piece,
                unstretched,
                self._sea.push,
                motion,
                inertia,
                self._interval_s,
                arrangement.brake_kn,
            )
        except ValueError as error:
            raise WrongInput(f"{self._file}: simulate: {iso_time(float(piece.time[0]))}: {error}") from error
        quiet = np.abs(force).max(axis=0) < (QUIET_KN, QUIET_KN, QUIET_KNM)
        self._motion = motion if is_felt or not quiet.all() else None
        return replace(piece, other_force=force)
