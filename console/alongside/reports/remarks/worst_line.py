"""Which line of a stay comes nearest to its stretch allowance by the plan, and what becomes of it where a
value of the file is another: how much that value matters.

Each half hour of a tide counts, from making fast on and up to the first tending of the file, in the wind of
the plan and, where the ship's areas are known, in a wind square off the berth besides.
"""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from alongside.errors import WrongInput
from alongside.forecast.before_arrival import planned_lengths, planned_situation, when_fast
from alongside.forecast.expected.ensemble import nodes_of
from alongside.forecast.tide.prediction import expected_level, tide_table
from alongside.mechanics.arrangement import Arrangement, arrangement_of
from alongside.mechanics.hold import hold
from alongside.mechanics.settled_lengths import make_fast
from alongside.mechanics.situation import Situation, joined, unknown_situation
from alongside.readings import Floats
from alongside.reports.remarks.afloat import HALF_LADEN, Afloat
from alongside.stay.making_fast import makings_fast
from alongside.stay.model import Stay
from alongside.units import KNOT

HALF_HOURS: Final = 26
"""From making fast on: a tide and a little more."""
WIND_MS: Final = 30.0 * KNOT
"""Square off the berth: a wind in which cargo still goes on; common practice, no source."""


@dataclass(frozen=True, slots=True)
class WorstLine:
    """A line by its index, and the most of its stretch allowance, a share, and of load, kN, that comes on
    it."""

    line: int
    stretch_share: float
    tension_kn: float


def worst_line(stay: Stay) -> WorstLine | None:
    """Return the line that comes nearest to its stretch allowance; None where nothing is known of any."""
    stretch, tension = _most(stay)
    if np.isnan(stretch).all():
        return None
    line = int(np.nanargmax(stretch))
    return WorstLine(line, float(stretch[line]), float(tension[line]))


def same_line(stay: Stay, line: int) -> WorstLine:
    """Return the same of one line of a stay that is otherwise."""
    stretch, tension = _most(stay)
    return WorstLine(line, float(stretch[line]), float(tension[line]))


def _most(stay: Stay) -> tuple[Floats, Floats]:
    """Return (lines,) the most of the stretch allowance and the load, kN; NaN where not known."""
    arrangement = arrangement_of(stay)
    here = _blown(stay, planned_hours(stay))
    lines = hold(arrangement, here, unstretched_as_stated(stay, arrangement)).lines
    nothing = np.full((1, len(stay.lines)), np.nan)
    stretch, tension = (
        np.fmax.reduce(np.vstack([nothing, each])) for each in (lines.stretch_share, lines.tension_kn)
    )
    return stretch, tension


def planned_hours(stay: Stay) -> Situation:
    """Return each half hour by the plan, from making fast on and up to the first tending of the file."""
    start = when_fast(stay)
    first = min((tend.at for line in stay.lines for tend in line.tended if tend.at > start), default=np.inf)
    times = [start + 1800.0 * each for each in range(HALF_HOURS)]
    return _situations(stay, np.array([at for at in times if at < max(first, start + 1.0)]))


def _blown(stay: Stay, calm: Situation) -> Situation:
    if stay.ship.wind is None:
        return calm
    # Berth y, out to the water, lies 90 deg to the left of x: a wind off the berth comes from its right.
    come_from = np.full(len(calm), (stay.berth.bearing_of_x + 90.0) % 360.0)
    speed = np.full(len(calm), WIND_MS)
    return joined([calm, replace(calm, wind_speed=speed, wind_gust=speed, wind_from=come_from)])


def _situations(stay: Stay, times: Floats) -> Situation:
    """Return the plan at some times; where the file does not plan so far, tide and draughts as stated."""
    try:
        return joined([planned_situation(stay, float(at)) for at in times])
    except WrongInput:
        return _stated(stay, times)


def _stated(stay: Stay, times: Floats) -> Situation:
    afloat = Afloat(stay)
    fwd, aft = (each if each == each else stay.ship.depth * HALF_LADEN for each in afloat.draughts)
    tide = np.full(times.size, afloat.stated_level)
    if stay.tide is not None:
        by_table = expected_level(tide_table(stay.tide), times.tolist(), nodes_of(stay)).metres
        tide = np.where(np.isnan(by_table), tide, by_table)
    nothing = np.zeros(times.size)
    return replace(
        unknown_situation(times),
        tide=tide,
        draught_fwd=nothing + fwd,
        draught_aft=nothing + aft,
        heel_deg=nothing,
        wind_speed=nothing,
        wind_gust=nothing,
        wind_from=nothing,
    )


def unstretched_as_stated(stay: Stay, arrangement: Arrangement) -> Floats:
    """Return unstretched main rope (lines,) m, made fast as stated."""
    try:
        return planned_lengths(stay, arrangement, when_fast(stay))
    except WrongInput:
        lengths = np.full(len(stay.lines), np.nan)
        for making in makings_fast(stay):
            then = _stated(stay, np.array([making.at]))
            made = make_fast(stay, arrangement, making, then, lengths, making.lines).unstretched
            lengths[list(making.lines)] = made[list(making.lines)]
        return lengths
