"""What a look ahead starts from: what is measured now, what was measured before, and the lengths out now."""

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from math import inf, isnan, nan
from typing import Final, Literal

import numpy as np

from alongside.forecast.expected.wind_forecast import WindForecast
from alongside.forecast.transfer import TransferSaid
from alongside.mechanics.reasons import NoLength, lines_without_length
from alongside.mechanics.situation import Situation
from alongside.mechanics.state import Hold
from alongside.readings import Codes, Floats, Quality


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

    def merged(self, other: "Heard") -> "Heard":
        """Return both in order of time."""
        if not len(other):
            return self
        both = {
            each.name: np.concatenate([getattr(self, each.name), getattr(other, each.name)])
            for each in fields(self)
        }
        order = np.argsort(both["time"], kind="stable")
        return Heard(**{name: values[order] for name, values in both.items()})

    def with_later(self, later: "Heard") -> "Heard":
        """Return the same with what was measured after its last instant, as `later` has it."""
        rows = later.time > (self.time[-1] if len(self) else -inf)
        joined = {
            each.name: np.concatenate([getattr(self, each.name), getattr(later, each.name)[rows]])
            for each in fields(self)
        }
        return Heard(**joined)


@dataclass(frozen=True, slots=True)
class Unsure:
    """What is not sure of an instant. `tide`, `draught_fwd`, `draught_aft` and `heel_deg` as the witness of a
    doubtful gauge has them, NaN where the gauge is believed or no witness has a figure; `tide_since` and
    `draughts_since` (UNIX s) since when what was measured is in doubt; one standard deviation, m, of draughts
    that are only expected."""

    tide: float = nan
    draught_fwd: float = nan
    draught_aft: float = nan
    heel_deg: float = nan
    tide_since: float = inf
    draughts_since: float = inf
    spread_fwd: float = 0.0
    spread_aft: float = 0.0
    by_hand: bool = False
    """Whether draughts are read by hand: nothing was measured between."""


SURE: Final = Unsure()


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
    unsure: Unsure = SURE
    no_length: Codes | None = None
    """(lines,) `NoLength`: why a line has no length; None where nobody has said."""
    wind_gust: float = nan
    """Highest 3 s mean of the last ten minutes, m/s; NaN where not known."""
    raised_m: float = 0.0
    """m by which the water is taken to stand above `tide`, now and throughout the hours ahead."""
    asked: tuple[str, ...] = ()
    """Lines whose brakes are in question: their lengths are those if they held; no metres rest on them."""
    slipped: Floats | None = None
    """(lines,) main rope, m, if all of these slipped; None where none is in question, or nobody has said."""
    cells_kn: tuple[tuple[str, float], ...] = ()
    """Line and kN of each load cell that is good; a line without one is not among them."""
    wind_forecast: WindForecast = ()
    """The wind to come as a weather forecast has it."""
    transfer: TransferSaid | None = None
    """What the watch has said of arms or hoses; None: nothing, the cargo plan serves."""

    @classmethod
    def of(
        cls,
        here: Situation,
        unstretched: Floats,
        heard: Heard,
        planned: bool = False,
        no_length: Codes | None = None,
    ) -> "Present":
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
            no_length=no_length,
            wind_gust=float(here.wind_gust[0]),
        )

    def why_no_length(self) -> Codes:
        """Return (lines,) `NoLength`; a line without a length is one not made fast where nobody has said
        why."""
        said = NoLength.NOT_FAST if self.no_length is None else self.no_length
        codes: Codes = np.where(np.isnan(self.unstretched), said, NoLength.KNOWN).astype(np.int8)
        return codes

    def without(self, lines: Sequence[str]) -> tuple[tuple[str, str], ...]:
        """Return the lines that nothing is known of, each with why; `lines` names the columns."""
        return lines_without_length(lines, self.why_no_length())

    def holding(self, held: Hold) -> Hold:
        """Return what the mechanics found for any instants, with why lines have no length."""
        return replace(held, no_length=np.tile(self.why_no_length(), (len(held.reason), 1)))

    def situation(self) -> Situation:
        """Return the instant as a situation of one row; a gust that is not known is the wind."""
        names = ("time", "tide", "draught_fwd", "draught_aft", "heel_deg", "wind_speed", "wind_from")
        values = {name: np.array([getattr(self, name)]) for name in (*names, "current_speed", "current_to")}
        quality = np.full(1, Quality.SUSPECT, dtype=np.int8)
        values["tide"] = values["tide"] + self.raised_m
        gust = values["wind_speed"] if isnan(self.wind_gust) else np.array([self.wind_gust])
        return Situation(**values, wind_gust=gust, heel_measured=self.heel_measured, quality=quality)

    @property
    def in_doubt(self) -> Literal["", "tide", "draughts"]:
        """Return what no round may rest on: the tide, else the draughts; "" where all is believed."""
        if self.unsure.tide_since < inf:
            return "tide"
        return "draughts" if self.unsure.draughts_since < inf else ""

    @property
    def believed(self) -> Heard:
        """Return what was measured, without what is in doubt; draughts in doubt from the first are all there
        is, and stay."""
        heard, unsure = self.heard, self.unsure
        if unsure.tide_since < inf:
            heard = replace(heard, tide=np.where(heard.time < unsure.tide_since, heard.tide, nan))
        if unsure.draughts_since < inf:
            before = heard.time < unsure.draughts_since
            if np.isnan((heard.draught_fwd + heard.draught_aft)[before]).all():
                return heard
            fwd, aft = (np.where(before, each, nan) for each in (heard.draught_fwd, heard.draught_aft))
            heard = replace(heard, draught_fwd=fwd, draught_aft=aft)
        return heard

    def by_witnesses(self) -> "Present | None":
        """Return the same with draughts and heel as the witnesses of doubtful gauges have them; None where
        none of them is doubtful."""
        unsure = self.unsure
        draughts = unsure.draught_fwd, unsure.draught_aft, unsure.heel_deg
        if all(isnan(each) for each in draughts):
            return None
        by_gauge = self.draught_fwd, self.draught_aft, self.heel_deg
        fwd, aft, heel = (
            here if isnan(other) else other for here, other in zip(by_gauge, draughts, strict=True)
        )
        return replace(self, draught_fwd=fwd, draught_aft=aft, heel_deg=heel)

    def if_slipped(self) -> "Present | None":
        """Return the same as if the brakes in question had slipped; None where none is in question."""
        if not self.asked or self.slipped is None:
            return None
        return replace(self, unstretched=self.slipped, slipped=None)

    def in_wind(self, speed: float, come_from: float) -> "Present":
        """Return the same in another wind, m/s and deg true, whatever was measured before, or is forecast."""
        calm = np.full(len(self.heard), np.nan)
        heard = replace(self.heard, wind_speed=calm, wind_from=calm)
        here = replace(self, wind_speed=speed, wind_from=come_from, wind_gust=speed, heard=heard)
        return replace(here, wind_forecast=())
