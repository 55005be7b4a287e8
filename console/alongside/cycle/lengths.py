"""Which unstretched length each line has, and when it changed: made fast, paid out, hove in.

Lengths change at instants only. `Lengths` is what is remembered between blocks of cycles; `changes_due`
finds the rows of a block at which something happens, so that between two rows all lengths are constant
and the mechanics can take the rows in one call.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import isfinite, nan
from typing import Final

import numpy as np

from alongside.actions import TendLine
from alongside.alerts.model import Event
from alongside.cycle.brakes.model import NO_BRAKES, Brakes
from alongside.mechanics.arrangement import Arrangement
from alongside.mechanics.hold import hold
from alongside.mechanics.making_fast import unstretched_for
from alongside.mechanics.pose import in_place
from alongside.mechanics.situation import Situation
from alongside.readings import Floats
from alongside.stay.model import Line, Stay, Tend
from alongside.units import iso_time, tonnes_force

LATE_S: Final = 60.0
"""What is done so long after its time is reported as late."""
CLOCK_GRAIN_S: Final = 1e-3
BREAK_S: Final = 10.0
"""Cycles farther apart than this do not follow on each other."""


@dataclass(frozen=True, slots=True)
class RunOut:
    """In records of old: metres of one line that ran out, since a time (UNIX seconds)."""

    line: str
    metres: float
    since: float


@dataclass(frozen=True, slots=True)
class Lengths:
    """What every line has out. `unstretched` (lines,) is the main rope's unstretched length, m, NaN while a
    line is not made fast; `fast` says which lines have been; `tended` counts the tendings of the stay
    file that are done, by line."""

    unstretched: Floats
    fast: tuple[bool, ...]
    tended: tuple[int, ...]
    untold: tuple[RunOut, ...] = ()
    """In records of old: rope that was taken to have run out and was not reported yet. It is in the
    lengths."""
    good_since: float = nan
    """UNIX seconds since when every input has been good at every cycle; NaN where one was not at the last."""
    parted: tuple[float, ...] = ()
    """UNIX seconds at which each line parted, infinite where it did not; empty where none ever did."""
    brakes: Brakes = NO_BRAKES
    """What is asked of winch brakes whose lines were over their holding, and what was answered."""

    def parted_at(self) -> Floats:
        """Return (lines,) UNIX seconds at which each line parted, infinite where it did not."""
        return np.array(self.parted or (np.inf,) * len(self.fast))

    def with_line_parted(self, index: int, at: float) -> "Lengths":
        """Return the lengths once a line has parted: it has none, and is not made fast."""
        unstretched, parted = self.unstretched.copy(), self.parted_at()
        unstretched[index], parted[index] = np.nan, at
        fast = tuple(is_fast and place != index for place, is_fast in enumerate(self.fast))
        return replace(self, unstretched=unstretched, fast=fast, parted=tuple(parted.tolist()))

    @classmethod
    def before_all(cls, stay: Stay) -> "Lengths":
        """No line made fast yet."""
        n = len(stay.lines)
        return cls(np.full(n, np.nan), (False,) * n, (0,) * n)


def changes_due(stay: Stay, lengths: Lengths, situation: Situation) -> list[int]:
    """Rows, rising, of the block at which a line is made fast or tended by the stay file."""
    rows: set[int] = set()
    for index, line in enumerate(stay.lines):
        if lengths.parted and isfinite(lengths.parted[index]):
            continue
        if not lengths.fast[index]:
            row = _made_fast_row(line, situation)
            if row is None:
                continue
            rows.add(row)
        rows.update(
            row
            for tend in line.tended[lengths.tended[index] :]
            if (row := _tend_row(tend, situation)) is not None
        )
    return sorted(rows)


def apply_changes(
    stay: Stay, arrangement: Arrangement, lengths: Lengths, situation: Situation, started: bool
) -> tuple[Lengths, tuple[Event, ...]]:
    """Make fast and tend what the stay file says is due at this one instant (`situation` has one row).

    `started` says that the watch was already running: a line then made fast is news worth an event.
    """
    unstretched = lengths.unstretched.copy()
    fast, tended = list(lengths.fast), list(lengths.tended)
    events: list[Event] = []
    now = float(situation.time[0])
    for index, line in enumerate(stay.lines):
        if lengths.parted and isfinite(lengths.parted[index]):
            continue
        if not fast[index] and _made_fast_row(line, situation) == 0:
            fast[index] = True
            unstretched[index] = _length_made_fast(arrangement, index, line, situation)
            if started or abs(now - line.made_fast.at) < LATE_S or _is_odd(now, line, unstretched[index]):
                events.append(_made_fast_event(now, line, float(unstretched[index])))
        if not fast[index]:
            continue
        for tend in line.tended[tended[index] :]:
            if _tend_row(tend, situation) != 0:
                break
            change = _change(arrangement, unstretched, index, tend, situation)
            tended[index] += 1
            if unstretched[index] + change > 0.0:
                unstretched[index] += change
                events.append(tended_event(now, tend))
            else:
                events.append(_not_tended(now, line.id))
    return replace(lengths, unstretched=unstretched, fast=tuple(fast), tended=tuple(tended)), tuple(events)


def tend_by_hand(
    stay: Stay, arrangement: Arrangement, lengths: Lengths, situation: Situation, actions: Sequence[TendLine]
) -> tuple[Lengths, tuple[Event, ...]]:
    """Tend as the watch reports it, at this one instant. A line that is not there or not fast, and a
    tension that cannot be set because the pose is not known, change nothing and are reported as a note."""
    unstretched = lengths.unstretched.copy()
    events: list[Event] = []
    now = float(situation.time[0])
    ids = [line.id for line in stay.lines]
    for action in actions:
        tend = Tend(action.line, now, action.paid_out, action.to_tension_kn)
        change = np.nan
        if action.line in ids:
            index = ids.index(action.line)
            change = _change(arrangement, unstretched, index, tend, situation)
        if np.isnan(change) or not unstretched[index] + change > 0.0:
            events.append(_not_tended(now, action.line))
            continue
        unstretched[index] += change
        events.append(tended_event(now, replace(tend, paid_out=change), by=action.by))
    return replace(lengths, unstretched=unstretched), tuple(events)


def tended_event(now: float, tend: Tend, by: str = "") -> Event:
    """The event of one tending; `value` is the metres paid out (negative = hove in), None if to a tension."""
    deeds = []
    if tend.paid_out is not None:
        deeds.append(f"{'paid out' if tend.paid_out >= 0 else 'hove in'} {abs(tend.paid_out):.2f} m")
    if tend.to_tension_kn is not None:
        deeds.append(f"to {tend.to_tension_kn:.0f} kN ({tonnes_force(tend.to_tension_kn):.1f} t)")
    late = f", as of {iso_time(tend.at)}" if now - tend.at > LATE_S else ""
    text = f"Line {tend.line} {' '.join(deeds)}{late}" + (f", {by}" if by else "")
    return Event(now, "tended", line=tend.line, value=tend.paid_out, text=text)


def _not_tended(now: float, line: str) -> Event:
    why = "it is not made fast, its lead is not known, or it has no such length"
    return Event(now, "note", line=line, text=f"line {line} not tended: {why}")


def _is_odd(now: float, line: Line, length: float) -> bool:
    """Whether making fast went otherwise than the stay file has it: it could not be, or its tide or draught
    was read long after."""
    made = line.made_fast
    is_read = None in (made.tide, made.draught_fwd, made.draught_aft)
    return bool(np.isnan(length)) or (is_read and now - made.at > LATE_S)


def _made_fast_event(now: float, line: Line, length: float) -> Event:
    tension = line.made_fast.tension_kn
    if np.isnan(length):
        text = f"line {line.id} cannot carry {tension:.0f} kN there: its path is shorter than its tail"
    else:
        text = f"Line {line.id} made fast with {tension:.0f} kN, {length:.2f} m of main rope"
        if now - line.made_fast.at > LATE_S:
            text += f", as of {iso_time(line.made_fast.at)}, by the readings of now"
    return Event(now, "note", line=line.id, text=text)


def _made_fast_row(line: Line, situation: Situation) -> int | None:
    """First row at or after its time at which all is known, from readings taken since, that making it fast
    needs."""
    made = line.made_fast
    ready = situation.time >= made.at
    needs = (
        (made.tide, situation.tide),
        (made.draught_fwd, situation.draught_fwd),
        (made.draught_aft, situation.draught_aft),
        (made.heel_deg, situation.heel_deg),
    )
    for column, (stated, read) in enumerate(needs):
        if stated is None:
            ready &= ~np.isnan(read)
            if situation.age is not None:
                ready &= ~(situation.time - situation.age[:, column] < made.at - CLOCK_GRAIN_S)
    return int(ready.argmax()) if ready.any() else None


def _tend_row(tend: Tend, situation: Situation) -> int | None:
    """First row at or after its time; tending to a tension also waits for a known pose."""
    ready = situation.time >= tend.at
    if tend.to_tension_kn is not None:
        ready &= ~np.isnan(
            situation.tide + situation.draught_fwd + situation.draught_aft + situation.heel_deg
        )
    return int(ready.argmax()) if ready.any() else None


def _length_made_fast(arrangement: Arrangement, index: int, line: Line, situation: Situation) -> float:
    made = line.made_fast

    def stated(value: float | None, read: Floats) -> Floats:
        return read[:1] if value is None else np.array([value])

    then = replace(
        in_place(situation),
        tide=stated(made.tide, situation.tide),
        draught_fwd=stated(made.draught_fwd, situation.draught_fwd),
        draught_aft=stated(made.draught_aft, situation.draught_aft),
        heel_deg=stated(made.heel_deg, situation.heel_deg),
    )
    tension = np.full(len(arrangement.ids), made.tension_kn)
    return float(unstretched_for(arrangement, then, tension)[0, index])


def _change(
    arrangement: Arrangement, unstretched: Floats, index: int, tend: Tend, situation: Situation
) -> float:
    """Metres of main rope that this tending adds; NaN where it cannot be said."""
    if tend.paid_out is not None:
        return tend.paid_out
    pose = hold(arrangement, situation, unstretched).pose
    tension = np.full(len(arrangement.ids), tend.to_tension_kn)
    return float(unstretched_for(arrangement, pose, tension)[0, index] - unstretched[index])
