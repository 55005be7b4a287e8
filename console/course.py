"""The course of a block: lengths and loads of all lines from its first instant to its last.

Lengths change at instants only: made fast, tended, or a winch brake that renders. Between two such instants
all lengths are constant and the mechanics take the rows in one call.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from console.actions import Action, TendLine
from console.alerts.model import Event
from console.mechanics.arrangement import Arrangement
from console.mechanics.hold import hold, stacked
from console.mechanics.render import Rendered, render
from console.mechanics.state import Hold
from console.readings import Floats, Quality
from console.run_out import RunOut, told
from console.situation import Situation
from console.stay.model import Stay
from console.tending import Lengths, apply_changes, changes_due, tend_by_hand


@dataclass(frozen=True, slots=True)
class Course:
    """What a block ended with, what there is to tell of it, and how the set held at each instant."""

    lengths: Lengths
    told: tuple[Event, ...]
    hold: Hold


def course_of(
    stay: Stay,
    arrangement: Arrangement,
    lengths: Lengths,
    situation: Situation,
    actions: Sequence[Action],
    running: bool,
) -> Course:
    """Follow the lines through n instants. `actions` take effect at the first; `running` says that there were
    instants before, so that a line made fast now is news."""
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
        lengths, held = _stretch_of(arrangement, lengths, situation.rows(start, stop), ran)
        parts += held
    untold, run_out = told(lengths.untold, ran, situation.time)
    return Course(replace(lengths, untold=untold), events + run_out, stacked(parts))


def _stretch_of(
    arrangement: Arrangement, lengths: Lengths, situation: Situation, ran: list[RunOut]
) -> tuple[Lengths, list[Hold]]:
    """A stretch in which nobody touches the lines; brakes may render. What runs out is put on `ran`.

    Brakes are looked at only where the ship's lie follows from the balance: held in place she would lose
    rope to a pose that she would not take. After a brake has rendered the next rows are taken few at a time,
    since it may render again; each piece without it doubles the next.
    """
    parts: list[Hold] = []
    row, most = 0, len(situation)
    while row < len(situation):
        piece = situation.rows(row, min(row + most, len(situation)))
        held = hold(arrangement, piece, lengths.unstretched)
        rendered = _rendered(arrangement, piece, held, lengths.unstretched)
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
    arrangement: Arrangement, situation: Situation, held: Hold, unstretched: Floats
) -> Rendered | None:
    """The first brake that renders. What runs out does not come back, so a doubtful gauge does not count."""
    if not arrangement.balanced:
        return None
    good = situation.quality == Quality.GOOD
    if not good.all():
        doubted = replace(held.lines, tension_kn=np.where(good[:, None], held.lines.tension_kn, np.nan))
        held = replace(held, lines=doubted)
    return render(arrangement, situation, held, unstretched)
