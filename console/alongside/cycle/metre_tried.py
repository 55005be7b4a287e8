"""What a metre of a line would do, let out or taken in: tried on the mechanics in balance, the other lines
taking up what it gives away. Nothing is guessed from one line alone."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import isnan, nan
from typing import Final

import numpy as np

from alongside.cycle.line_moment import Compiled, Moment, with_figures
from alongside.cycle.picture import Picture
from alongside.mechanics.hold import hold, standing_off
from alongside.mechanics.reasons import REASONS
from alongside.mechanics.situation import joined
from alongside.readings import Floats
from alongside.stay.causes import Cause
from alongside.stay.stage import Stage

METRE: Final = 1.0
MATTERS_KN: Final = 0.5
"""A change of another line's load from which it is named."""
NO_ANSWER: Final = "more than the rope's curve goes to"


@dataclass(frozen=True, slots=True)
class Tried:
    """One change of length, m (+ out, - in), and what follows in balance; NaN where not known, with `why`.
    `other` is the line whose load changes most, by `other_kn`; "" where none changes. `off_m`: the ship off
    her nearest fender then, negative while she lies on it."""

    pay_out_m: float
    tension_kn: float = nan
    load_share: float = nan
    stretch_share: float = nan
    vertical_deg: float = nan
    stages: Mapping[Cause, Stage] = field(default_factory=dict)
    other: str = ""
    other_kn: float = nan
    off_m: float = nan
    why: str = ""


@dataclass(frozen=True, slots=True)
class MetreTried:
    """A metre out and a metre in of a line; `why` says why nothing is tried."""

    out: Tried = Tried(METRE)
    in_: Tried = Tried(-METRE)
    why: str = ""


def metre_tried(compiled: Compiled, picture: Picture, line: str, metre: float = METRE) -> MetreTried:
    """Return what so many metres of a line would do at the instant of a Picture, the wind as it blows."""
    present, column = picture.present, compiled.arrangement.ids.index(line)
    row = next(each for each in picture.lines if each.id == line)
    if present is None or isnan(row.tension_kn):
        return MetreTried(why=row.why or "nothing is known of it now")
    if line in present.asked:
        return MetreTried(why="look at its winch first: nobody knows what is out")
    if present.unstretched.size != len(compiled.arrangement.ids):
        return MetreTried(why="lines are being changed")
    lengths = np.tile(present.unstretched, (3, 1))
    lengths[1:, column] += (metre, -metre)
    possible = lengths[2, column] > 0.0
    if not possible:
        lengths[2, column] = lengths[0, column]
    held = hold(compiled.arrangement, joined([present.situation()] * 3), lengths)
    if held.reason[0]:
        return MetreTried(why=REASONS[int(held.reason[0])])
    off = standing_off(compiled.arrangement, held.pose)

    def tried(at: int, pay_out_m: float) -> Tried:
        if held.reason[at]:
            return Tried(pay_out_m, why=REASONS[int(held.reason[at])])
        here = with_figures(compiled, Moment("now", picture.time, picture.tide), held, at, column)
        if isnan(here.tension_kn):
            return Tried(pay_out_m, why=NO_ANSWER)
        other, change = _most_changed(held.lines.tension_kn[at] - held.lines.tension_kn[0], column)
        return Tried(
            pay_out_m,
            here.tension_kn,
            here.load_share,
            here.stretch_share,
            here.vertical_deg,
            here.stages,
            "" if other is None else compiled.arrangement.ids[other],
            change,
            float(off[at]),
        )

    taken_in = tried(2, -metre) if possible else Tried(-metre, why="that much rope is not out")
    return MetreTried(tried(1, metre), taken_in)


def _most_changed(change: Floats, column: int) -> tuple[int | None, float]:
    """Return the other line whose load changes most, and by how much, kN; None where none does."""
    others = np.nan_to_num(change.copy())
    others[column] = 0.0
    most = int(np.abs(others).argmax())
    if abs(others[most]) < MATTERS_KN:
        return None, nan
    return most, float(others[most])
