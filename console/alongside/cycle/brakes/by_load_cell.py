"""A load cell answers for a brake: while it is good by its own witnesses, and agrees for a minute with one of
the two states and not with the other."""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from alongside.cycle.brakes.model import Brakes, State
from alongside.cycle.brakes.two_states import BothStates
from alongside.cycle.lengths import BREAK_S
from alongside.mechanics.arrangement import Arrangement
from alongside.mechanics.cell_loads import cell_loads
from alongside.readings import MISLEADS, Floats, Quality, Readings
from alongside.stay.channels import TENSION
from alongside.stay.model import Stay

Flags = NDArray[np.bool_]

MISLEADING: Final = tuple(MISLEADS)
AGREES_S: Final = 60.0
NEAR_SHARE: Final = 0.10
"""Of the working load limit, where the file has no limit for a cell off the computed load: so near a cell
agrees. Common practice, no source."""
STATES: Final[tuple[State, ...]] = ("", "held", "slipped")


@dataclass(frozen=True, slots=True, eq=False)
class Cells:
    """What the load cells measure, (n, lines) kN, NaN where there is none, or it is not good; within how
    many kN (lines,) each agrees with a computed load; and over how many s (lines,) each is a mean.
    `doubtful_kn` is the load by cells that are not good and count beside the computed one, `misled` where
    another witness says that the figure is wrong."""

    measured_kn: Floats
    near_kn: Floats
    smooth_s: Floats
    doubtful_kn: Floats
    misled: Flags

    @classmethod
    def of(cls, stay: Stay, arrangement: Arrangement, readings: Readings) -> "Cells":
        """Return the cells of a stay at the instants of its readings."""
        loads = cell_loads(readings, arrangement.ids)
        good, misled = np.zeros(loads.shape, dtype=bool), np.zeros(loads.shape, dtype=bool)
        smooth_s = np.zeros(len(arrangement.ids))
        means = {source.channel: source.smooth_s for feed in stay.feeds for source in feed.channels}
        for column, line in enumerate(arrangement.ids):
            if (name := f"{TENSION}{line}") in readings.channels:
                at = readings.channels.index(name)
                good[:, column] = readings.quality[:, at] == Quality.GOOD
                misled[:, column] = np.isin(readings.reason[:, at], MISLEADING)
                smooth_s[column] = means.get(name, 0.0)
        used = [limit for limit in stay.limits.tension_share.as_tuple() if limit == limit]
        share = used[0] if used else NEAR_SHARE
        return cls(
            np.where(good, loads, np.nan),
            share * arrangement.smallest_wll_kn,
            smooth_s,
            np.where(good, np.nan, loads),
            misled,
        )

    @classmethod
    def none(cls, n: int, lines: int) -> "Cells":
        """Return no cells at n instants."""
        nothing = np.full((n, lines), np.nan)
        return cls(nothing, np.zeros(lines), np.zeros(lines), nothing, np.zeros((n, lines), dtype=bool))

    def rows(self, start: int, stop: int) -> "Cells":
        """Return the instants start..stop-1 as views."""
        part = slice(start, stop)
        parts = self.doubtful_kn[part], self.misled[part]
        return Cells(self.measured_kn[part], self.near_kn, self.smooth_s, *parts)

    def counted_kn(self, time: Floats, changed_at: Floats) -> Floats:
        """Return the loads (n, lines) that count beside those computed, NaN where there is none, and while
        the mean holds values of before the length changed, `changed_at` (lines,)."""
        mixed = time[:, None] - changed_at < self.smooth_s
        return np.where(mixed, np.nan, np.fmax(self.measured_kn, self.doubtful_kn))


@dataclass(frozen=True, slots=True)
class CellAnswer:
    """At `row` of the block the load cell of a line has agreed long enough with one state."""

    row: int
    line: str
    state: State


def first_answer(both: BothStates, cells: Cells, lines: tuple[str, ...], time: Floats) -> CellAnswer | None:
    """Return the first answer of a load cell in n instants at `time` (n,); None where there is none."""
    answers: list[CellAnswer] = []
    for line, says, since in _agreements(both, cells, lines, time):
        long = (says > 0) & (time - since >= AGREES_S)
        if long.any():
            row = int(long.argmax())
            answers.append(CellAnswer(row, line, STATES[says[row]]))
    return min(answers, key=lambda each: each.row, default=None)


def with_agreements(
    brakes: Brakes, both: BothStates, cells: Cells, lines: tuple[str, ...], time: Floats, row: int
) -> Brakes:
    """Return what is remembered at one instant with the state that each load cell has agreed with since
    when."""
    agree = {
        line: (STATES[says[row]], float(since[row]))
        for line, says, since in _agreements(both, cells, lines, time)
    }
    questions = tuple(
        replace(each, agrees=agree[each.line][0], agrees_since=agree[each.line][1])
        if each.line in agree
        else each
        for each in brakes.questions
    )
    return replace(brakes, questions=questions)


def _agreements(
    both: BothStates, cells: Cells, lines: tuple[str, ...], time: Floats
) -> list[tuple[str, np.ndarray, Floats]]:
    """Return, of each line in question with a cell, the place (n,) in `STATES` of the one state that the cell
    agrees with, 0 for neither or both, and since when (n,)."""
    if both.slipped is None:
        return []
    found = []
    for column, line in enumerate(lines):
        measured = cells.measured_kn[:, column]
        asked = ~np.isnan(both.slipped.over.ran_out_m[:, column])
        if not asked.any() or np.isnan(measured).all():
            continue
        near = cells.near_kn[column]
        held = np.abs(measured - both.held.lines.tension_kn[:, column]) <= near
        slipped = np.abs(measured - both.slipped.hold.lines.tension_kn[:, column]) <= near
        says = np.where(asked & (held != slipped), np.where(held, 1, 2), 0)
        before = both.brakes.question(line)
        first = STATES.index(before.agrees) if before is not None else 0
        new = np.append(says[0] != first, (says[1:] != says[:-1]) | (np.diff(time) > BREAK_S))
        begun = np.where(new, time, -np.inf)
        if not new[0] and before is not None:
            begun[0] = before.agrees_since
        found.append((line, says, np.maximum.accumulate(np.nan_to_num(begun, nan=-np.inf))))
    return found
