"""Where the ship floats when her lines are made fast, and how each line leads then."""

from dataclasses import dataclass
from functools import cached_property
from math import isnan, nan

import numpy as np

from alongside.forecast.expected.ensemble import nodes_of
from alongside.forecast.tide.prediction import TideTable, expected_level, tide_table
from alongside.mechanics.arrangement import arrangement_of
from alongside.mechanics.geometry import horizontal_deg, leads_of, vertical_deg
from alongside.mechanics.pose import ship_to_berth
from alongside.mechanics.state import Pose
from alongside.readings import Floats
from alongside.stay.model import Stay

HALF_LADEN = 0.5
"""Of the depth to deck: a draught to look at leads with where the file states none."""


@dataclass(frozen=True)
class Afloat:
    """A stay at making fast. Arrays are (lines,) in the order of the file; lengths m, angles deg."""

    stay: Stay

    @cached_property
    def draughts(self) -> tuple[float, float]:
        """(forward, aft) as first stated with a line, else where a simulated log begins; else NaN."""
        for line in self.stay.lines:
            fast = line.made_fast
            if fast.draught_fwd is not None and fast.draught_aft is not None:
                return fast.draught_fwd, fast.draught_aft
        begin = self.stay.simulate
        return (nan, nan) if begin is None else (begin.draught_fwd, begin.draught_aft)

    @property
    def mean_draught(self) -> float:
        return sum(self.draughts) / 2.0

    @cached_property
    def table(self) -> TideTable | None:
        return None if self.stay.tide is None else tide_table(self.stay.tide)

    def expected_tide(self, time: float) -> float:
        """Return the level by table or constituents, m above chart datum; NaN where they do not reach."""
        if self.table is None:
            return nan
        return float(expected_level(self.table, [time], nodes_of(self.stay)).metres[0])

    @cached_property
    def levels(self) -> tuple[float, float]:
        """(lowest, highest) level that the file expects; NaN where it says nothing of the tide."""
        tide = self.stay.tide
        if tide is None:
            return nan, nan
        if tide.levels:
            return min(level for _, level, _ in tide.levels), max(level for _, level, _ in tide.levels)
        if tide.high_low:
            heights = [height + tide.to_chart_datum for _, height in tide.high_low]
            return min(heights), max(heights)
        range_m = sum(each.amplitude for each in tide.constituents)
        mean = tide.mean_level + tide.to_chart_datum
        return mean - range_m, mean + range_m

    @property
    def stated_level(self) -> float:
        """Return the level first stated with a line, m above chart datum; 0 where none is."""
        return next((t for line in self.stay.lines if (t := line.made_fast.tide) is not None), 0.0)

    @cached_property
    def pose(self) -> Pose:
        """The ship in place with each line's stated figures, (lines,) instants."""
        stay = self.stay
        laden = stay.ship.depth * HALF_LADEN
        fwd, aft = (laden if isnan(each) else each for each in self.draughts)
        fast = [line.made_fast for line in stay.lines]
        tide = [_known(each.tide, self.expected_tide(each.at), 0.0) for each in fast]
        nothing = np.zeros(len(fast))
        return Pose(
            surge=nothing,
            sway=nothing,
            yaw=nothing,
            tide=np.array(tide),
            draught_fwd=np.array([_known(each.draught_fwd, fwd) for each in fast]),
            draught_aft=np.array([_known(each.draught_aft, aft) for each in fast]),
            heel_deg=np.array([_known(each.heel_deg, 0.0) for each in fast]),
            time=np.array([each.at for each in fast]),
        )

    @cached_property
    def _own(self) -> tuple[Floats, Floats, Floats, Floats, Floats]:
        arrangement = arrangement_of(self.stay)
        leads = leads_of(arrangement, self.pose)
        each = np.arange(len(self.stay.lines))
        fairleads = ship_to_berth(arrangement.fairlead, self.pose, arrangement)[each, each]
        columns = (horizontal_deg(leads), vertical_deg(leads), leads.outboard, leads.path)
        ahead, down, outboard, path = (column[each, each] for column in columns)
        return ahead, down, outboard, path, fairleads

    @property
    def lead_deg(self) -> Floats:
        """(lines,) horizontal angle from ahead."""
        return self._own[0]

    @property
    def down_deg(self) -> Floats:
        """(lines,) angle below the horizontal, + down."""
        return self._own[1]

    @property
    def outboard_m(self) -> Floats:
        return self._own[2]

    @property
    def path_m(self) -> Floats:
        return self._own[3]

    @property
    def fairleads(self) -> Floats:
        """(lines, 3) berth frame."""
        return self._own[4]


def _known(*values: float | None) -> float:
    """Return the first value that is known."""
    return next((value for value in values if value is not None and not isnan(value)), nan)
