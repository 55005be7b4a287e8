"""Expected situations: where the ship will float and what will lean on her, in an ensemble of members.

Member 0 is what is expected; the others spread tide, pace of the cargo and wind within their bands. Members
come as a leading axis and are laid end to end in time for one call of the mechanics. The same present gives
the same members, whenever and wherever it is asked, and a farther look begins as a nearer one.
"""

from dataclasses import dataclass, replace
from math import isnan, nan
from typing import Final

import numpy as np

from alongside.forecast.expected.draught import DraughtsAhead, draughts_ahead
from alongside.forecast.expected.draws import normals
from alongside.forecast.expected.tide import tide_ahead
from alongside.forecast.expected.wind import wind_ahead
from alongside.forecast.present import Present
from alongside.forecast.tide.astronomy import middle_of_year
from alongside.forecast.tide.prediction import tide_table
from alongside.mechanics.exposure import exposure_of
from alongside.mechanics.situation import Situation, expected_current
from alongside.mechanics.wind_heel import wind_heel_deg
from alongside.readings import Floats, Quality
from alongside.stay.model import Stay

SEED = 1
"""Of the draws: one seed for all, so that forecasts differ only by what they start from."""
SPREAD_PART: Final = 4
"""Of the seeds: tide, cargo and both of the wind have those before it."""


_EACH: Final = ("tide", "draught_fwd", "draught_aft", "heel_deg", "wind_speed", "wind_from")
"""What each member has its own of."""


@dataclass(frozen=True, slots=True, eq=False)
class Expected:
    """(members, m) each over instants `time` (m,); NaN where not known. Units as of a `Situation`."""

    time: Floats
    tide: Floats
    draught_fwd: Floats
    draught_aft: Floats
    heel_deg: Floats
    wind_speed: Floats
    wind_from: Floats
    current_speed: Floats
    """(m,), as is `current_to`: all members have the same current."""
    current_to: Floats
    heel_measured: bool
    notes: tuple[str, ...]

    @property
    def members(self) -> int:
        return len(self.tide)

    def part(self, rows: slice) -> "Expected":
        """Return some of the instants, as views."""
        return replace(
            self,
            **{
                name: getattr(self, name)[..., rows]
                for name in ("time", "current_speed", "current_to", *_EACH)
            },
        )

    def situation(self, members: int | None = None) -> Situation:
        """Return (members x m,) all members, or the first so many, end to end, each in order of time."""
        part = slice(0, members)
        n = self.tide[part].size

        def flat(values: Floats) -> Floats:
            return np.asarray(values[part].ravel(), dtype=np.float64)

        wind = flat(self.wind_speed)
        return Situation(
            time=np.tile(self.time, n // self.time.size),
            tide=flat(self.tide),
            draught_fwd=flat(self.draught_fwd),
            draught_aft=flat(self.draught_aft),
            heel_deg=flat(self.heel_deg),
            heel_measured=self.heel_measured,
            wind_speed=wind,
            wind_gust=wind,
            wind_from=flat(self.wind_from),
            current_speed=np.tile(self.current_speed, n // self.time.size),
            current_to=np.tile(self.current_to, n // self.time.size),
            quality=np.full(n, Quality.SUSPECT, dtype=np.int8),
        )


def expected_situations(
    stay: Stay, present: Present, time: Floats, members: int = 50, seed: int = SEED
) -> Expected:
    """Return what is expected at (m,) rising instants `time`, UNIX s, none before the present."""
    shape = members, time.size
    tide_rng, cargo_rng = (np.random.default_rng([seed, part]) for part in range(2))
    notes: list[str] = []
    tide = np.full(shape, np.nan)
    if stay.tide is None:
        notes.append("tide ahead not known: the stay file has no section tide")
    else:
        table = tide_table(stay.tide)
        by_gauge = nan if isnan(present.unsure.tide) else present.tide
        level = tide_ahead(
            table, present.believed, present.time, time, members, tide_rng, nodes_of(stay), by_gauge
        )
        tide = level.metres + present.raised_m
        notes += level.notes
    draughts = _draughts(stay, present, time, members, cargo_rng, np.random.default_rng([seed, SPREAD_PART]))
    speed, come_from = wind_of_members(present, time, members, seed)
    current = _current_ahead(stay, present, time)
    expected = Expected(
        time=time,
        tide=tide,
        draught_fwd=draughts.fwd,
        draught_aft=draughts.aft,
        heel_deg=draughts.heel_deg,
        wind_speed=speed,
        wind_from=come_from,
        current_speed=current[0],
        current_to=current[1],
        heel_measured=present.heel_measured,
        notes=(*notes, *draughts.notes),
    )
    return _listed(stay, present, expected)


def wind_of_members(present: Present, time: Floats, members: int, seed: int = SEED) -> tuple[Floats, Floats]:
    """Return (members, m) speed m/s and direction deg true of the wind at (m,) rising instants, the same as
    `expected_situations` has."""
    return wind_ahead(present, time, members, [np.random.default_rng([seed, part]) for part in (2, 3)])


def _listed(stay: Stay, present: Present, expected: Expected) -> Expected:
    """Return what is expected with the list that the wind to come gives, where GM is known; a list measured
    now has that of the wind of now in it."""
    exposure = exposure_of(stay)
    if exposure.righting is None:
        return expected
    here, ahead = present.situation(), expected.situation()
    blown = wind_heel_deg(exposure, ahead).reshape(expected.heel_deg.shape)
    now = wind_heel_deg(exposure, here)[0] if present.heel_measured else 0.0
    return replace(expected, heel_deg=expected.heel_deg + blown - now, heel_measured=True)


def _draughts(
    stay: Stay,
    present: Present,
    time: Floats,
    members: int,
    rng: np.random.Generator,
    spread_rng: np.random.Generator,
) -> DraughtsAhead:
    """Draughts and heel ahead: where a gauge is doubtful, every other member begins as its witness says; what
    is only expected now is spread."""
    unsure = present.unsure
    believed, other = replace(present, heard=present.believed), present.by_witnesses()
    draw = rng.bit_generator.state
    ahead = draughts_ahead(stay, believed, time, members, rng)
    if other is not None:
        rng.bit_generator.state = draw
        theirs = draughts_ahead(stay, replace(other, heard=present.believed), time, members, rng)
        odd = np.arange(members)[:, None] % 2 == 1
        fwd, aft, heel = (
            np.where(odd, getattr(theirs, name), getattr(ahead, name)) for name in ("fwd", "aft", "heel_deg")
        )
        note = "a draught gauge is doubtful: by gauge and by plan"
        ahead = DraughtsAhead(fwd, aft, heel, (*ahead.notes, note))
    if unsure.spread_fwd or unsure.spread_aft:
        off = normals(spread_rng, members)[:, None], normals(spread_rng, members)[:, None]
        ahead = replace(
            ahead, fwd=ahead.fwd + unsure.spread_fwd * off[0], aft=ahead.aft + unsure.spread_aft * off[1]
        )
    return _afloat(ahead)


def _afloat(ahead: DraughtsAhead) -> DraughtsAhead:
    """Return draughts ahead, not known where one of them would be below zero: no ship floats so, and what the
    other rests on is as wrong."""
    below = (ahead.fwd < 0.0) | (ahead.aft < 0.0)
    if not below.any():
        return ahead
    note = "a draught below zero is not known: check hydrostatics (lcf from the aft perpendicular) and cargo"
    fwd, aft = np.where(below, np.nan, ahead.fwd), np.where(below, np.nan, ahead.aft)
    return replace(ahead, fwd=fwd, aft=aft, notes=(*ahead.notes, note))


def _current_ahead(stay: Stay, present: Present, time: Floats) -> tuple[Floats, Floats]:
    """Return speed and direction (m,) by the plan of the current; without one as it is now."""
    if stay.current:
        return expected_current(stay.current, time)
    return np.full(time.size, present.current_speed), np.full(time.size, present.current_to)


def nodes_of(stay: Stay) -> float:
    """Return the instant whose node factors serve the whole stay, UNIX s: the middle of the year of making
    fast, so that levels do not depend on when they are computed."""
    return middle_of_year(min(line.made_fast.at for line in stay.lines))
