"""The true values at the berth in a simulated stay, before any gauge reads them."""

from collections.abc import Collection, Mapping
from typing import Final

import numpy as np

from alongside.errors import WrongInput
from alongside.forecast.expected.draughts import (
    displacement_of,
    draughts_with_masses,
    heel_with_masses,
    masses_on_board,
)
from alongside.forecast.tide.between_extremes import planned_height
from alongside.readings import Floats
from alongside.stay.heading import ship_heading
from alongside.stay.model import Scenario, Stay
from alongside.training.simulate.loads import PREFIX, CellLoads
from alongside.training.simulate.sea import Sea
from alongside.training.simulate.weather import Wind
from alongside.units import iso_time

SURGE_S = 24.0 * 3600.0
"""The difference of the tide from its table comes and goes once in this time."""

SWELLS: Final = frozenset(
    {"tide", "depth", "draught_fwd", "draught_aft", "draught_mid_port", "draught_mid_stbd", "heel"}
)
"""Channels in which swell is seen."""


class Truth:
    """Walks through a stay block by block and gives every channel, (n,); line tensions only where `channels`
    ask for them."""

    def __init__(self, stay: Stay, scenario: Scenario, channels: Collection[str] = ()) -> None:
        self._stay = stay
        self._scenario = scenario
        self._wind = Wind(scenario.wind, scenario.seed, scenario.interval_s) if scenario.wind else None
        cells = [channel.removeprefix(PREFIX) for channel in channels if channel.startswith(PREFIX)]
        self._sea = Sea(stay, scenario, self._afloat) if scenario.moves_her else None
        self._loads = CellLoads(stay, cells, scenario.interval_s, self._sea) if cells else None

    def next_block(self, time: Floats) -> Mapping[str, Floats]:
        """Return channels in their own units at the next instants, without those that the stay does not
        have. Raises WrongInput where tide table or hydrostatics end before the log does."""
        channels = self._afloat(time)
        if self._sea is not None:
            for level in ("tide", "depth"):
                if level in channels:
                    channels[level] = channels[level] + self._sea.level(time)
        channels["heading"] = np.full(time.size, ship_heading(self._stay))
        if self._wind is not None:
            channels["wind_speed"], channels["wind_from"] = self._wind.next_block(time)
        if self._loads is not None:
            channels |= self._loads.next_block(time, channels)
        if self._sea is not None:
            for name in SWELLS & channels.keys():
                channels[name] = channels[name] + self._sea.shown(name, time)
        return channels

    def _afloat(self, time: Floats) -> dict[str, Floats]:
        """Tide, draughts, heel and depth."""
        ship = self._stay.ship
        tide = self._tide(time)
        fwd, aft, heel = self._draughts(time)
        slope = (aft - fwd) / (ship.marks.fwd - ship.marks.aft)
        midship = aft - slope * (ship.lbp / 2.0 - ship.marks.aft)
        half = ship.breadth / 2.0 * np.tan(np.radians(heel))
        channels = {"tide": tide, "draught_fwd": fwd, "draught_aft": aft, "heel": heel}
        channels["draught_mid_port"], channels["draught_mid_stbd"] = midship - half, midship + half
        if self._stay.berth.charted_depth is not None:
            channels["depth"] = self._stay.berth.charted_depth + tide
        return channels

    def _tide(self, time: Floats) -> Floats:
        plan, scenario = self._stay.tide, self._scenario
        if plan is None or (len(plan.high_low) < 2 and not plan.levels):
            raise WrongInput(
                f"{self._stay.file}: tide.high_low: missing, a log needs high and low waters, or a level"
            )
        height = planned_height(plan, time)
        _refuse_gaps(time, height, f"{self._stay.file}: tide.high_low: says nothing of")
        since = (time - scenario.start) / SURGE_S
        surge: Floats = scenario.surge_m * (1.0 - np.cos(2.0 * np.pi * since)) / 2.0
        return height + surge

    def _draughts(self, time: Floats) -> tuple[Floats, Floats, Floats]:
        """Draughts forward and aft, m, heel, deg. What was moved before the log starts is in its draughts."""
        stay, scenario = self._stay, self._scenario
        fwd, aft = scenario.draught_fwd, scenario.draught_aft
        if not stay.cargo:
            return np.full(time.size, fwd), np.full(time.size, aft), np.zeros(time.size)
        if not stay.ship.hydrostatics:
            raise WrongInput(f"{stay.file}: ship.hydrostatics: missing, a cargo plan needs the table")
        moved = masses_on_board(stay.cargo, time) - masses_on_board(stay.cargo, [scenario.start])
        x = [operation.x for operation in stay.cargo]
        y = [operation.y for operation in stay.cargo]
        now_fwd, now_aft = draughts_with_masses(stay.ship, fwd, aft, moved, x)
        _refuse_gaps(
            time, now_fwd, f"{stay.file}: ship.hydrostatics: the table does not reach the draught of"
        )
        displacement = displacement_of(stay.ship, fwd, aft) + moved.sum(axis=1)
        return now_fwd, now_aft, heel_with_masses(moved, y, displacement, scenario.gm)


def _refuse_gaps(time: Floats, value: Floats, what: str) -> None:
    gaps = np.isnan(value)
    if gaps.any():
        raise WrongInput(f"{what} {iso_time(float(time[gaps.argmax()]))}, within the simulated hours")
