"""Which unstretched length each line has, and when it changed: made fast, paid out, hove in.

Lengths change at instants only. `Lengths` is what is remembered between blocks of cycles; `changes_due`
finds the rows of a block at which something happens, so that between two rows all lengths are constant
and the mechanics can take the rows in one call.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import inf, nan
from typing import Final

import numpy as np

from alongside.actions import TendLine
from alongside.alerts.model import Event
from alongside.cycle.brakes.model import NO_BRAKES, Brakes
from alongside.cycle.deck.altered import AS_WRITTEN, OnDeck
from alongside.cycle.deck.loads_read import LoadRead
from alongside.cycle.deck.model import LineDeed, OtherDeed
from alongside.cycle.making_fast import LATE_S, fast_now, making_fast_row
from alongside.mechanics.arrangement import Arrangement
from alongside.mechanics.bights import change_to
from alongside.mechanics.hold import hold
from alongside.mechanics.making_fast import unstretched_for
from alongside.mechanics.situation import Situation
from alongside.readings import Floats
from alongside.stay.making_fast import MakingFast, makings_fast
from alongside.stay.model import Stay, Tend
from alongside.units import iso_time, tonnes_force

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
    """In records of old: UNIX seconds since when every input had been good. Nothing rests on it."""
    parted: tuple[float, ...] = ()
    """UNIX seconds at which each line parted, infinite where it did not; empty where none ever did."""
    brakes: Brakes = NO_BRAKES
    """What is asked of winch brakes whose lines were over their holding, and what was answered."""
    let_go: tuple[float, ...] = ()
    """UNIX seconds at which each line was let go, infinite where it is not; empty where none ever was."""
    deeds: tuple[LineDeed, ...] = ()
    """What was entered of lines and may be taken back, in the order in which it was done."""
    deck: OnDeck = AS_WRITTEN
    """What is not as the stay file has it any more."""
    other_deeds: tuple[OtherDeed, ...] = ()
    """What was entered of tugs and cargo and may be taken back."""
    loads_read: tuple[LoadRead, ...] = ()
    """What somebody has read of the loads of lines."""

    def parted_at(self) -> Floats:
        """Return (lines,) UNIX seconds at which each line parted, infinite where it did not."""
        return np.array(self.parted or (np.inf,) * len(self.fast))

    def let_go_at(self) -> Floats:
        """Return (lines,) UNIX seconds at which each line was let go, infinite where it is not."""
        return np.array(self.let_go or (np.inf,) * len(self.fast))

    @property
    def gone(self) -> tuple[bool, ...]:
        """Return which lines have parted or are let go: the stay file makes them fast no more."""
        parted, let_go = np.isfinite(self.parted_at()), np.isfinite(self.let_go_at())
        return tuple((parted | let_go).tolist())

    def with_line_parted(self, index: int, at: float) -> "Lengths":
        """Return the lengths once a line has parted: it has none, and is not made fast."""
        parted = self.parted_at()
        parted[index] = at
        return replace(self._without(index), parted=tuple(parted.tolist()))

    def with_line_let_go(self, index: int, at: float) -> "Lengths":
        """Return the same once a line is let go."""
        let_go = self.let_go_at()
        let_go[index] = at
        return replace(self._without(index), let_go=tuple(let_go.tolist()))

    def with_line_fast(self, index: int, unstretched_m: float, tended: int) -> "Lengths":
        """Return the lengths once a line is made fast anew; of its tendings in the stay file `tended` lie
        before that."""
        unstretched, parted, let_go = self.unstretched.copy(), self.parted_at(), self.let_go_at()
        unstretched[index], parted[index], let_go[index] = unstretched_m, np.inf, np.inf
        count = max(tended, self.tended[index])
        return replace(
            self,
            unstretched=unstretched,
            fast=tuple(is_fast or place == index for place, is_fast in enumerate(self.fast)),
            tended=tuple(count if place == index else each for place, each in enumerate(self.tended)),
            parted=tuple(parted.tolist()) if self.parted else (),
            let_go=tuple(let_go.tolist()) if self.let_go else (),
        )

    def _without(self, index: int) -> "Lengths":
        unstretched = self.unstretched.copy()
        unstretched[index] = np.nan
        fast = tuple(is_fast and place != index for place, is_fast in enumerate(self.fast))
        return replace(self, unstretched=unstretched, fast=fast)

    @classmethod
    def before_all(cls, stay: Stay) -> "Lengths":
        """No line made fast yet."""
        n = len(stay.lines)
        return cls(np.full(n, np.nan), (False,) * n, (0,) * n)


def changes_due(stay: Stay, lengths: Lengths, situation: Situation) -> list[int]:
    """Return the rows, rising, of the block at which a line is made fast or tended by the stay file."""
    rows: set[int] = set()
    coming: set[int] = set()
    for making in makings_fast(stay):
        lines = _still_to_make_fast(making, lengths)
        row = making_fast_row(making, situation) if lines else None
        if row is not None:
            rows.add(row)
            coming.update(lines)
    for index, line in enumerate(stay.lines):
        if lengths.fast[index] or index in coming:
            due = (_tend_row(tend, situation) for tend in line.tended[lengths.tended[index] :])
            rows.update(row for row in due if row is not None)
    return sorted(rows)


def apply_changes(
    stay: Stay, arrangement: Arrangement, lengths: Lengths, situation: Situation, started: bool
) -> tuple[Lengths, tuple[Event, ...]]:
    """Make fast and tend what the stay file says is due at this one instant (`situation` has one row), one
    after the other in order of time.

    `started` says that the watch was already running: a line then made fast is news worth an event.
    """
    events: list[Event] = []
    for deed in _due(stay, lengths, situation):
        if isinstance(deed, MakingFast):
            lines = _still_to_make_fast(deed, lengths)
            unstretched, news = fast_now(
                stay, arrangement, deed, lines, lengths.unstretched, situation, started
            )
            fast = tuple(is_fast or index in lines for index, is_fast in enumerate(lengths.fast))
            lengths = replace(lengths, unstretched=unstretched, fast=fast)
            events += news
        else:
            lengths, event = _tended(arrangement, lengths, deed, situation)
            events.append(event)
    return lengths, tuple(events)


def _still_to_make_fast(making: MakingFast, lengths: Lengths) -> tuple[int, ...]:
    """Return the lines of a making fast that neither are fast nor have parted nor were let go."""
    gone = lengths.gone
    return tuple(index for index in making.lines if not (lengths.fast[index] or gone[index]))


def _due(stay: Stay, lengths: Lengths, situation: Situation) -> list[MakingFast | tuple[int, Tend]]:
    """Return what is due at this one instant, in order of time: a line is made fast before it is tended."""
    due: list[tuple[float, int, MakingFast | tuple[int, Tend]]] = []
    fast_at = {index: -inf for index, is_fast in enumerate(lengths.fast) if is_fast}
    for making in makings_fast(stay):
        lines = _still_to_make_fast(making, lengths)
        if lines and making_fast_row(making, situation) == 0:
            due.append((making.at, 0, making))
            fast_at |= dict.fromkeys(lines, making.at)
    for index in sorted(fast_at):
        for tend in stay.lines[index].tended[lengths.tended[index] :]:
            if _tend_row(tend, situation) != 0:
                break
            due.append((max(tend.at, fast_at[index]), 1, (index, tend)))
    due.sort(key=lambda each: each[:2])
    return [deed for *_, deed in due]


def _tended(
    arrangement: Arrangement, lengths: Lengths, deed: tuple[int, Tend], situation: Situation
) -> tuple[Lengths, Event]:
    """Tend one line as the stay file says; one that cannot be is reported as a note."""
    index, tend = deed
    now = float(situation.time[0])
    unstretched, tended = lengths.unstretched.copy(), list(lengths.tended)
    change = _change(arrangement, unstretched, index, tend, situation)
    tended[index] += 1
    if not unstretched[index] + change > 0.0:
        return replace(lengths, tended=tuple(tended)), _not_tended(now, tend.line)
    unstretched[index] += change
    return replace(lengths, unstretched=unstretched, tended=tuple(tended)), tended_event(now, tend)


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
        deeds.append(f"{'slacked' if tend.paid_out >= 0 else 'hove in'} {abs(tend.paid_out):.2f} m")
    if tend.to_tension_kn is not None:
        deeds.append(f"to {tend.to_tension_kn:.0f} kN ({tonnes_force(tend.to_tension_kn):.1f} t)")
    late = f", as of {iso_time(tend.at)}" if now - tend.at > LATE_S else ""
    text = f"Line {tend.line} {' '.join(deeds)}{late}" + (f", {by}" if by else "")
    return Event(now, "tended", line=tend.line, value=tend.paid_out, text=text)


def _not_tended(now: float, line: str) -> Event:
    why = "it is not made fast, its lead is not known, or it has no such length"
    return Event(now, "note", line=line, text=f"line {line} not tended: {why}")


def _tend_row(tend: Tend, situation: Situation) -> int | None:
    """First row at or after its time; tending to a tension also waits for a known pose."""
    ready = situation.time >= tend.at
    if tend.to_tension_kn is not None:
        ready &= ~np.isnan(
            situation.tide + situation.draught_fwd + situation.draught_aft + situation.heel_deg
        )
    return int(ready.argmax()) if ready.any() else None


def _change(
    arrangement: Arrangement, unstretched: Floats, index: int, tend: Tend, situation: Situation
) -> float:
    """Metres of main rope that this tending adds; NaN where it cannot be said."""
    if tend.paid_out is not None:
        return tend.paid_out
    pose = hold(arrangement, situation, unstretched).pose
    tension = np.full(len(arrangement.ids), tend.to_tension_kn)
    wanted = unstretched_for(arrangement, pose, tension)[0]
    return change_to(arrangement.partners, wanted, unstretched, index)
