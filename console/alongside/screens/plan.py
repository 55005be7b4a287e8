"""The plan view: ship, quay and lines from above, every line in the colour of its stage."""

import math
from collections.abc import Hashable

import numpy as np
from rich.style import Style
from textual.strip import Strip

from alongside.cycle.picture import LineRow
from alongside.cycle.picture_of import blank_picture
from alongside.readings import Floats
from alongside.reports import plan_shapes
from alongside.reports.braille import DOTS_ACROSS, DOTS_DOWN, Raster
from alongside.reports.plan_shapes import Frame
from alongside.screens.arrows import compass_arrow
from alongside.screens.board import Board
from alongside.screens.raster_pieces import raster_pieces
from alongside.screens.rows import Piece, both_ends, strip
from alongside.screens.view import View, chosen_line, severity
from alongside.stay.heading import ship_heading
from alongside.stay.stage import Stage
from alongside.wording.figures import bearing, force_figure, speed_figure
from alongside.wording.marks import MARKS
from alongside.wording.safe import safe

HULL_INK, QUAY_INK, UNKNOWN_INK, CHOSEN_INK = 4, 5, 6, 7
LABEL_ROWS = 2
"""Rows below the bollards for the names of lines."""


class Plan(Board):
    def basis(self, view: View) -> Hashable:
        return (id(view.figures), view.line, view.by_position)

    def rows_wanted(self, view: View, width: int, height: int) -> int:
        """Return rows that the whole length of ship and lines needs at this width, the ship in place."""
        points = _all_points(view, plan_shapes.Placement.of(blank_picture(view.stay)))
        across, up = points.max(axis=0) - points.min(axis=0)
        rows = float(width * DOTS_ACROSS * up / across / DOTS_DOWN)
        return math.ceil(rows) + LABEL_ROWS + 2

    def paint(self, view: View, width: int, height: int) -> list[Strip]:
        if height < 5 or width < 30:
            return []
        raster = Raster(width, height - 1)
        _draw(view, raster)
        rows = [
            strip(pieces, width, view.palette.text)
            for pieces in raster_pieces(raster, lambda i: _style(view, i))
        ]
        return [_heading(view, width), *rows]


def _style(view: View, ink: int) -> Style:
    palette = view.palette
    if ink in (HULL_INK, QUAY_INK, UNKNOWN_INK, CHOSEN_INK):
        colours = {HULL_INK: palette.faint, QUAY_INK: palette.rule, UNKNOWN_INK: palette.faint}
        return palette.style(colours.get(ink, palette.ink), bold=ink == CHOSEN_INK)
    return palette.text if ink < 0 else palette.style(palette.stage(Stage(ink)), bold=ink >= Stage.WARNING)


def _draw(view: View, raster: Raster) -> None:
    stay = view.stay
    placement = plan_shapes.Placement.of(view.figures)
    outline = placement.points(plan_shapes.hull(stay))
    ends, bollards = plan_shapes.lines(stay, placement), plan_shapes.bollards(stay)
    height = max(raster.height - LABEL_ROWS * DOTS_DOWN, DOTS_DOWN)
    frame = Frame.around(_all_points(view, placement), raster.width, height)
    _draw_quay(plan_shapes.fenders(stay), frame, raster)
    raster.polyline(frame.x(outline[:, 0]), frame.y(outline[:, 1]), HULL_INK)
    for x, y in bollards:
        raster.dots(frame.x(np.array([x, x])), frame.y(np.array([y, y])), QUAY_INK)
    by_stage = sorted(view.figures.lines, key=severity)
    for row in by_stage:
        end = ends.get(row.id)
        if end is not None:
            ink = UNKNOWN_INK if row.stage is None else int(row.stage)
            raster.polyline(frame.x(end[:, 0]), frame.y(end[:, 1]), ink)
    for row in by_stage:
        if row.id in ends:
            ink = UNKNOWN_INK if row.stage is None else int(row.stage)
            _label(view, raster, frame, row, ends[row.id], ink)


def _all_points(view: View, placement: plan_shapes.Placement) -> Floats:
    stay = view.stay
    hull, ends = placement.points(plan_shapes.hull(stay)), plan_shapes.lines(stay, placement)
    return np.vstack([hull, *ends.values(), plan_shapes.bollards(stay)])


def _draw_quay(fenders: Floats, frame: Frame, raster: Raster) -> None:
    """The fender face as a dotted line, a fender as a short stroke of it."""
    level = float(frame.y(np.zeros(1))[0])
    across = np.arange(0, raster.width, 4, dtype=np.float64)
    raster.dots(across, np.full(across.size, level), QUAY_INK)
    for x in frame.x(fenders):
        raster.polyline([x - 1.5, x + 1.5], [level, level], QUAY_INK)


def _label(view: View, raster: Raster, frame: Frame, row: LineRow, end: Floats, ink: int) -> None:
    """The line's name at its bollard, with the mark of its stage from caution up; both loads while its brake
    is in question."""
    line, name = row.id, safe(row.id)
    if not name.isascii():
        return
    mark = MARKS[Stage(ink)] if Stage.CAUTION <= ink <= Stage.ALARM else ""
    chosen = chosen_line(view)
    text = mark + name
    if row.asked is not None:
        loads = (force_figure(kn, view.stay.display) for kn in (row.tension_kn, row.asked.tension_kn))
        text += f" {' or '.join(loads)}"
    shown = ink if mark else (CHOSEN_INK if chosen is not None and chosen.id == line else HULL_INK)
    column = int(frame.x(end[1:, 0])[0]) // DOTS_ACROSS - len(name) // 2
    below = int(frame.y(end[1:, 1])[0]) // DOTS_DOWN + 1
    place = _free_place(raster, column, below, len(text))
    if place is not None:
        raster.write(*place, text, shown)


def _free_place(raster: Raster, column: int, row: int, length: int) -> tuple[int, int] | None:
    """Return the nearest place below and beside a bollard where a name covers no other one."""
    for aside in (0, 1, -1, 2, -2, 3, -3, 5, -5):
        left = min(max(column + aside, 0), raster.columns - length)
        for lower in range(row, raster.rows):
            if not any((lower, left + i) in raster.letters for i in range(-1, length + 1)):
                return left, lower
    return None


def _heading(view: View, width: int) -> Strip:
    """Return which way the drawing lies, and the wind across it."""
    palette, picture, berth = view.palette, view.figures, view.stay.berth
    bow = f"bow {bearing(ship_heading(view.stay))}"
    way = f"{bow} →" if view.stay.alongside == "starboard" else f"← {bow}"
    pieces: list[Piece] = [(" Plan", palette.strong), (f"   {way}", palette.label)]
    right: list[Piece] = []
    if math.isfinite(picture.wind_ms + picture.wind_from_deg):
        arrow = compass_arrow(picture.wind_from_deg + 180.0 - berth.bearing_of_x)
        wind = speed_figure(picture.wind_ms, view.stay.display)
        right = [("wind ", palette.label), (f"{arrow} {wind} ", palette.strong)]
        right.append((f"{view.stay.display.speed} ", palette.label))
    return both_ends(pieces, right, width, palette.text)
