"""When what the lines hold is calculated anew, and from which directions.

It rests on tide, draughts, heel, current and the lengths of the lines. It is calculated anew in each full
minute, and at once where one of them has moved by so much that it counts, or comes to be known or is lost.
These instants are the same however a stay is cut into blocks.
"""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from alongside.mechanics.hold import why_unknown
from alongside.mechanics.reasons import NoAnswer
from alongside.mechanics.situation import Situation
from alongside.readings import Floats

ANEW_S: Final = 60.0
CHANGED_M: Final = 0.05
"""m of main rope that make a length another one: the least that is slacked or heaved. What a brake lets out
bit by bit counts once it comes to this. The same of tide and draughts, and of her side by heel."""
CURRENT_MS: Final = 0.1
"""A current that changes by so much leans on her otherwise; common practice, no source."""
_A_HAIR: Final = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class Rest:
    """What the answer of an instant rests on: the number of its minute, the situation (one row), and the
    lengths of main rope, m (lines,)."""

    period: int
    situation: Situation
    lengths: Floats

    @classmethod
    def at(cls, situation: Situation, lengths: Floats, row: int) -> "Rest":
        here = replace(situation.at(np.array([row])), age=None)
        return cls(int(periods(situation)[row]), here, lengths[row].copy())


def periods(situation: Situation) -> NDArray[np.int64]:
    """Return (n,) the number of the minute of each instant."""
    return np.floor(situation.time / ANEW_S).astype(np.int64)


def fresh_rows(situation: Situation, lengths: Floats, breadth: float, before: Rest | None) -> list[int]:
    """Return the rows, rising, at which it is calculated anew after `before`; `lengths` (n, lines)."""
    moving, period, known = _moving(situation, breadth), periods(situation), _known(situation)
    slowly = np.append(_differ(lengths[1:], lengths[:-1], 0.0), True)
    fresh: list[int] = []
    if before is None:
        fresh.append(0)
        last = moving[0], period[0], known[0], lengths[0]
    else:
        was = before.situation
        last = _moving(was, breadth)[0], before.period, _known(was)[0], before.lengths
    row = len(fresh)
    count = len(situation)
    while row < count:
        stop = int(np.searchsorted(period, last[1], side="right"))
        stop = count if stop <= row else min(stop + 1, count)
        part = slice(row, stop)
        anew = (period[part] != last[1]) | (known[part] != last[2])
        anew |= (np.abs(moving[part] - last[0]) >= 1.0 - _A_HAIR).any(axis=1)
        if row == 0 or slowly[row - 1 : stop - 1].any():
            anew |= _differ(lengths[part], last[3], CHANGED_M)
        if not anew.any():
            row = stop
            continue
        row += int(anew.argmax())
        fresh.append(row)
        last = moving[row], period[row], known[row], lengths[row]
        row += 1
    return fresh


def differ(lengths: Floats, others: Floats) -> bool:
    """Return whether any of (lines,) lengths is another one at all."""
    return bool(_differ(lengths, others, 0.0))


def _moving(situation: Situation, breadth: float) -> Floats:
    """Return (n, 6) what moves, in units of what counts; 0 where it is not known."""
    course = np.radians(situation.current_to)
    parts = (
        situation.tide / CHANGED_M,
        situation.draught_fwd / CHANGED_M,
        situation.draught_aft / CHANGED_M,
        np.tan(np.radians(situation.heel_deg)) * breadth / 2.0 / CHANGED_M,
        situation.current_speed * np.sin(course) / CURRENT_MS,
        situation.current_speed * np.cos(course) / CURRENT_MS,
    )
    return np.nan_to_num(np.column_stack(parts))


def _known(situation: Situation) -> NDArray[np.bool_]:
    """Return (n,) whether all that it is calculated from is known."""
    known: NDArray[np.bool_] = why_unknown(situation) == NoAnswer.ANSWERED
    return known


def _differ(lengths: Floats, others: Floats, by_m: float) -> NDArray[np.bool_]:
    """Return whether any of (…, lines) lengths differs by so much and at all, or is known where the other is
    not."""
    apart = np.abs(lengths - others)
    return np.asarray(
        ((apart > 0.0) & (apart >= by_m - _A_HAIR) | (np.isnan(lengths) != np.isnan(others))).any(axis=-1)
    )
