"""Lines made fast by the stay file: when all that it needs is known, the lengths, and what is said of it."""

from typing import Final

import numpy as np

from alongside.alerts.model import Event
from alongside.mechanics.arrangement import Arrangement
from alongside.mechanics.settled_lengths import make_fast
from alongside.mechanics.situation import Situation
from alongside.readings import Floats
from alongside.stay.making_fast import MakingFast
from alongside.stay.model import Line, Stay
from alongside.units import iso_time

LATE_S: Final = 60.0
"""What is done so long after its time is reported as late."""
CLOCK_GRAIN_S: Final = 1e-3


def making_fast_row(making: MakingFast, situation: Situation) -> int | None:
    """Return the first row at or after its time at which all is known, from readings taken since, that making
    fast needs; None where there is none."""
    ready = situation.time >= making.at
    needs = (
        (making.tide, situation.tide),
        (making.draught_fwd, situation.draught_fwd),
        (making.draught_aft, situation.draught_aft),
        (making.heel_deg, situation.heel_deg),
    )
    for column, (stated, read) in enumerate(needs):
        if stated is None:
            ready &= ~np.isnan(read)
            if situation.age is not None:
                ready &= ~(situation.time - situation.age[:, column] < making.at - CLOCK_GRAIN_S)
    return int(ready.argmax()) if ready.any() else None


def fast_now(
    stay: Stay,
    arrangement: Arrangement,
    making: MakingFast,
    lines: tuple[int, ...],
    unstretched: Floats,
    situation: Situation,
    started: bool,
) -> tuple[Floats, list[Event]]:
    """Return the lengths (lines,) m once `lines` of a making fast are fast at this one instant, and what is
    said of it. Wind and current of now are those of then only where it is done in time, or by readings of
    now."""
    now = float(situation.time[0])
    late = now - making.at > LATE_S
    if late and not making.needs_readings:
        situation = situation.without_streams()
    settled = make_fast(stay, arrangement, making, situation, unstretched, lines)
    lengths = unstretched.copy()
    events = []
    for index in lines:
        line, lengths[index] = stay.lines[index], settled.unstretched[index]
        is_odd = np.isnan(lengths[index]) or (late and making.needs_readings)
        if started or abs(now - making.at) < LATE_S or is_odd:
            events.append(_made_fast_event(now, making, line, float(lengths[index])))
    if making.lies != "in_place" and not settled.settles:
        events.append(_in_place_event(now, making, [stay.lines[index].id for index in lines]))
    return lengths, events


def _made_fast_event(now: float, making: MakingFast, line: Line, length: float) -> Event:
    tension = line.made_fast.tension_kn
    if np.isnan(length):
        text = f"line {line.id} cannot carry {tension:.0f} kN there: its path is shorter than its tail"
        return Event(now, "note", line=line.id, text=text)
    text = f"Line {line.id} made fast with {tension:.0f} kN, {length:.2f} m of main rope"
    if now - making.at > LATE_S:
        text += f", as of {iso_time(making.at)}, by the readings of now"
    return Event(now, "made_fast", line=line.id, text=text)


def _in_place_event(now: float, making: MakingFast, lines: list[str]) -> Event:
    why = "no fender carries their pull" if making.lies == "on_fenders" else "no balance of forces found"
    which = f"line {lines[0]}" if len(lines) == 1 else f"lines {', '.join(lines)}"
    return Event(now, "note", text=f"Lengths of {which} are for the ship in place, just touching: {why}")
