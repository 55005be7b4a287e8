"""Situation: where the ship floats and what leans on her, at n instants. The door into the mechanics."""

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from alongside.readings import Codes, Floats, Quality, Readings, Reason, worst_quality
from alongside.stay.model import CurrentForecast, Stay

OUTSIDE_PLAN_S: Final = 3600.0
"""A plan of the current serves so long before its first and after its last row."""

HEEL: Final = ("heel", "draught_mid_port")
"""Channels of which heel is known, the first that is fitted."""
MAY_BE_NONE: Final = ("age", "below_zero", "other_force")


@dataclass(frozen=True, slots=True)
class Situation:
    """Arrays (n,); NaN is not known. Speeds m/s, directions deg true; heel starboard down +."""

    time: Floats
    tide: Floats
    draught_fwd: Floats
    draught_aft: Floats
    heel_deg: Floats
    """0 where no inclinometer or midship gauge is fitted; NaN where one is fitted and lost."""
    heel_measured: bool
    wind_speed: Floats
    """30 s mean, at the gauge's height brought to 10 m."""
    wind_gust: Floats
    """Highest 3 s mean of the last 10 min (the newest value where the feed is slower)."""
    wind_from: Floats
    current_speed: Floats
    current_to: Floats
    quality: Codes
    """(n,) worst Quality of tide, draughts and heel: what the geometry rests on."""
    age: Floats | None = None
    """(n, 4) seconds since the newest raw value behind tide, draught forward, draught aft and heel; None
    where nothing was read, as of an expected situation."""
    below_zero: Codes | None = None
    """(n,) 1 where a draught was given as less than zero: no ship floats so, and it is not known. None:
    nowhere."""
    other_force: Floats | None = None
    """(n, 3) what else pushes the hull: FX kN ahead, FY kN to port, N kN m about midships, bow to port; None
    for nothing. No gauge measures it: a simulation, or a question, knows it."""

    def __post_init__(self) -> None:
        below = (self.draught_fwd < 0.0) | (self.draught_aft < 0.0)
        if below.any():
            for name in ("draught_fwd", "draught_aft"):
                draught = getattr(self, name)
                object.__setattr__(self, name, np.where(draught < 0.0, np.nan, draught))
            before = 0 if self.below_zero is None else self.below_zero
            object.__setattr__(self, "below_zero", below.astype(np.int8) | before)

    def __len__(self) -> int:
        return int(self.time.size)

    def rows(self, start: int, stop: int) -> "Situation":
        """Return the instants start..stop-1 as views."""
        return self.at(slice(start, stop))

    def at(self, rows: slice | NDArray[np.intp]) -> "Situation":
        """Return chosen instants, in the order given."""
        names = [item.name for item in fields(self) if item.name not in ("heel_measured", *MAY_BE_NONE)]
        arrays = {name: getattr(self, name)[rows] for name in names}
        age = None if self.age is None else self.age[rows]
        below = None if self.below_zero is None else self.below_zero[rows]
        other = None if self.other_force is None else self.other_force[rows]
        return Situation(
            **arrays, heel_measured=self.heel_measured, age=age, below_zero=below, other_force=other
        )

    def without_streams(self) -> "Situation":
        """Return the same with wind and current not known."""
        nothing = np.full(len(self), np.nan)
        still = replace(self, wind_speed=nothing, wind_gust=nothing, wind_from=nothing)
        return replace(still, current_speed=nothing, current_to=nothing)


def joined(situations: Sequence[Situation]) -> Situation:
    """Return the instants of several situations, one after the other, without their ages."""
    others = [
        np.zeros((len(each), 3)) if each.other_force is None else each.other_force for each in situations
    ]
    names = [item.name for item in fields(Situation) if item.name not in ("heel_measured", *MAY_BE_NONE)]
    arrays = {name: np.concatenate([getattr(each, name) for each in situations]) for name in names}
    below = [
        np.zeros(len(each), dtype=np.int8) if each.below_zero is None else each.below_zero
        for each in situations
    ]
    return Situation(
        **arrays,
        heel_measured=any(each.heel_measured for each in situations),
        below_zero=np.concatenate(below) if any(each.any() for each in below) else None,
        other_force=np.concatenate(others) if any(each.any() for each in others) else None,
    )


def unknown_situation(time: Floats) -> Situation:
    """Return a situation in which nothing is known, at n instants."""
    nothing = np.full(time.size, np.nan)
    lost = np.full(time.size, Quality.LOST, dtype=np.int8)
    names = [
        item.name
        for item in fields(Situation)
        if item.name not in ("time", "heel_measured", "quality", *MAY_BE_NONE)
    ]
    return Situation(time=time, heel_measured=True, quality=lost, **dict.fromkeys(names, nothing))


def heel_from_midship(draught_port: Floats, draught_stbd: Floats, breadth: float) -> Floats:
    """Return the heel in deg (starboard down +) from midship draughts: tan(heel) = (starboard - port) /
    breadth."""
    return np.degrees(np.arctan2(draught_stbd - draught_port, breadth))


def situation_of(stay: Stay, readings: Readings) -> Situation:
    """Return the situation of n readings. An inclinometer goes before midship draughts."""
    fitted = {channel for channel in readings.channels if readings.is_fitted(channel)}
    n = len(readings)
    midship = {"draught_mid_port", "draught_mid_stbd"} <= fitted
    heel = readings.column("heel")
    if midship:
        by_draught = heel_from_midship(
            readings.column("draught_mid_port"), readings.column("draught_mid_stbd"), stay.ship.breadth
        )
        heel = np.where(np.isnan(heel), by_draught, heel)
    heel_measured = midship or "heel" in fitted
    if not heel_measured:
        heel = np.zeros(n)
    elif heel_channel := next((name for name in HEEL if name in fitted), None):
        # Where nobody has read it yet she is taken as upright, as without any gauge.
        unread = readings.reason[:, readings.channels.index(heel_channel)] == Reason.NOT_FITTED
        heel = np.where(unread & np.isnan(heel), 0.0, heel)
    rests_on = ["tide", "draught_fwd", "draught_aft"]
    if "heel" in fitted:
        rests_on.append("heel")
    elif midship:
        rests_on += ["draught_mid_port", "draught_mid_stbd"]
    wind = readings.column("wind_speed")
    current_speed, current_to = readings.column("current_speed"), readings.column("current_to")
    if "current_speed" not in fitted and stay.current:
        current_speed, current_to = expected_current(stay.current, readings.time)
    return Situation(
        time=readings.time,
        tide=readings.column("tide"),
        draught_fwd=readings.column("draught_fwd"),
        draught_aft=readings.column("draught_aft"),
        heel_deg=heel,
        heel_measured=heel_measured,
        wind_speed=wind,
        wind_gust=readings.column("wind_gust") if "wind_gust" in fitted else wind,
        wind_from=readings.column("wind_from"),
        current_speed=current_speed,
        current_to=current_to,
        quality=worst_quality(readings, rests_on),
        age=_ages(readings, "heel" if "heel" in fitted else "draught_mid_port"),
    )


def expected_current(plan: Sequence[CurrentForecast], time: Floats) -> tuple[Floats, Floats]:
    """Return the speed m/s (n,) and the direction, deg true, that the current sets to, by a plan whose times
    rise: the vectors between two rows lie on the straight line between theirs. NaN farther than an hour
    outside the plan."""
    at = np.array([row.at for row in plan])
    course = np.radians([row.to_deg for row in plan])
    speed = np.array([row.speed_ms for row in plan])
    north, east = (np.interp(time, at, part) for part in (speed * np.cos(course), speed * np.sin(course)))
    known = (time >= at[0] - OUTSIDE_PLAN_S) & (time <= at[-1] + OUTSIDE_PLAN_S)
    speed_then: Floats = np.where(known, np.hypot(north, east), np.nan)
    to_then: Floats = np.where(known, np.degrees(np.arctan2(east, north)) % 360.0, np.nan)
    return speed_then, to_then


def _ages(readings: Readings, heel: str) -> Floats:
    """Return the ages (n, 4); 0 for a channel that is not fitted, as what is taken for it does not age."""
    ages = np.zeros((len(readings), 4))
    for at, name in enumerate(("tide", "draught_fwd", "draught_aft", heel)):
        if readings.is_fitted(name):
            column = readings.channels.index(name)
            unread = readings.reason[:, column] == Reason.NOT_FITTED
            ages[:, at] = np.where(unread, 0.0, readings.age[:, column])
    return ages
