"""Plan and section as they grow: what is answered is drawn, what only stands in is not."""

from dataclasses import dataclass
from math import atan2, degrees, hypot
from pathlib import Path
from typing import Final

import numpy as np

from alongside.reports import plan_shapes
from alongside.reports.braille import DOTS_ACROSS, DOTS_DOWN, Raster
from alongside.reports.new_stay.entry import Entry, draft
from alongside.reports.new_stay.sheet import Sheet
from alongside.reports.new_stay.trials import stay_of
from alongside.reports.new_stay.values import word_of
from alongside.reports.plan_shapes import Frame, Placement
from alongside.stay.bollard_places import draught_at, station_abreast
from alongside.stay.model import Line, Stay
from alongside.wording.figures import lead, metres
from alongside.wording.safe import safe

HULL, QUAY, LINE, PRESENT, NAME, WATER = range(6)
"""Inks."""
PLAIN_SIZE: Final = (76, 14)
SECTION_SIZE: Final = (76, 10)
LABEL_ROWS: Final = 2
BEHIND_M: Final = 8.0
"""Of the quay drawn behind a bollard."""


@dataclass(frozen=True, slots=True)
class Drawn:
    """What is drawn: a whole stay, and which parts of it were answered."""

    stay: Stay
    hull: bool
    bollards: frozenset[str]
    lines: frozenset[str]

    @property
    def present(self) -> Line | None:
        """Return the line answered last; None before the first."""
        return next((line for line in reversed(self.stay.lines) if line.id in self.lines), None)


def drawn(entry: Entry, file: Path) -> Drawn | None:
    """Return what can be drawn of an entry; None where that is nothing yet."""
    sheet = draft(entry)
    stay = stay_of(sheet, file)
    if stay is None:
        return None
    hull = sheet.known_ship is not None or sheet.answered.get("hull", 0) > 0
    bollards = sheet.bollards if sheet.known_berth else _answered(sheet, "bollards", "name")
    lines = _answered(sheet, "lines", "id") if "lines" in sheet else tuple(line.id for line in stay.lines)
    if not hull and not bollards:
        return None
    return Drawn(stay, hull, frozenset(bollards), frozenset(lines))


def _answered(sheet: Sheet, key: str, name: str) -> tuple[str, ...]:
    return tuple(word_of(row, name) for row in sheet.all(key)[: sheet.answered.get(key, 0)])


# --- from above


def plan(what: Drawn, columns: int, rows: int) -> Raster:
    """Return the plan: water at the top, quay at the foot."""
    raster = Raster(columns, rows)
    stay, placement = what.stay, Placement.in_place(what.stay)
    outline = placement.points(plan_shapes.hull(stay))
    ends = plan_shapes.lines(stay, placement)
    bollards = {name: (each.at.x, each.at.y) for name, each in stay.berth.bollards.items()}
    around = np.vstack([outline, *ends.values(), np.array(list(bollards.values()))])
    height = max(raster.height - LABEL_ROWS * DOTS_DOWN, DOTS_DOWN)
    frame = Frame.around(around, raster.width, height)
    level = float(frame.y(np.zeros(1))[0])
    across = np.arange(0, raster.width, 4, dtype=np.float64)
    raster.dots(across, np.full(across.size, level), QUAY)
    if what.hull:
        raster.polyline(frame.x(outline[:, 0]), frame.y(outline[:, 1]), HULL)
    present = what.present
    for line in (each for each in stay.lines if each.id in what.lines):
        end = ends[line.id]
        raster.polyline(frame.x(end[:, 0]), frame.y(end[:, 1]), PRESENT if line == present else LINE)
    for name in what.bollards & bollards.keys():
        x, y = bollards[name]
        column, row = (float(frame.x(np.array([x]))[0]), float(frame.y(np.array([y]))[0]))
        raster.dots([column, column], [row, row + 1.0], QUAY)
        _label(raster, name, int(column) // DOTS_ACROSS, int(row) // DOTS_DOWN + 1)
    return raster


def _label(raster: Raster, name: str, column: int, row: int) -> None:
    text = safe(name)
    left = min(max(column - len(text) // 2, 0), max(raster.columns - len(text), 0))
    for lower in range(row, raster.rows):
        if not any((lower, left + at) in raster.letters for at in range(-1, len(text) + 1)):
            raster.write(left, lower, text, NAME)
            return


# --- across


@dataclass(frozen=True, slots=True)
class Across:
    """A line seen along the quay, as made fast: heights above chart datum and y off the fender face, m."""

    fairlead: tuple[float, float]
    bollard: tuple[float, float]
    tide: float
    keel: float
    breadth: float
    deck: float
    along: float

    @property
    def down_deg(self) -> float:
        """Return the angle of the line below the horizontal."""
        level = hypot(self.fairlead[0] - self.bollard[0], self.along)
        return degrees(atan2(self.fairlead[1] - self.bollard[1], level))


def across(stay: Stay, line: Line) -> Across | None:
    """Return a line across the quay at the tide and draughts that it was made fast at; None where these are
    not stated."""
    fast, ship = line.made_fast, stay.ship
    if fast.tide is None or fast.draught_fwd is None or fast.draught_aft is None:
        return None
    point, bollard = ship.fairleads[line.fairlead], stay.berth.bollards[line.bollard].at
    draught = draught_at(point.x, ship.marks, fast.draught_fwd, fast.draught_aft)
    keel = fast.tide - draught
    inward = point.y if stay.alongside == "port" else -point.y
    station = station_abreast(bollard.x, stay.place, stay.alongside)
    return Across(
        (ship.breadth / 2.0 - inward, keel + point.z),
        (bollard.y, bollard.z),
        fast.tide,
        keel,
        ship.breadth,
        keel + ship.depth,
        station - point.x,
    )


def section(what: Drawn, columns: int, rows: int) -> Raster:
    """Return the present line across the quay: quay at the left, her side at the right."""
    raster = Raster(columns, rows)
    line = what.present
    view = None if line is None else across(what.stay, line)
    if view is None:
        return raster
    y_low, y_high = min(view.bollard[0], 0.0) - BEHIND_M, view.breadth * 0.6
    low, high = view.keel, max(view.fairlead[1], view.bollard[1], view.deck)
    scale = min(
        (raster.width - 1) / (y_high - y_low), (raster.height - 1) / (high - low) if high > low else 1.0
    )

    def at(points: list[tuple[float, float]]) -> tuple[list[float], list[float]]:
        return [(y - y_low) * scale for y, _ in points], [(high - z) * scale for _, z in points]

    quay, side = view.bollard[1], view.breadth * 0.6
    raster.polyline(*at([(y_low, quay), (0.0, quay), (0.0, low)]), QUAY)
    raster.polyline(*at([(0.0, view.tide), (side, view.tide)]), WATER, every=3)
    raster.polyline(*at([(side, low), (0.4, low), (0.4, view.deck), (side, view.deck)]), HULL)
    raster.polyline(*at([view.fairlead, view.bollard]), PRESENT)
    return raster


def section_words(what: Drawn) -> str:
    """Return what the section shows: `line 3, F3 to MD2: 20° down, 24.10 m along`."""
    line = what.present
    view = None if line is None else across(what.stay, line)
    if line is None or view is None:
        return ""
    ends = f"line {safe(line.id)}, {safe(line.fairlead)} to {safe(line.bollard)}"
    return f"{ends}: {lead(view.down_deg)}, {metres(abs(view.along), 1)} along"


def plain_drawing(entry: Entry, file: Path) -> tuple[str, ...]:
    """Return plan and section as rows of text."""
    what = drawn(entry, file)
    if what is None:
        return ("Nothing to draw yet: the hull and the bollards come first.",)
    rows = ["".join(text for text, _ in runs).rstrip() for runs in plan(what, *PLAIN_SIZE).runs()]
    words = section_words(what)
    if words:
        rows.append(f"Section, {words}")
        rows += ["".join(text for text, _ in runs).rstrip() for runs in section(what, *SECTION_SIZE).runs()]
    return tuple(rows)
