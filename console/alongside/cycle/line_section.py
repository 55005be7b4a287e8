"""The section of one line: from its fairlead to its far end, with the water, now and at the next high and low
water, with the lengths of now. Plain numbers in metres; whoever draws it needs no mechanics.

Each moment has its own upright plane through both ends of the line. `x` counts level from the far end, which
stays where it is, back towards the ship; heights are over chart datum. So a drawn line has the angle that is
said of it, up to the scale.
"""

from dataclasses import dataclass, replace
from math import isfinite, nan
from typing import Final, Literal

import numpy as np

from alongside.cycle.line_moment import Compiled, Moment, with_figures
from alongside.cycle.line_row import LineRow
from alongside.cycle.picture import Picture
from alongside.cycle.who_holds import HoursAhead, When
from alongside.forecast.model import Forecast
from alongside.forecast.present import Present
from alongside.mechanics.geometry import Leads, leads_of
from alongside.mechanics.hold import hold
from alongside.mechanics.reasons import REASONS, NoLength
from alongside.mechanics.situation import Situation, expected_current, joined
from alongside.mechanics.state import Pose
from alongside.readings import Floats, Quality
from alongside.stay.model import Stay

Ashore = Literal["quay", "pontoon", "dolphin", "buoy", "ship"]
"""What the far end of a line stands on."""
WATERS: Final[tuple[tuple[When, bool], ...]] = (("high_water", True), ("low_water", False))
NO_HOURS: Final = "hours ahead not known yet"
HIDDEN: Final = "hours ahead are not shown"


@dataclass(frozen=True, slots=True)
class Section:
    """`moments`: now, then the next high and low water. `quay_z` m over chart datum, now; NaN where the line
    ends on no quay. `rail_m`: the ship's rail above the fairlead, 0 where it is not known. `keel_z` at the
    fairlead now; `bed_z` NaN where the berth's depth is not known. `on` names a ship or dolphin."""

    line: str
    moments: tuple[Moment, ...]
    ashore: Ashore
    quay_z: float = nan
    rail_m: float = 0.0
    bed_z: float = nan
    on: str = ""
    is_out: bool = True
    """False: parted, let go or not made fast, so that no line is there to be drawn."""

    @property
    def now(self) -> Moment:
        return self.moments[0]


def section_of(
    compiled: Compiled, picture: Picture, line: str, waters: tuple[Moment, ...] | None = None
) -> Section:
    """Return the section of a line of the stay; `waters` are those of `at_waters` where they are known
    already."""
    column = compiled.arrangement.ids.index(line)
    row = next(each for each in picture.lines if each.id == line)
    later = at_waters(compiled, picture, line) if waters is None else waters
    return _stood(compiled.stay, row, column, (_now(compiled, picture, row, column), *later))


def at_waters(compiled: Compiled, picture: Picture, line: str) -> tuple[Moment, ...]:
    """Return a line at the next high and low water, with the lengths of now."""
    column = compiled.arrangement.ids.index(line)
    return tuple(_then(compiled, picture, column, when, high) for when, high in WATERS)


def _stood(stay: Stay, row: LineRow, column: int, moments: tuple[Moment, ...]) -> Section:
    """Return the section with what stands at both ends of the line."""
    line = stay.lines[column]
    bollard, fairlead = stay.berth.bollards[line.bollard], stay.ship.fairleads[line.fairlead]
    ashore: Ashore = "quay"
    if bollard.on:
        ashore = "ship"
    elif bollard.floats:
        ashore = "pontoon" if stay.berth.floats or bollard.at.y < 0.0 else "buoy"
    elif bollard.dolphin or bollard.at.y >= 0.0:
        ashore = "dolphin"
    gangway, depth = stay.outlook.gangway, stay.berth.charted_depth
    quay = moments[0].far_z
    if gangway is not None and ashore == "quay":
        quay = min(gangway.quay_z, quay) if isfinite(quay) else gangway.quay_z
    rail = 0.0 if stay.ship.rail_z is None else max(stay.ship.rail_z - fairlead.z, 0.0)
    gone = row.no_length in (NoLength.PARTED, NoLength.LET_GO, NoLength.NOT_FAST, NoLength.WAITING)
    return Section(
        line=row.id,
        moments=moments,
        ashore=ashore,
        quay_z=quay if ashore in ("quay", "pontoon") else nan,
        rail_m=rail,
        bed_z=nan if depth is None else -depth,
        on=bollard.on or bollard.dolphin,
        is_out=not gone,
    )


def _now(compiled: Compiled, picture: Picture, row: LineRow, column: int) -> Moment:
    """Return the moment of the Picture: its figures, and both ends by its pose."""
    here = Moment("now", picture.time, picture.tide)
    if not isfinite(row.vertical_deg):
        return replace(here, why=row.why or "not known")
    slipped = row.if_slipped
    return _with_ends(
        compiled,
        replace(
            here,
            vertical_deg=row.vertical_deg,
            outboard_m=row.outboard_m,
            tension_kn=row.tension_kn,
            load_share=row.load_share,
            stretch_share=row.stretch_share,
            slipped_kn=nan if slipped is None else slipped.tension_kn,
            slipped_stretch=nan if slipped is None else slipped.stretch_share,
            stages=row.stages,
            why=row.why,
        ),
        leads_of(compiled.arrangement, pose_of(picture)),
        pose_of(picture),
        column,
    )


def pose_of(picture: Picture) -> Pose:
    """Return where the ship lies in a Picture, one row; upright where nobody measures her heel, and in her
    place where that is not worked out."""

    def one(value: float, otherwise: float = nan) -> Floats:
        return np.array([value if isfinite(value) else otherwise])

    return Pose(
        surge=one(picture.surge, 0.0),
        sway=one(picture.sway, 0.0),
        yaw=np.radians(one(picture.yaw_deg, 0.0)),
        tide=one(picture.tide),
        draught_fwd=one(picture.draught_fwd),
        draught_aft=one(picture.draught_aft),
        heel_deg=one(picture.heel_deg, 0.0),
        time=one(picture.time),
    )


def _with_ends(compiled: Compiled, moment: Moment, leads: Leads, pose: Pose, column: int) -> Moment:
    """Return the moment with both ends of the line, by a pose of one row."""
    ends = compiled.arrangement.far_ends
    heights = np.broadcast_to(ends.height(pose.tide, pose.when), leads.z.shape)
    far_z, level = float(heights[column, 0]), float(leads.level[column, 0])
    far_y = float(ends.at[column, 1])
    out_y = far_y - float(leads.y[column, 0])
    return replace(
        moment,
        level_m=level,
        far_z=far_z,
        fairlead_z=far_z - float(leads.z[column, 0]),
        edge_m=level * min(far_y / (far_y - max(out_y, 0.0)), 1.0) if far_y < 0.0 else nan,
    )


def _then(compiled: Compiled, picture: Picture, column: int, when: When, high: bool) -> Moment:
    """Return the moment of the next high or low water, the lengths as they are now."""
    nothing = Moment(when, nan, nan)
    forecast, present, stay = picture.forecast, picture.present, compiled.stay
    if stay.tide is None:
        return replace(nothing, why="no tide in the stay file")
    if picture.forecast_hidden:
        return replace(nothing, why=HIDDEN)
    if forecast is None or present is None:
        return replace(nothing, why=NO_HOURS)
    at = HoursAhead.of(forecast).water(high, picture.time)
    if at is None:
        return replace(nothing, why="none expected in the hours ahead")
    here = expected_then(stay, forecast, present, at)
    states = [present.unstretched, *([] if present.slipped is None else [present.slipped])]
    held = hold(compiled.arrangement, joined([here] * len(states)), np.array(states))
    moment = replace(nothing, time=float(forecast.times[at]), water=float(forecast.tide.expected[at]))
    if held.reason[0]:
        return replace(moment, why=REASONS[int(held.reason[0])])
    moment = with_figures(compiled, moment, held, 0, column)
    if len(states) > 1:
        lines = held.lines
        slipped = float(lines.tension_kn[1, column]), float(lines.stretch_share[1, column])
        moment = replace(moment, slipped_kn=slipped[0], slipped_stretch=slipped[1])
    pose = held.at(np.array([0])).pose
    return _with_ends(compiled, moment, leads_of(compiled.arrangement, pose), pose, column)


def expected_then(stay: Stay, forecast: Forecast, present: Present, at: int) -> Situation:
    """Return the situation that a forecast expects at one of its instants, one row."""

    def one(value: float) -> Floats:
        return np.array([value], dtype=np.float64)

    time = one(forecast.times[at])
    current = one(present.current_speed), one(present.current_to)
    if stay.current:
        current = expected_current(stay.current, time)
    wind = one(forecast.wind_ms.expected[at])
    return Situation(
        time=time,
        tide=one(forecast.tide.expected[at]),
        draught_fwd=one(forecast.draught_fwd.expected[at]),
        draught_aft=one(forecast.draught_aft.expected[at]),
        heel_deg=one(forecast.heel_deg.expected[at]),
        heel_measured=True,
        wind_speed=wind,
        wind_gust=wind,
        wind_from=one(forecast.wind_from_deg[at]),
        current_speed=current[0],
        current_to=current[1],
        quality=np.full(1, Quality.SUSPECT, dtype=np.int8),
    )
