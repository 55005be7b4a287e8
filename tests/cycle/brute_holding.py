"""What holds a ship by plain trying: wind after wind put on her, each balanced, until something goes.

No search, no bracket, and not the measure that advice is tried by: loads come from the balance alone, limits
from the stay file.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from alongside.forecast.basis import Basis
from alongside.mechanics.hold import hold, standing_off
from alongside.mechanics.situation import Situation
from alongside.mechanics.state import LineStates, Pose
from alongside.readings import Floats

AROUND: Final = np.arange(-15.0, 15.1, 3.75)
"""deg to either side of the wind: others than those the advice is tried in."""
MOST_MS: Final = 60.0
STEP_MS: Final = 0.5
FINE_MS: Final = 0.02
"""Steps between the last wind that is stood and the first that is not."""
LOWER_MS: Final = 0.1
"""m/s less that are held: less is the same."""
GUST: Final = 0.87
LEAST_M: Final = 0.01
"""m farther off: less is the same."""


@dataclass(frozen=True)
class Stands:
    """In the wind of one instant from the worst direction about it: whether anything goes in that wind by the
    caution share or in less; the least wind, m/s, in which anything goes; and the metres off her fenders."""

    goes: bool
    holds_ms: float
    off_m: float


def stands(basis: Basis, here: Situation, lengths: Floats, wind: tuple[float, float]) -> Stands:
    """Return how she stands a wind (mean, m/s, and deg true) with lengths of main rope."""
    speed, come_from = wind
    caution = basis.stay.limits.holding_share.caution
    assert caution is not None
    speeds = np.append(np.arange(0.0, MOST_MS + STEP_MS, STEP_MS), [speed, speed / caution])
    goes, off = _tried(basis, here, lengths, speeds, come_from)
    first = float(min(speeds[goes], default=MOST_MS))
    if 0.0 < first < MOST_MS:
        fine = np.arange(max(first - STEP_MS, 0.0), first, FINE_MS)
        first = float(min(fine[_tried(basis, here, lengths, fine, come_from)[0]], default=first))
    return Stands(
        goes=bool(goes[speeds <= speed / caution].any()),
        holds_ms=first,
        off_m=float(off[speeds.size - 2]),
    )


def _tried(
    basis: Basis, here: Situation, lengths: Floats, speeds: Floats, come_from: float
) -> tuple[NDArray[np.bool_], Floats]:
    """Return whether anything goes in each of n winds (n,), and how far off her fenders she lies, m (n,): the
    worst of the directions about it."""
    each, around = (of.ravel() for of in np.meshgrid(speeds, (come_from + AROUND) % 360.0, indexing="ij"))
    many = here.at(np.zeros(each.size, dtype=np.intp))
    blown = replace(many, wind_speed=each * basis.criteria.gust_factor, wind_from=around)
    state = hold(basis.arrangement, blown, lengths)
    goes = _goes(basis, state.lines, state.pose).reshape(speeds.size, AROUND.size).any(axis=1)
    off = np.nan_to_num(standing_off(basis.arrangement, state.pose), nan=np.inf)
    return goes, off.reshape(speeds.size, AROUND.size).max(axis=1)


def _goes(basis: Basis, lines: LineStates, pose: Pose) -> NDArray[np.bool_]:
    """Return (n,) whether a line, brake or bollard is at its limit, or she at the end of her drift."""
    of, strength = basis.arrangement, 1.0 - basis.criteria.margin
    tension = np.nan_to_num(lines.tension_kn)
    goes = (tension >= strength * of.smallest_wll_kn).any(axis=1)
    goes |= (tension >= strength * np.nan_to_num(of.brake_kn, nan=np.inf)).any(axis=1)
    for at, swl in enumerate(of.bollard_swl_kn):
        on_it = np.flatnonzero(of.bears[at])
        pulls = [
            np.nan_to_num(part[:, on_it]).sum(axis=1) for part in (lines.ahead_kn, lines.in_kn, lines.down_kn)
        ]
        goes |= np.sqrt(sum(pull**2 for pull in pulls)) >= strength * (swl if np.isfinite(swl) else np.inf)
    for moved, limit in ((pose.surge, basis.criteria.surge_m), (pose.sway, basis.criteria.sway_m)):
        goes |= np.isnan(moved) | (np.abs(np.nan_to_num(moved)) >= (np.inf if limit is None else limit))
    return goes


def refused(
    basis: Basis, here: Situation, lengths: Floats, deeds: Mapping[str, float], wind: tuple[float, float]
) -> str:
    """Return why a prudent officer refuses deeds (m to pay out) in a wind; "" where he does not."""
    after = lengths.copy()
    for line, metres in deeds.items():
        after[basis.arrangement.ids.index(line)] += metres
    was, then = (stands(basis, here, each, wind) for each in (lengths, after))
    warning = basis.stay.limits.off_fenders_m.warning
    if warning is not None and then.off_m >= warning and then.off_m > was.off_m + LEAST_M:
        return f"{deeds} in {wind}: off her fenders {was.off_m:.2f} to {then.off_m:.2f} m"
    if then.goes and not was.goes:
        return f"{deeds} in {wind}: brings the wind over, {was.holds_ms:.2f} to {then.holds_ms:.2f} m/s"
    if then.goes and then.holds_ms < was.holds_ms - LOWER_MS:
        return f"{deeds} in {wind}: lowers what holds her, {was.holds_ms:.2f} to {then.holds_ms:.2f} m/s"
    return ""


def winds_to_stand(
    here: Situation, time: Floats, speed: Floats, come_from: Floats
) -> list[tuple[float, float]]:
    """Return the winds (m/s, deg true) that a deed done now must stand: the mean of 30 s, 0.87 of the highest
    gust, the mean of the last half hour of what was measured."""
    mean, gust, at = (float(of[0]) for of in (here.wind_speed, here.wind_gust, here.wind_from))
    late = time > float(here.time[0]) - 1800.0
    east = (speed * np.sin(np.radians(come_from)))[late].mean()
    north = (speed * np.cos(np.radians(come_from)))[late].mean()
    expected = (float(speed[late].mean()), float(np.degrees(np.arctan2(east, north))) % 360.0)
    return [(mean, at), (GUST * gust, at), expected]
