"""What a look ahead starts from: what is measured now, what was measured before, and the lengths out now."""

from dataclasses import dataclass, fields, replace

import numpy as np

from alongside.mechanics.situation import Situation
from alongside.readings import Floats, Quality


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
        """Return what was measured from `begin` to `end`, both included."""
        first = int(np.searchsorted(self.time, begin, side="left"))
        last = int(np.searchsorted(self.time, end, side="right"))
        return Heard(**{each.name: getattr(self, each.name)[first:last] for each in fields(self)})


def nothing_heard() -> Heard:
    """Return what is known before arrival: no gauge has measured anything."""
    return Heard(**{each.name: np.empty(0) for each in fields(Heard)})


@dataclass(frozen=True, slots=True, eq=False)
class Present:
    """One instant of a stay to ask questions about, NaN where not known; units as of `Situation`.

    `unstretched` (lines,) main rope m, NaN for a line not made fast; `heard` what was measured before;
    `planned`: the draughts are those of the plan, nothing was measured.
    """

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

    @classmethod
    def of(cls, here: Situation, unstretched: Floats, heard: Heard, planned: bool = False) -> "Present":
        """Return a situation of one row with the lengths out."""
        return cls(
            time=float(here.time[0]),
            tide=float(here.tide[0]),
            draught_fwd=float(here.draught_fwd[0]),
            draught_aft=float(here.draught_aft[0]),
            heel_deg=float(here.heel_deg[0]),
            heel_measured=here.heel_measured,
            wind_speed=float(here.wind_speed[0]),
            wind_from=float(here.wind_from[0]),
            current_speed=float(here.current_speed[0]),
            current_to=float(here.current_to[0]),
            unstretched=unstretched,
            heard=heard,
            planned=planned,
        )

    def situation(self) -> Situation:
        """Return the instant as a situation of one row, whose gust is its wind."""
        names = ("time", "tide", "draught_fwd", "draught_aft", "heel_deg", "wind_speed", "wind_from")
        values = {name: np.array([getattr(self, name)]) for name in (*names, "current_speed", "current_to")}
        quality = np.full(1, Quality.SUSPECT, dtype=np.int8)
        gust = values["wind_speed"]
        return Situation(**values, wind_gust=gust, heel_measured=self.heel_measured, quality=quality)

    def in_wind(self, speed: float, come_from: float) -> "Present":
        """Return the same in another wind, m/s and deg true, whatever wind was measured before."""
        calm = np.full(len(self.heard), np.nan)
        heard = replace(self.heard, wind_speed=calm, wind_from=calm)
        return replace(self, wind_speed=speed, wind_from=come_from, heard=heard)
