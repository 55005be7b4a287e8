"""A berth in gusts, taken through the lines of a watch, cut as a test asks for it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from alongside.actions import Action
from alongside.alerts.model import Event
from alongside.cycle.brakes.by_load_cell import Cells
from alongside.cycle.brakes.two_states import SlippedState
from alongside.cycle.lengths import Lengths
from alongside.cycle.line_history import line_history
from alongside.cycle.settled_cells import lengths_changed_at
from alongside.mechanics.arrangement import Arrangement
from alongside.mechanics.hold import stacked
from alongside.mechanics.situation import Situation
from alongside.mechanics.state import Hold
from alongside.readings import Floats
from alongside.stay.model import Stay
from tests.mechanics.moored import blown
from tests.mechanics.test_render import BRAKE, berth, ready

BEGIN = 1000.0
GALE = 21.0
"""m/s square off the quay, in which every line of the berth passes its brake."""
__all__ = ["BEGIN", "BRAKE", "GALE", "Lived", "gusts", "lived", "started"]


@dataclass(frozen=True)
class Lived:
    """What came of a stretch of time."""

    lengths: Lengths
    held: Hold
    slipped: tuple[SlippedState | None, ...]
    events: tuple[Event, ...]

    @property
    def in_slipped(self) -> Hold:
        """Return the slipped state at the last instant."""
        assert self.slipped[-1] is not None
        last = self.slipped[-1]
        return last.hold.rows(len(last.hold.reason) - 1, len(last.hold.reason))


def gusts(*speeds: float) -> Situation:
    """Wind square off the quay, another speed each second."""
    return replace(
        blown(len(speeds), wind=(np.array(speeds), 180.0)), time=BEGIN + np.arange(float(len(speeds)))
    )


def started(stay: Stay | None = None) -> tuple[Stay, Arrangement, Lengths]:
    stay = stay or berth()
    arrangement, unstretched = ready(stay)
    lines = len(stay.lines)
    lengths = replace(
        Lengths.before_all(stay), unstretched=unstretched, fast=(True,) * lines, tended=(9,) * lines
    )
    return stay, arrangement, lengths


def lived(
    situation: Situation,
    actions: Mapping[int, Sequence[Action]] | None = None,
    cuts: Sequence[int] = (),
    cells: Floats | None = None,
    near_kn: float = 5.0,
    stay: Stay | None = None,
    misled: np.ndarray | None = None,
    doubtful: Floats | None = None,
    smooth_s: float = 0.0,
    cells_misled: bool = False,
) -> Lived:
    """Return what became of the lines; `actions` by the row at which they are done, `cells` good loads by
    cell, `doubtful` ones that count without being good, `misled` where a gauge is said to be wrong."""
    stay, arrangement, lengths = started(stay)
    actions = actions or {}
    n = len(situation)
    misled = np.zeros(n, dtype=bool) if misled is None else misled
    nothing = np.full((n, len(stay.lines)), np.nan)
    measured = Cells(
        nothing if cells is None else cells,
        np.full(len(stay.lines), near_kn),
        np.full(len(stay.lines), smooth_s),
        nothing if doubtful is None else doubtful,
        np.full(nothing.shape, cells_misled),
    )
    changed_at = np.full(len(stay.lines), -np.inf)
    parts, slipped, events = [], [], []
    for start, stop in pairwise(sorted({0, *cuts, *actions, n})):
        history = line_history(
            stay,
            arrangement,
            lengths,
            situation.rows(start, stop),
            actions.get(start, ()),
            True,
            misled[start:stop],
            measured.rows(start, stop),
            changed_at,
        )
        was, lengths = lengths.unstretched, history.lengths
        changed_at = lengths_changed_at(
            changed_at, was, history.hold.lines.unstretched_m, situation.time[start:stop]
        )[-1]
        parts.append(history.hold)
        slipped.append(history.slipped)
        events += history.events
    return Lived(lengths, stacked(parts), tuple(slipped), tuple(events))
