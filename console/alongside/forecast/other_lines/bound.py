"""What no arrangement of some options can hold more than: every line at its limit at once.

Let the ship start to slide and turn in any way that presses no fender in. The wind's power in that motion is
at most what the lines draw at their limits: the sum, over the lines, of limit times the speed at which the
line gets longer, each with that of its options that resists most. So each motion and direction gives a wind
that nothing holds more than, and the least of all motions that are tried is a bound on all arrangements (the
kinematic theorem of limit analysis). It holds for the ship in her place: leads turn a little as she drifts.
"""

from collections.abc import Sequence
from dataclasses import replace
from math import inf
from typing import Final

import numpy as np

from alongside.forecast.other_lines.places import Places
from alongside.mechanics.arrangement import Arrangement
from alongside.mechanics.exposure import loads_of
from alongside.mechanics.holding_search import CAP_MS
from alongside.mechanics.situation import Situation
from alongside.mechanics.usage import Criteria
from alongside.readings import Floats
from alongside.stay.model import Line, Stay

TURNS: Final = 41
"""Pivots that are tried, from turning about the aftermost fender to turning about the foremost one."""
SLIDES: Final = 61
"""Speeds along the berth that are tried with each."""


def most_held(
    stay: Stay,
    arrangement: Arrangement,
    places: Places,
    options: Sequence[Sequence[Line]],
    here: Situation,
    criteria: Criteria,
    come_from: Floats,
) -> Floats:
    """Return the wind (d,), m/s, that no choice of one option a line holds more than from each of d true
    directions, at one instant; the cap where it is more."""
    motions = _motions(arrangement)
    resists = np.zeros(len(motions))
    for own in options:
        drawn = [
            _limit_kn(stay, each, criteria) * np.maximum(-motions @ _pull(stay, places, each), 0.0)
            for each in own
        ]
        resists += np.max(drawn, axis=0)
    rows = here.at(np.zeros(come_from.size, dtype=np.intp))
    calm = replace(rows, wind_speed=np.zeros(come_from.size), wind_from=come_from)
    blown = replace(rows, wind_speed=np.ones(come_from.size), wind_from=come_from)
    straight = np.zeros(come_from.size)
    exposure, gust = arrangement.exposure, criteria.gust_factor
    still = loads_of(exposure, calm, gust)[0].at(straight)
    per_square = motions @ (loads_of(exposure, blown, gust)[0].at(straight) - still)
    spare = np.maximum(resists[:, None] - motions @ still, 0.0)
    squared = np.where(per_square > 0.0, spare / np.where(per_square > 0.0, per_square, 1.0), inf)
    held: Floats = np.minimum(np.sqrt(squared.min(axis=0)), CAP_MS)
    return held


def _motions(arrangement: Arrangement) -> Floats:
    """Return motions (m, 3) that press no fender in: surge, sway, m/s, and yaw, rad/s, about P0."""
    arms = arrangement.fender_x - arrangement.berth_x
    aft, fore = float(arms.min()), float(arms.max())
    ends = np.array([[0.0, -aft, 1.0], [0.0, fore, -1.0]]) if fore > aft else np.array([[0.0, 1.0, 0.0]] * 2)
    ends /= np.abs(ends @ np.array([1.0, 1.0, max(fore, -aft, 1.0)]))[:, None] + 1e-9
    part = np.linspace(0.0, 1.0, TURNS)[:, None]
    off = part * ends[0] + (1.0 - part) * ends[1]
    off /= np.abs(off).max(axis=1, keepdims=True)
    along = np.tan(np.linspace(-0.499, 0.499, SLIDES) * np.pi)[:, None, None] * np.array([1.0, 0.0, 0.0])
    slid = (off[None, :, :] + along).reshape(-1, 3)
    return np.vstack([slid, [[1.0, 0.0, 0.0], [-1.0, 0.0, 0.0]]])


def _pull(stay: Stay, places: Places, line: Line) -> Floats:
    """Return the pull (3,) of 1 kN in a line: along the berth, off it, kN, and its moment about P0, kN m."""
    x, y = places.fairleads[line.fairlead]
    ahead, out, _ = places.lead(line.fairlead, line.bollard).unit
    arm_x, arm_y = x - stay.place.berth_x, y - stay.ship.breadth / 2.0
    return np.array([ahead, out, arm_x * out - arm_y * ahead])


def _limit_kn(stay: Stay, line: Line, criteria: Criteria) -> float:
    winch = stay.ship.winches.get(line.winch or "")
    brake = None if winch is None else winch.holding_kn
    least = line.smallest_wll_kn if brake is None else min(line.smallest_wll_kn, brake)
    return (1.0 - criteria.margin) * least
