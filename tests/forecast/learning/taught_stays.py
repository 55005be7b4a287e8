"""A stay whose ropes and lengths are other than its file has them, and what its load cells measure: by the
program's own mechanics, in balance."""

from dataclasses import replace
from pathlib import Path
from typing import Final

import numpy as np

from alongside.forecast.learning.observed import Left, Observed
from alongside.mechanics.arrangement import arrangement_of
from alongside.mechanics.hold import hold
from alongside.mechanics.settled_lengths import make_fast
from alongside.mechanics.situation import Situation
from alongside.readings import Floats
from alongside.stay.learnt import taught
from alongside.stay.making_fast import makings_fast
from alongside.stay.model import Learnt, Stay
from alongside.stay.read import read_stay

QUAY: Final = Path(__file__).parents[3] / "configs" / "river_quay.yaml"
HOUR: Final = 3600.0


def river_quay() -> Stay:
    """Six lines without tails, a load cell on each, made fast with 35 kN, on one making fast."""
    return read_stay(QUAY)


def taught_so(stay: Stay, of: dict[str, Learnt], tension_kn: dict[str, float] | None = None) -> Stay:
    """Return the stay as it truly is: with other ropes, and lines made fast with other loads than stated."""
    lines = []
    for line in stay.lines:
        fast = replace(line.made_fast, tension_kn=(tension_kn or {}).get(line.id, line.made_fast.tension_kn))
        line = replace(line, made_fast=fast)
        lines.append(taught(line, of[line.id]) if line.id in of else line)
    return replace(stay, lines=tuple(lines))


def afloat(
    hours: float = 24.0,
    n: int = 48,
    tide_m: float = 1.0,
    loaded_m: float = 0.5,
    wind_ms: float = 4.0,
    start: float | None = None,
) -> Situation:
    """Return n instants over so many hours: a tide of 12.42 h about 1.9 m, cargo that sinks her, a wind that
    turns."""
    begin = makings_fast(river_quay())[0].at if start is None else start
    time = begin + np.linspace(0.0, hours * HOUR, n)
    turn = 2.0 * np.pi * (time - begin) / HOUR
    sunk = loaded_m * (time - begin) / (hours * HOUR)
    zero = np.zeros(n)
    return Situation(
        time=time,
        tide=1.6 + tide_m * np.sin(turn / 12.42),
        draught_fwd=4.6 + sunk,
        draught_aft=5.2 + sunk,
        heel_deg=zero,
        heel_measured=False,
        wind_speed=wind_ms * (1.0 + 0.5 * np.sin(turn / 5.0)),
        wind_gust=wind_ms * (1.0 + 0.5 * np.sin(turn / 5.0)),
        wind_from=(200.0 + 20.0 * turn / 6.0) % 360.0,
        current_speed=zero,
        current_to=zero,
        quality=np.zeros(n, dtype=np.int8),
    )


def lengths_of(stay: Stay, situation: Situation) -> Floats:
    """Return (lines,) the main rope with which the lines of a stay are made fast together."""
    arrangement, making = arrangement_of(stay), makings_fast(stay)[0]
    nothing = np.full(len(stay.lines), np.nan)
    return make_fast(stay, arrangement, making, situation.rows(0, 1), nothing, making.lines).unstretched


def loads_of(stay: Stay, situation: Situation, lengths: Floats) -> Floats:
    """Return (n, lines) what the lines carry, kN; `lengths` (lines,) or (n, lines)."""
    return hold(arrangement_of(stay), situation, lengths).lines.tension_kn


def observed(
    stay: Stay,
    truth: Stay,
    situation: Situation | None = None,
    noise_kn: float = 1.0,
    seed: int = 1,
    cells: tuple[str, ...] | None = None,
    more_m: dict[str, float] | None = None,
) -> Observed:
    """Return what the cells of the stay measure where it truly is another, beside the lengths that it has by
    its file."""
    situation = afloat() if situation is None else situation
    true_lengths = lengths_of(truth, situation)
    for line, more in (more_m or {}).items():
        true_lengths[[each.id for each in stay.lines].index(line)] += more
    loads = loads_of(truth, situation, true_lengths)
    random = np.random.default_rng(seed)
    loads = np.maximum(loads + random.normal(0.0, noise_kn, loads.shape), 0.0)
    fitted = np.array([cells is None or line.id in cells for line in stay.lines])
    nothing = ~np.broadcast_to(fitted, loads.shape)
    unstretched = np.tile(lengths_of(stay, situation), (len(situation), 1))
    return Observed(
        situation,
        unstretched,
        np.where(nothing, np.nan, loads),
        np.zeros(loads.shape),
        np.zeros(loads.shape, dtype=np.int8),
        np.where(nothing, Left.NOTHING, Left.COUNTS).astype(np.int8),
    )
