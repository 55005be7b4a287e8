"""Holding power as a polar: how much wind is held from each direction, drawn about the ship in braille dots.

The drawing lies as the view from above does: the quay at the foot, berth +x to the right, so that true
directions run clockwise from `bearing_of_x` at the right. The distance from the middle is the 30 s wind; wind
inside the contour is held. Pure: the screen colours the inks, the command line prints them as they are.
"""

import math
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from alongside.mechanics.holding import HoldingPower
from alongside.mechanics.holding_search import CAP_MS
from alongside.mechanics.holding_sectors import (
    Sector,
    held_from,
    sectors_of,
)
from alongside.readings import Floats
from alongside.reports.braille import DOTS_ACROSS, DOTS_DOWN, Raster
from alongside.reports.plan_shapes import Placement, hull
from alongside.stay.model import Stay
from alongside.units import KNOT

RING, SHIP, QUAY, CONTACT, HELD, WEAKEST, TEXT, WIND = range(8)
"""Inks, in the order in which they win a cell."""
MEAN, GUST, AHEAD, EDGE = "◆", "◇", "○", "┄"
AROUND: Final = 2
"""Cells left free at each side for the names of directions, one row at top and foot."""
_CALM_MS: Final = 15.0
"""The rim stands for no less than this."""
_SCALE_AT: Final = (-68.0, -112.0, 68.0, 112.0)
"""Where the figures of the rings stand, deg clockwise from the right; the next one where the wind or a letter
stands: half a figure would be another wind."""
_SHIP_SHARE: Final = 0.75
"""Length of the ship as a share of the rim."""


@dataclass(frozen=True, slots=True)
class Wind:
    """The wind now, 30 s mean and 3 s gust in m/s, and where it comes from, true; the least that is held from
    about there, m/s, and from where; NaN where not known."""

    mean_ms: float
    gust_ms: float
    from_deg: float
    holds_ms: float = math.nan
    weak_from_deg: float = math.nan
    which: str = ""
    """While brakes are in question, of which state that is: ` if brake 4 held`."""
    otherwise: str = ""
    """What is held in the other one: `54 kn if it slipped`."""
    ahead_ms: float = math.nan
    """The strongest mean that is expected in the hours ahead, and where it comes from, at what time in words;
    NaN where none stronger than now is."""
    ahead_from_deg: float = math.nan
    ahead_at: str = ""

    @property
    def known(self) -> bool:
        return math.isfinite(self.mean_ms + self.from_deg)


@dataclass(frozen=True, slots=True)
class Dial:
    """Where true directions and winds lie in the drawing, in dots."""

    x: float
    y: float
    radius: float
    rim_ms: float
    right_deg: float

    def at(self, from_deg: Floats | float, ms: Floats | float) -> tuple[Floats, Floats]:
        angle = np.radians(np.asarray(from_deg) - self.right_deg)
        away = np.asarray(ms) / self.rim_ms * self.radius
        return self.x + away * np.cos(angle), self.y + away * np.sin(angle)

    def cell(self, from_deg: float, ms: float, beyond: float = 0.0) -> tuple[int, int]:
        """Return column and row of the cell there, `beyond` dots farther out."""
        x, y = self.at(from_deg, ms + beyond / self.radius * self.rim_ms)
        return math.floor((float(x) + 0.5) / DOTS_ACROSS), math.floor((float(y) + 0.5) / DOTS_DOWN)


def dial_of(holding: HoldingPower, stay: Stay, wind: Wind, columns: int, rows: int) -> Dial:
    """Return the largest round dial in so many cells. Its rim stands for a round figure in the unit of the
    display beyond the wind now and well beyond the least that is held."""
    width, height = (columns - 2 * AROUND) * DOTS_ACROSS, (rows - 2) * DOTS_DOWN
    radius = max(min(width, height) / 2.0 - 1.0, 1.0)
    least, most = (0.0, 0.0) if holding.reason else (holding.holds_ms.min(), holding.holds_ms.max())
    wanted = max(min(float(most), 2.2 * float(least)), 1.2 * np.nan_to_num(wind.mean_ms), _CALM_MS)
    for stronger in (wind.gust_ms, wind.ahead_ms):
        if math.isfinite(stronger):
            wanted = max(wanted, 1.1 * stronger)
    unit = KNOT if stay.display.speed == "kn" else 1.0
    step = 10.0 if unit == KNOT else 5.0
    rim = min(math.ceil(wanted / unit / step - 1e-9) * step * unit, CAP_MS)
    middle = (columns * DOTS_ACROSS - 1) / 2.0, (rows * DOTS_DOWN - 1) / 2.0
    return Dial(*middle, radius, rim, stay.berth.bearing_of_x)


def draw_polar(holding: HoldingPower, stay: Stay, wind: Wind, columns: int, rows: int) -> Raster:
    """Return the polar in `columns` x `rows` cells, in the inks of this module; empty below 16 x 8."""
    raster = Raster(columns, rows)
    if columns < 16 or rows < 8:
        return raster
    dial = dial_of(holding, stay, wind, columns, rows)
    _draw_rings(raster, dial, stay)
    _draw_ship(raster, dial, stay)
    if not holding.reason:
        _draw_contact(raster, dial, holding)
        _draw_contour(raster, dial, holding)
    _name_directions(raster, dial)
    if not holding.reason:
        _name_sectors(raster, dial, holding)
    if wind.ahead_at:
        raster.write(*dial.cell(wind.ahead_from_deg, wind.ahead_ms), AHEAD, WIND)
    if wind.known:
        _draw_wind(raster, dial, wind)
    _name_rings(raster, dial, stay)
    return raster


def _rings(dial: Dial, stay: Stay) -> tuple[Floats, float]:
    """Return round winds of the rings within the rim, in the unit of the display, and that unit in m/s."""
    unit = KNOT if stay.display.speed == "kn" else 1.0
    rim = dial.rim_ms / unit
    step = next(step for step in (5.0, 10.0, 20.0, 50.0, 100.0) if rim / step <= 4.0 or step == 100.0)
    return np.arange(step, rim + 0.01, step), unit


def _draw_rings(raster: Raster, dial: Dial, stay: Stay) -> None:
    """Draw dotted rings at round winds, and the rim."""
    rings, unit = _rings(dial, stay)
    for ms in np.append(rings * unit, dial.rim_ms):
        count = max(int(ms / dial.rim_ms * dial.radius * 2.0 * math.pi / 4.0), 8)
        raster.dots(*dial.at(np.arange(count) * 360.0 / count, ms), RING)


def _name_rings(raster: Raster, dial: Dial, stay: Stay) -> None:
    """Write the figures of the rings, one above the other, where no letter stands."""
    rings, unit = _rings(dial, stay)
    for ring in rings:
        text = f"{ring:.0f}"
        for at in _SCALE_AT:
            column, row = dial.cell(dial.right_deg + at, ring * unit)
            if not any((row, column - 2 + i) in raster.letters for i in range(len(text) + 2)):
                raster.write(column - 1, row, text, RING)
                break


def _draw_ship(raster: Raster, dial: Dial, stay: Stay) -> None:
    """Draw her outline to her heading in the middle, and the quay along her side."""
    placement = replace(Placement.in_place(stay), x=0.0, y=0.0, ship_x=stay.ship.lbp / 2.0)
    outline = placement.points(hull(stay))
    scale = _SHIP_SHARE * dial.radius / stay.ship.loa
    raster.polyline(dial.x + outline[:, 0] * scale, dial.y - outline[:, 1] * scale, SHIP)
    along = np.arange(-0.62, 0.63, 0.02) * dial.radius
    quay = dial.y + max(stay.ship.breadth / 2.0 * scale + 2.0, 3.0)
    raster.dots(dial.x + along, np.full(along.size, quay), QUAY)
    ties = along[::6]
    raster.dots(dial.x + ties, np.full(ties.size, quay + 1.0), QUAY)


def _draw_contact(raster: Raster, dial: Dial, holding: HoldingPower) -> None:
    """Draw dots where her side leaves the last fender."""
    ms = np.where(holding.contact_ms < CAP_MS, holding.contact_ms, np.nan)
    raster.dots(*dial.at(holding.from_deg, np.where(ms <= dial.rim_ms, ms, np.nan)), CONTACT)


def _draw_contour(raster: Raster, dial: Dial, holding: HoldingPower) -> None:
    """Draw the contour, straight from direction to direction, left open where it lies beyond the rim; a
    stroke across it where another thing gives first."""
    held = np.append(holding.holds_ms, holding.holds_ms[:1])
    fine = np.arange(0.0, 360.5, 1.0)
    ms = np.interp(fine, np.append(holding.from_deg, 360.0), held)
    raster.polyline(*dial.at(fine, np.where(ms <= dial.rim_ms, ms, np.nan)), HELD)
    step = 360.0 / holding.from_deg.size
    sectors = sectors_of(holding)
    for sector in sectors:
        if sector.kind.letter == "A":
            among = np.arange(sector.first * step - step / 2.0, sector.last * step + step / 2.0 + 0.5, 1.0)
            weak = np.interp(among % 360.0, np.append(holding.from_deg, 360.0), held)
            raster.polyline(*dial.at(among, np.where(weak <= dial.rim_ms, weak, np.nan)), WEAKEST)
        between = (sector.first - 0.5) * step
        at = held_from(holding, between)
        if at <= dial.rim_ms and len(sectors) > 1:
            spread = np.array([-3.0, 3.0]) / dial.radius * dial.rim_ms
            raster.polyline(*dial.at(np.full(2, between), np.maximum(at + spread, 0.0)), TEXT)


def _name_directions(raster: Raster, dial: Dial) -> None:
    for name, from_deg in (("N", 0.0), ("E", 90.0), ("S", 180.0), ("W", 270.0)):
        column, row = dial.cell(from_deg, dial.rim_ms, beyond=3.0)
        raster.write(column, min(max(row, 0), raster.rows - 1), name, SHIP)


def _name_sectors(raster: Raster, dial: Dial, holding: HoldingPower) -> None:
    """Write the letter of each sector just outside its contour, at its middle or as near as there is room."""
    for sector in sectors_of(holding):
        place = _free_place(raster, dial, holding, sector)
        if place is not None:
            raster.write(*place, sector.kind.letter, WEAKEST if sector.kind.letter == "A" else TEXT)


def _free_place(raster: Raster, dial: Dial, holding: HoldingPower, sector: Sector) -> tuple[int, int] | None:
    """Return column and row; None where the whole sector lies beyond the rim or has no room."""
    indices = sorted(range(sector.first, sector.last + 1), key=lambda index: abs(index - sector.middle))
    for beyond in (4.5, 8.0):
        for index in indices:
            at = index % holding.from_deg.size
            ms = float(holding.holds_ms[at])
            column, row = dial.cell(float(holding.from_deg[at]), ms, beyond)
            near = {(row, column - 1), (row, column), (row, column + 1)}
            if ms <= dial.rim_ms and not near & raster.letters.keys():
                return column, row
    return None


def _draw_wind(raster: Raster, dial: Dial, wind: Wind) -> None:
    """Draw a dotted line from the middle out to the gust; the mean and the gust each with a mark."""
    gust = wind.gust_ms if math.isfinite(wind.gust_ms) else wind.mean_ms
    out = np.arange(0.0, max(gust, wind.mean_ms), 3.0 / dial.radius * dial.rim_ms)
    raster.dots(*dial.at(wind.from_deg, out), WIND)
    column, row = dial.cell(wind.from_deg, gust)
    raster.write(column, row, GUST, WIND)
    column, row = dial.cell(wind.from_deg, wind.mean_ms)
    raster.write(column, row, MEAN, WIND)
