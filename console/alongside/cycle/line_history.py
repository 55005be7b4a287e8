"""The lines through a block: lengths and loads of all lines from its first instant to its last.

Lengths change at instants only: made fast, tended, or a winch brake that renders. Between two such instants
all lengths are constant and the mechanics take the rows in one call.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from alongside.actions import Action, TendLine
from alongside.alerts.model import Event
from alongside.cycle.lengths import Lengths, apply_changes, changes_due, tend_by_hand
from alongside.cycle.line_known import with_reasons
from alongside.cycle.run_out import RunOut, run_out_events
from alongside.mechanics.arrangement import Arrangement
from alongside.mechanics.hold import hold, stacked
from alongside.mechanics.render import Rendered, render
from alongside.mechanics.situation import Situation
from alongside.mechanics.state import Hold
from alongside.readings import Floats
from alongside.stay.model import Stay

BREAK_S: Final = 10.0
"""Cycles farther apart than this do not follow on each other."""


@dataclass(frozen=True, slots=True)
class LineHistory:
    """The lengths that a block ended with, its events, and how lines and fenders held at each instant."""

    lengths: Lengths
    events: tuple[Event, ...]
    hold: Hold


def line_history(
    stay: Stay,
    arrangement: Arrangement,
    lengths: Lengths,
    situation: Situation,
    actions: Sequence[Action],
    running: bool,
    good: NDArray[np.bool_],
) -> LineHistory:
    """Return the lines through n instants. `actions` take effect at the first; `running` says that there were
    instants before, so that a line made fast now is news. `good` (n,): where every input is."""
    since = _good_since(situation.time, good, lengths.good_since)
    settled = situation.time - since >= settling_s(stay)
    events: tuple[Event, ...] = ()
    parts: list[Hold] = []
    ran: list[RunOut] = []
    edges = sorted({0, *changes_due(stay, lengths, situation), len(situation)})
    for start, stop in pairwise(edges):
        here = situation.rows(start, start + 1)
        lengths, changed = apply_changes(stay, arrangement, lengths, here, running or start > 0)
        events += changed
        if start == 0:
            by_hand = [action for action in actions if isinstance(action, TendLine)]
            lengths, changed = tend_by_hand(stay, arrangement, lengths, here, by_hand)
            events += changed
        stretch = situation.rows(start, stop), settled[start:stop]
        lengths, held = _stretch_of(arrangement, lengths, *stretch, ran)
        whole = stacked(held)
        parts.append(with_reasons(stay, lengths, whole, stretch[0].time))
    unreported, run_out = run_out_events(lengths.untold, ran, situation.time)
    lengths = replace(lengths, untold=unreported, good_since=float(since[-1]))
    return LineHistory(lengths, events + run_out, stacked(parts))


def settling_s(stay: Stay) -> float:
    """Return how long, s, inputs must have been good before a brake may be taken to render: a mean over some
    minutes is none yet while only its first values are in, and rope that ran out does not come back."""
    return max((source.smooth_s for feed in stay.feeds for source in feed.channels), default=0.0)


def _good_since(time: Floats, good: NDArray[np.bool_], before: float) -> Floats:
    """Return (n,) since when every input has been good without a break, NaN where one is not; `before` is the
    same at the last instant before the first."""
    new = np.append(False, ~good[:-1] | (np.diff(time) > BREAK_S))
    begun = np.where(new, time, -np.inf)
    begun[0] = before if before <= time[0] else time[0]
    return np.where(good, np.maximum.accumulate(begun), np.nan)


def _stretch_of(
    arrangement: Arrangement,
    lengths: Lengths,
    situation: Situation,
    settled: NDArray[np.bool_],
    ran: list[RunOut],
) -> tuple[Lengths, list[Hold]]:
    """Return lengths and holds through a stretch in which nobody touches the lines; brakes may render where
    inputs have `settled` (n,). What runs out is put on `ran`.

    Brakes are looked at only where the ship's lie follows from the balance: held in place she would lose
    rope to a pose that she would not take. After a brake has rendered the next rows are taken few at a time,
    since it may render again; each piece without it doubles the next.
    """
    parts: list[Hold] = []
    row, most = 0, len(situation)
    while row < len(situation):
        piece = situation.rows(row, min(row + most, len(situation)))
        held = hold(arrangement, piece, lengths.unstretched)
        sure = settled[row : row + len(piece)]
        rendered = _rendered(arrangement, piece, held, lengths.unstretched, sure)
        if rendered is None:
            parts.append(held)
            row, most = row + len(piece), 2 * most
            continue
        if rendered.row:
            parts.append(held.rows(0, rendered.row))
        lengths = replace(lengths, unstretched=rendered.unstretched)
        here = piece.rows(rendered.row, rendered.row + 1)
        parts.append(hold(arrangement, here, lengths.unstretched))
        ran += [
            RunOut(line, float(metres), float(here.time[0]))
            for line, metres in zip(arrangement.ids, rendered.metres, strict=True)
            if metres > 0.0
        ]
        row, most = row + rendered.row + 1, 1
    return lengths, parts


def _rendered(
    arrangement: Arrangement,
    situation: Situation,
    held: Hold,
    unstretched: Floats,
    sure: NDArray[np.bool_],
) -> Rendered | None:
    """Return the first brake that renders, None where none does. What runs out does not come back, so a
    doubtful gauge does not count, nor a mean that has only begun: only instants that are `sure` (n,)."""
    if not arrangement.balanced:
        return None
    if not sure.all():
        doubted = replace(held.lines, tension_kn=np.where(sure[:, None], held.lines.tension_kn, np.nan))
        held = replace(held, lines=doubted)
    return render(arrangement, situation, held, unstretched)
