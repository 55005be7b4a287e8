"""What a look ahead starts from: what is measured now, what was measured before, and the lengths out now."""

from dataclasses import dataclass, fields, replace

import numpy as np

from alongside.readings import Floats


@dataclass(frozen=True, slots=True, eq=False)
class Heard:
    """What the gauges have measured so far, (m,) each, time (UNIX s) rising and some minutes apart; NaN where
    nothing was measured. Tide m above chart datum, draughts m at the marks, heel deg starboard down +, wind
    m/s and deg true."""

    time: Floats
    tide: Floats
    draught_fwd: Floats
    draught_aft: Floats
    heel_deg: Floats
    wind_speed: Floats
    wind_from: Floats

    def __len__(self) -> int:
        return int(self.time.size)

    def between(self, begin: float, end: float) -> "Heard":
        """What was heard from `begin` to `end`, both included."""
        first = int(np.searchsorted(self.time, begin, side="left"))
        last = int(np.searchsorted(self.time, end, side="right"))
        return Heard(**{each.name: getattr(self, each.name)[first:last] for each in fields(self)})


def nothing_heard() -> Heard:
    """Before arrival: no gauge has said anything."""
    return Heard(**{each.name: np.empty(0) for each in fields(Heard)})


@dataclass(frozen=True, slots=True, eq=False)
class Present:
    """One instant: what is known now, NaN where it is not. `unstretched` (lines,) main rope m, NaN for a line
    not made fast. `planned`: the draughts are those of the plan, nothing was measured."""

    time: float
    tide: float
    draught_fwd: float
    draught_aft: float
    heel_deg: float
    heel_measured: bool
    wind_speed: float
    wind_from: float
    current_speed: float
    current_to: float
    unstretched: Floats
    heard: Heard
    planned: bool = False

    def in_wind(self, speed: float, come_from: float) -> "Present":
        """The same in another wind, m/s and deg true, whatever wind was heard before."""
        calm = np.full(len(self.heard), np.nan)
        heard = replace(self.heard, wind_speed=calm, wind_from=calm)
        return replace(self, wind_speed=speed, wind_from=come_from, heard=heard)
