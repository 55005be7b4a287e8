"""The true loads of the lines in a simulated stay, for the load cells on some of them."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from alongside.cycle.brakes.model import NO_BRAKES
from alongside.cycle.lengths import Lengths
from alongside.cycle.line_history import line_history
from alongside.mechanics.arrangement import arrangement_of
from alongside.mechanics.situation import Situation, expected_current
from alongside.readings import Floats
from alongside.stay.model import LateEntry, Line, Stay, Tend
from alongside.training.simulate.ranging_pieces import Ranging
from alongside.training.simulate.sea import Sea
from alongside.training.simulate.weather import TrailingMean

PREFIX = "tension."
LEAN_S = 30.0
"""The ship answers to the mean wind over this time: a gust is over before she moves."""


class CellLoads:
    """Tensions by the program's own mechanics: balanced, and brakes slip at their holding. Lines are made
    fast as the stay file has it, and tended when it was done on deck."""

    def __init__(self, stay: Stay, lines: Sequence[str], interval_s: float, sea: Sea | None = None) -> None:
        self._stay = as_done(stay)
        self._arrangement = arrangement_of(stay)
        self._columns = {f"{PREFIX}{line}": self._arrangement.ids.index(line) for line in lines}
        self._lengths = Lengths.before_all(stay)
        self._started = False
        self._wind = TrailingMean(round(LEAN_S / interval_s))
        self._sea = sea
        self._ranging = None if sea is None else Ranging(stay, self._arrangement, sea, interval_s)

    def next_block(self, time: Floats, truth: Mapping[str, Floats]) -> dict[str, Floats]:
        """Return `tension.LINE` (n,) kN at the next instants, for the true channels `truth`; 0 for a line
        that is not made fast."""
        situation = self._situation(time, truth)
        if self._ranging is None:
            return self._loads(situation)
        parts, row = [], 0
        while row < time.size:
            rest = situation.rows(row, time.size)
            piece = self._ranging.next_piece(rest, self._stay, self._lengths)
            parts.append(self._loads(piece))
            row += len(piece)
        return {channel: np.concatenate([part[channel] for part in parts]) for channel in self._columns}

    def _loads(self, situation: Situation) -> dict[str, Floats]:
        """Return the loads at the next instants, and keep the lengths that they leave."""
        good = np.ones(len(situation), dtype=bool)
        history = line_history(
            self._stay, self._arrangement, self._lengths, situation, (), self._started, good
        )
        self._lengths, self._started = _if_slipped(history.lengths), True
        true = history.hold if history.slipped is None else history.slipped.hold
        tension = np.nan_to_num(true.lines.tension_kn, nan=0.0)
        return {channel: tension[:, column] for channel, column in self._columns.items()}

    def _situation(self, time: Floats, truth: Mapping[str, Floats]) -> Situation:
        """The truth as a situation: calm without wind, the current of the stay's plan."""
        calm = np.zeros(time.size)
        speed, from_deg = calm, calm
        current_speed, current_to = (calm, calm) if not self._stay.current else self._current(time)
        if "wind_speed" in truth:
            speed, from_deg = self._wind.next_block(truth["wind_speed"], truth["wind_from"])
        fwd, aft, heel = (calm, calm, calm) if self._sea is None else self._sea.lifted(time)
        return Situation(
            time=time,
            tide=truth["tide"],
            draught_fwd=truth["draught_fwd"] - fwd,
            draught_aft=truth["draught_aft"] - aft,
            heel_deg=truth["heel"] + heel,
            heel_measured=True,
            wind_speed=speed,
            wind_gust=speed,
            wind_from=from_deg,
            current_speed=current_speed,
            current_to=current_to,
            quality=np.zeros(time.size, dtype=np.int8),
        )

    def _current(self, time: Floats) -> tuple[Floats, Floats]:
        """Slack water where the plan says nothing."""
        speed, to = expected_current(self._stay.current, time)
        return np.nan_to_num(speed), np.nan_to_num(to)


def _if_slipped(lengths: Lengths) -> Lengths:
    """Return the lengths once every brake in question has slipped."""
    if lengths.brakes.slipped is None:
        return lengths
    return replace(lengths, unstretched=lengths.brakes.slipped, brakes=NO_BRAKES)


def as_done(stay: Stay) -> Stay:
    """Return the stay with every tending at the time at which it was done on deck."""
    late = stay.simulate.entered_late if stay.simulate is not None else ()
    return replace(stay, lines=tuple(_line_as_done(line, late) for line in stay.lines)) if late else stay


def _line_as_done(line: Line, late: Sequence[LateEntry]) -> Line:
    done = {entry.entered: entry.done for entry in late if entry.line == line.id}
    tended: list[Tend] = [replace(tend, at=done.get(tend.at, tend.at)) for tend in line.tended]
    return replace(line, tended=tuple(sorted(tended, key=lambda tend: tend.at)))
