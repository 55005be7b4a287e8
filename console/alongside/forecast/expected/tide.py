"""Tide to come: the port's prediction, what weather has added so far fading, and a band about it."""

from dataclasses import dataclass
from math import isnan, nan
from typing import Final

import numpy as np

from alongside.forecast.expected.draws import HOLDS_90, wandering
from alongside.forecast.present import Heard
from alongside.forecast.tide.prediction import TideTable, expected_level
from alongside.forecast.tide.residual import (
    NOTHING_LEARNT,
    RECENT_S,
    TAU_S,
    Band,
    faded,
    hindcast,
    learnt_band,
    residual_now,
)
from alongside.readings import Floats

LEADS_S: Final = 3600.0 * np.array([0.5, 1.0, 2.0, 3.0, 6.0, 9.0, 12.0, 24.0])
"""Leads at which this stay's own past forecasts are checked."""
MOST_PAST: Final = 1000
"""Instants of the past that are forecast anew; a longer past is thinned, but not beyond `RECENT_S`."""
NEAR_S: Final = 3600.0
"""Within this the band opens as the root of the lead: the level now has just been measured."""
WEATHER_MOST: Final = 0.62
"""m either side that hold 90 % of what weather does where nothing is known of it: 1.645 times the rms of
0.374 m of observed minus predicted level at Vlissingen, January 2018, storm included."""
LEFT_OUT_S: Final = 3 * 3600.0
"""A quarter of a tide that comes twice a day: what is not predicted may have turned by then."""
MEMORY_S: Final = 6 * 3600.0
"""A surge comes and goes in some hours; what is off now will be off an hour later."""


DOUBTED: Final = "the tide gauge is doubtful: by gauge, fading and kept, and by table"


@dataclass(frozen=True, slots=True, eq=False)
class TideAhead:
    """Levels (members, m), m above chart datum, member 0 as expected; and what there is to say of them."""

    metres: Floats
    notes: tuple[str, ...]


def tide_ahead(
    table: TideTable,
    heard: Heard,
    now: float,
    time: Floats,
    members: int,
    rng: np.random.Generator,
    nodes_at: float | None = None,
    doubted: float = nan,
) -> TideAhead:
    """Return levels at (m,) rising instants from `now` on; NaN outside a table of high and low waters.

    `doubted` is the level now, m, by a gauge that is in doubt, and that `heard` leaves out: a third of the
    members, the expected one among them, then goes on from it as from a surge that fades, a third keeps it as
    an offset, a third goes by the table and what was believed last.
    """
    astronomical = expected_level(table, time, nodes_at).metres
    since, residual, band = weather_of(table, heard, now, nodes_at)
    if table.plan.levels:
        return _without_weather(table, astronomical, residual, members)
    lead = time - since
    level = astronomical + (0.0 if np.isnan(residual) else faded(residual, lead))
    half = np.hypot(_half_width(band, lead, np.isnan(residual)), _left_out(table, lead, np.isnan(residual)))
    off = wandering(rng, members, time, MEMORY_S) * half / HOLDS_90
    notes = _notes(table, astronomical, residual, now - since)
    apart = doubted - float(expected_level(table, np.array([now]), nodes_at).metres[0])
    if isnan(apart):
        return TideAhead(level + off, notes)
    by_gauge = np.stack([astronomical + faded(apart, time - now), astronomical + apart, level])
    return TideAhead(by_gauge[np.arange(members) % 3] + off, (*notes, DOUBTED))


def _without_weather(table: TideTable, by_file: Floats, residual: float, members: int) -> TideAhead:
    """Return the level of a dock or lock: what it is measured to be off goes on, and no band opens."""
    level = by_file + (0.0 if np.isnan(residual) else residual)
    return TideAhead(np.tile(level, (members, 1)), tuple(table.in_words()))


def weather_of(
    table: TideTable, heard: Heard, now: float, nodes_at: float | None = None
) -> tuple[float, float, Band]:
    """Return when the residual was last known (`now` where it never was), the residual then, m, NaN where
    none is known, and the band that this stay's own past has taught."""
    measured = ~np.isnan(heard.tide) & (heard.time <= now)
    if not measured.any():
        return now, float("nan"), NOTHING_LEARNT
    time, tide = heard.time[measured], heard.tide[measured]
    residual = tide - expected_level(table, time, nodes_at).metres
    known = ~np.isnan(residual)
    if not known.any():
        return now, float("nan"), NOTHING_LEARNT
    last = float(time[known][-1])
    kept = slice(None, None, _stride(time))
    past = hindcast(time[kept], residual[kept], LEADS_S).known_at(now)
    return last, float(residual_now(time, residual, last)), learnt_band(past)


def _stride(time: Floats) -> int:
    """Return every how many instants of the past are enough to learn from."""
    if time.size <= MOST_PAST:
        return 1
    step = float(np.median(np.diff(time)))
    return max(1, min(-(-time.size // MOST_PAST), int(RECENT_S / step)))


def _half_width(band: Band, lead: Floats, unknown: bool) -> Floats:
    """Return half of the width that holds 90 %, m."""
    known_for = lead + (2.0 * TAU_S if unknown else 0.0)
    widest = max(WEATHER_MOST, float(band.half[-1]) if band.half.size else 0.0)
    opening = np.sqrt(np.clip(known_for / NEAR_S, 0.0, 1.0))
    half: Floats = np.minimum(band.at(known_for), widest) * opening
    return half


def _left_out(table: TideTable, lead: Floats, unknown: bool) -> Floats:
    """Return what constituents that are not known may add either way, m: where the residual is known it holds
    what they add now, and nothing of what they add some hours later."""
    part = np.ones_like(lead) if unknown else np.clip(lead / LEFT_OUT_S, 0.0, 1.0)
    return table.left_out * part


def _notes(table: TideTable, astronomical: Floats, residual: float, age: float) -> tuple[str, ...]:
    notes = list(table.in_words())
    if np.isnan(residual):
        notes.append("tide by prediction alone: no measured level, so the weather's part is not known")
    elif age > RECENT_S:
        notes.append(f"tide expected, not measured for {age / 3600.0:.1f} h")
    if np.isnan(astronomical).any():
        notes.append("the table of high and low waters does not cover the whole forecast")
    return tuple(notes)
