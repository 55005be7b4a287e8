"""The plan: ship, quay and lines from above, to scale, every line in the colour of its stage."""

import math
from collections.abc import Hashable
from typing import Final

import numpy as np
from rich.style import Style
from textual.strip import Strip

from alongside.cycle.line_row import LineRow
from alongside.cycle.picture_of import blank_picture
from alongside.readings import Floats
from alongside.reports import plan_shapes
from alongside.reports.braille import DOTS_ACROSS, DOTS_DOWN, Raster
from alongside.reports.plan_shapes import Drift, Frame
from alongside.screens.board import Board
from alongside.screens.plan_words import drawn_words, foot_fields, head_row
from alongside.screens.raster_pieces import raster_pieces
from alongside.screens.rows import flow, strip
from alongside.screens.view import View, chosen_line, other_line
from alongside.stay.stage import Stage
from alongside.wording.figures import force_figure
from alongside.wording.marks import MARKS
from alongside.wording.safe import safe

HULL_INK, QUAY_INK, UNKNOWN_INK, CHOSEN_INK, PLACE_INK, WORD_INK = 4, 5, 6, 7, 8, 9
LABEL_ROWS = 2
"""Rows below the bollards for the names of lines."""
PROPOSED_S: Final = 1800.0
FOOT_FROM: Final = 9
"""Height from which drift and what leans on her have a row of their own."""


class Plan(Board):
    """With `foot` the place of the ship and the stages of lines have a row below it."""

    def __init__(self, name: str, *, foot: bool = True) -> None:
        super().__init__(name)
        self._foot = foot

    def basis(self, view: View) -> Hashable:
        return (id(view.figures), view.line, view.by_position, id(view.answer))

    def move(self, view: View, step: int) -> View:
        """Choose the line so many rows down the table."""
        return other_line(view, step)

    def rows_wanted(self, view: View, width: int, height: int) -> int:
        """Return rows that the whole length of ship and lines needs at this width, the ship in place."""
        points = _all_points(view, plan_shapes.Placement.of(blank_picture(view.stay)))
        across, up = points.max(axis=0) - points.min(axis=0)
        rows = float(width * DOTS_ACROSS * up / across / DOTS_DOWN)
        return math.ceil(rows) + LABEL_ROWS + 2 + self._foot

    def paint(self, view: View, width: int, height: int) -> list[Strip]:
        return plan_strips(view, width, height, foot=self._foot)


def plan_strips(view: View, width: int, height: int, *, foot: bool = True) -> list[Strip]:
    """Return the plan in at most so many rows; nothing where there is no room for one."""
    if height < 5 or width < 30:
        return []
    fill = view.palette.text
    has_foot = foot and height >= FOOT_FROM
    raster = Raster(width, height - 1 - has_foot)
    drift = _draw(view, raster)
    rows = [strip(pieces, width, fill) for pieces in raster_pieces(raster, lambda ink: _style(view, ink))]
    head = head_row(view, "" if has_foot else drawn_words(drift), width)
    if not has_foot:
        return [head, *rows]
    return [head, *rows, strip(flow(foot_fields(view, drift), width, ("   ", fill)), width, fill)]


def _style(view: View, ink: int) -> Style:
    palette = view.palette
    if ink in (QUAY_INK, PLACE_INK):
        return palette.frame
    if ink in (HULL_INK, UNKNOWN_INK, WORD_INK):
        return palette.label
    if ink == CHOSEN_INK:
        return palette.strong
    return palette.text if ink < 0 else palette.style(palette.stage(Stage(ink)), bold=ink >= Stage.WARNING)


def _draw(view: View, raster: Raster) -> Drift:
    """Draw all of it; return by how much the ship is off her place, and how many times that is drawn."""
    stay = view.stay
    in_place, frame = plan_shapes.Placement.in_place(stay), frame_of(view, raster)
    drift = Drift.of(view.figures, frame.scale)
    placement = drift.placement(stay)
    outline = placement.points(plan_shapes.hull(stay))
    ends, bollards = plan_shapes.lines(stay, placement), plan_shapes.bollards(stay)
    _draw_quay(plan_shapes.fenders(stay), frame, raster)
    if drift.factor > 1:
        place = in_place.points(plan_shapes.hull(stay))
        raster.polyline(frame.x(place[:, 0]), frame.y(place[:, 1]), PLACE_INK, every=4)
    raster.polyline(frame.x(outline[:, 0]), frame.y(outline[:, 1]), HULL_INK)
    for x, y in zip(frame.x(bollards[:, 0]), frame.y(bollards[:, 1]), strict=True):
        raster.dots([x, x + 1.0, x, x + 1.0], [y, y, y + 1.0, y + 1.0], QUAY_INK)
    by_stage = sorted(view.figures.lines, key=lambda row: row.severity)
    first = chosen_line(view)
    chosen = "" if first is None else first.id
    for row in sorted(by_stage, key=lambda row: row.id == chosen):
        end = ends.get(row.id)
        if end is not None:
            _draw_line(raster, frame, row, end, row.id == chosen)
    placed = {row.id: ends[row.id] for row in by_stage if row.id in ends}
    for row in sorted(by_stage, key=lambda row: (row.id != chosen, -row.severity)):
        if row.id in placed:
            _label(view, raster, frame, row, placed[row.id], row.id == chosen)
    _draw_proposed(view, raster, frame, placement)
    _write_words(view, raster, frame, placement)
    return drift


def frame_of(view: View, raster: Raster) -> Frame:
    """Return the scale that shows ship, lines and bollards whole, with room for names below them."""
    height = max(raster.height - LABEL_ROWS * DOTS_DOWN, DOTS_DOWN)
    points = _all_points(view, plan_shapes.Placement.in_place(view.stay))
    return Frame.around(points, raster.width, height)


def _ink(row: LineRow) -> int:
    return UNKNOWN_INK if row.stage is None else int(row.stage)


def _draw_line(raster: Raster, frame: Frame, row: LineRow, end: Floats, is_chosen: bool) -> None:
    """A line from fairlead to bollard; dotted where nothing is known of it; the chosen one bright, or
    twice as wide in the colour of its stage."""
    ink, every = _ink(row), 1 if row.stage is not None else 3
    x, y = frame.x(end[:, 0]), frame.y(end[:, 1])
    if is_chosen:
        raster.polyline(x + 1.0, y, ink, every=every)
        ink = ink if Stage.CAUTION <= ink <= Stage.ALARM else CHOSEN_INK
    raster.polyline(x, y, ink, every=every)


def _all_points(view: View, placement: plan_shapes.Placement) -> Floats:
    stay = view.stay
    hull, ends = placement.points(plan_shapes.hull(stay)), plan_shapes.lines(stay, placement)
    return np.vstack([hull, *ends.values(), plan_shapes.bollards(stay)])


def _draw_proposed(view: View, raster: Raster, frame: Frame, placement: plan_shapes.Placement) -> None:
    """Draw leads that an answer of the last half hour proposes: dotted, named at their bollards."""
    answer = view.answer
    if answer is None or not 0.0 <= view.figures.time - answer.time <= PROPOSED_S:
        return
    for lead in answer.leads:
        end = plan_shapes.lead(view.stay, placement, lead.fairlead, lead.bollard)
        x, y = frame.x(end[:, 0]), frame.y(end[:, 1])
        raster.polyline(x, y, CHOSEN_INK, every=3)
        column = int(x[1]) // DOTS_ACROSS - len(lead.label) // 2
        place = _free_place(raster, column, int(y[1]) // DOTS_DOWN + 1, len(lead.label))
        if place is not None:
            raster.write(*place, lead.label, CHOSEN_INK)


def _draw_quay(fenders: Floats, frame: Frame, raster: Raster) -> None:
    """The fender face as a dotted line, a fender as a short stroke of it."""
    level = float(frame.y(np.zeros(1))[0])
    across = np.arange(0, raster.width, 4, dtype=np.float64)
    raster.dots(across, np.full(across.size, level), QUAY_INK)
    for x in frame.x(fenders):
        raster.polyline([x - 1.5, x + 1.5], [level, level], QUAY_INK)
        raster.polyline([x - 1.5, x + 1.5], [level + 1.0, level + 1.0], QUAY_INK)


def _label(view: View, raster: Raster, frame: Frame, row: LineRow, end: Floats, is_chosen: bool) -> None:
    """The line's name at its bollard, with the mark of its stage from caution up; both loads while its brake
    is in question."""
    name, ink = safe(row.id), _ink(row)
    if not name.isascii():
        return
    mark = MARKS[Stage(ink)] if Stage.CAUTION <= ink <= Stage.ALARM else ""
    text = mark + name
    if row.asked is not None:
        loads = (force_figure(kn, view.stay.display) for kn in (row.tension_kn, row.asked.tension_kn))
        text += f" {' or '.join(loads)}"
    shown = ink if mark else (CHOSEN_INK if is_chosen else HULL_INK)
    column = int(frame.x(end[1:, 0])[0]) // DOTS_ACROSS - len(name) // 2
    below = int(frame.y(end[1:, 1])[0]) // DOTS_DOWN + 1
    place = _free_place(raster, column, below, len(text))
    if place is not None:
        raster.write(*place, text, shown)


def _free_place(raster: Raster, column: int, row: int, length: int) -> tuple[int, int] | None:
    """Return the nearest place below and beside a bollard where a name covers no other one."""
    for aside in (0, 1, -1, 2, -2, 3, -3, 5, -5, 8, -8):
        left = min(max(column + aside, 0), raster.columns - length)
        for lower in range(row, raster.rows):
            if left >= 0 and _is_free(raster, left, lower, length):
                return left, lower
    return None


def _is_free(raster: Raster, column: int, row: int, length: int) -> bool:
    return not any((row, column + at) in raster.letters for at in range(-1, length + 1))


def _write_words(view: View, raster: Raster, frame: Frame, placement: plan_shapes.Placement) -> None:
    """Name what is drawn: bow and stern, her sides where the hull has room, water and quay."""
    ship = view.stay.ship
    aft = -(ship.loa - ship.lbp) / 2.0
    inside = 0.08 * ship.loa
    ends = placement.points(np.array([(aft + ship.loa - inside, 0.0), (aft + inside, 0.0)]))
    columns, rows = frame.x(ends[:, 0]) / DOTS_ACROSS, frame.y(ends[:, 1]) / DOTS_DOWN
    for word, column, row in zip(("bow", "stern"), columns.tolist(), rows.tolist(), strict=True):
        _write(raster, round(column) - len(word) // 2, int(row), word)
    middle = placement.points(np.array([(aft + ship.loa / 2.0, 0.5), (aft + ship.loa / 2.0, -0.5)]))
    breadth = ship.breadth * frame.scale / DOTS_DOWN
    side = int(frame.y(middle[:, 1]).mean() / DOTS_DOWN)
    if breadth >= 4.0:
        near = "starboard side" if view.stay.alongside == "starboard" else "port side"
        far = "port side" if view.stay.alongside == "starboard" else "starboard side"
        column = round(float(frame.x(middle[:1, 0])[0]) / DOTS_ACROSS)
        out, in_ = side - int(breadth / 2.0 - 1.0), side + int(breadth / 2.0 - 1.0)
        _write(raster, column - len(far) // 2, out, far)
        _write(raster, column - len(near) // 2, in_, near)
    face = int(float(frame.y(np.zeros(1))[0]) / DOTS_DOWN)
    _write(raster, 1, max(face - 2, 0), "water")
    for row in range(face + 1, raster.rows):
        if any(_write(raster, column, row, "quay") for column in (1, raster.columns - 5)):
            break


def _write(raster: Raster, column: int, row: int, word: str) -> bool:
    """Write a word where no other stands; return whether it was written."""
    column = min(max(column, 0), raster.columns - len(word))
    if not 0 <= row < raster.rows or column < 0 or not _is_free(raster, column, row, len(word)):
        return False
    raster.write(column, row, word, WORD_INK)
    return True
