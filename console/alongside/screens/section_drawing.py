"""The section of a line, drawn to scale: ship's side, quay, water now and at the next high and low water."""

from dataclasses import dataclass
from math import ceil, isfinite
from typing import Final

import numpy as np

from alongside.cycle.line_moment import Moment
from alongside.cycle.line_section import Section
from alongside.cycle.who_holds import WHEN
from alongside.readings import Floats
from alongside.reports.braille import DOTS_ACROSS, DOTS_DOWN, Raster
from alongside.stay.model import Display
from alongside.wording.figures import metres
from alongside.wording.safe import safe
from alongside.wording.times import clock

SHIP_INK, QUAY_INK, WATER_INK, LATER_INK, WORD_INK, GONE_INK = 4, 5, 6, 7, 8, 9
"""Inks beside those of the stages (0 to 3), in which the line stands now."""
LEAST: Final = (24, 5)
"""Columns and rows from which a section says anything."""
ENOUGH_ROWS: Final = 7
"""Rows that the heights take at least, else they are drawn larger than lengths."""
FACTORS: Final = (2, 3, 4, 5, 8, 10, 15, 20)
"""By which heights may be drawn larger."""
SPARE_M: Final = 0.8
HULL_M: Final = 2.5
BEHIND_M: Final = 1.5
"""Of the ship, and of what lies behind the far end, m that are drawn at least."""
DOTTED: Final = 3


@dataclass(frozen=True, slots=True)
class Scale:
    """From metres to dots: `across` dots a metre, `factor` times as many for heights. `left` m from the far
    end and `top` m over chart datum stand at the upper left corner."""

    across: float
    factor: int
    left: float
    top: float

    def x(self, from_far_end: Floats | float) -> Floats:
        return (self.left - np.asarray(from_far_end, dtype=np.float64)) * self.across

    def y(self, height: Floats | float) -> Floats:
        return (self.top - np.asarray(height, dtype=np.float64)) * self.across * self.factor


def extent(section: Section) -> tuple[float, float, float, float] | None:
    """Return what is drawn, m: most and least distance from the far end, lowest and highest height; None
    where nothing of the lead is known."""
    drawn = [each for each in section.moments if each.is_drawn]
    if not drawn:
        return None
    widest = max(each.level_m for each in drawn)
    heights = [height for each in drawn for height in (each.fairlead_z + section.rail_m, each.far_z)]
    heights += [each.water for each in section.moments if isfinite(each.water)]
    if isfinite(section.quay_z):
        heights.append(section.quay_z)
    hull, behind = max(HULL_M, 0.06 * widest), max(BEHIND_M, 0.04 * widest)
    return widest + hull, -behind, min(heights) - SPARE_M, max(heights) + SPARE_M


def scale_of(section: Section, columns: int, rows: int) -> Scale | None:
    """Return the scale that shows all of a section: the same both ways, heights larger only where they would
    take too few rows else."""
    size = extent(section)
    if size is None:
        return None
    most, least, low, high = size
    width, height = columns * DOTS_ACROSS, rows * DOTS_DOWN
    by_width, by_height = (width - 1) / (most - least), (height - 1) / (high - low)
    across = min(by_width, by_height)
    factor = 1
    wanted = min(ENOUGH_ROWS * DOTS_DOWN, height) - DOTS_DOWN
    for larger in FACTORS:
        if (high - low) * across * factor >= wanted or across * larger > by_height:
            break
        factor = larger
    spare = (width - 1) / across - (most - least)
    above = ((height - 1) / (across * factor) - (high - low)) / 2.0
    return Scale(across, factor, most + spare / 2.0, high + above)


def drawn_section(section: Section, stage: int, display: Display, columns: int, rows: int) -> Raster | None:
    """Return the section in so many cells; `stage` is the ink of the line now, -1 where nothing is known of
    it. None where there is no room, or nothing to be drawn."""
    if columns < LEAST[0] or rows < LEAST[1]:
        return None
    scale = scale_of(section, columns, rows)
    if scale is None:
        return None
    raster = Raster(columns, rows)
    _draw_shore(section, scale, raster)
    _draw_water(section, scale, raster)
    _draw_ship(section, scale, raster)
    for moment in reversed(section.moments):
        _draw_line(section, moment, stage, scale, raster)
    for moment in reversed(section.moments[1:]):
        _write_when(section, moment, scale, raster)
    _write_levels(section, scale, display, raster)
    _write_words(section, scale, raster)
    return raster


def scale_words(section: Section, columns: int, rows: int) -> str:
    """Return how it is drawn: `to scale`, `heights drawn x3`; "" where nothing is."""
    scale = scale_of(section, columns, rows)
    if scale is None:
        return ""
    return "to scale" if scale.factor == 1 else f"heights drawn x{scale.factor}"


def _edge(section: Section) -> float:
    """Return the distance from the far end to the quay edge, m; NaN where there is none."""
    return section.now.edge_m if isfinite(section.quay_z) else float("nan")


def _draw_shore(section: Section, scale: Scale, raster: Raster) -> None:
    """The quay with its face and the bollard on it; a dolphin, a buoy, another ship as a post."""
    now = section.now
    if not now.is_drawn:
        return
    edge, foot = _edge(section), raster.height - 1.0
    far = float(scale.x(0.0))
    if isfinite(edge):
        top = float(scale.y(section.quay_z))
        face = float(scale.x(edge))
        raster.polyline([face, face, raster.width - 1.0], [foot, top, top], QUAY_INK)
        post = float(scale.y(now.far_z))
        raster.polyline([far, far], [post, top], QUAY_INK)
    else:
        raster.polyline([far, far], [float(scale.y(now.far_z)), foot], QUAY_INK)
    for moment in section.moments[1:]:
        if moment.is_drawn and abs(moment.far_z - now.far_z) > 0.05:
            raster.dots([far - 1.0, far, far + 1.0], np.full(3, float(scale.y(moment.far_z))), LATER_INK)


def _draw_water(section: Section, scale: Scale, raster: Raster) -> None:
    """The water now from side to side of what is afloat, at high and low water dotted."""
    edge = _edge(section)
    end = float(scale.x(edge)) if isfinite(edge) else raster.width - 1.0
    for moment in section.moments:
        if not isfinite(moment.water):
            continue
        level = float(scale.y(moment.water))
        start = float(scale.x(section.now.level_m)) if section.now.is_drawn else 0.0
        if moment.when == "now":
            raster.polyline([start, end], [level, level], WATER_INK)
        else:
            across = np.arange(start, end + 1.0, 2.0)
            raster.dots(across, np.full(across.size, level), WATER_INK)


def _draw_ship(section: Section, scale: Scale, raster: Raster) -> None:
    """The ship's side at the fairlead, from her rail down, and the rail."""
    now = section.now
    if not now.is_drawn:
        return
    side, rail = float(scale.x(now.level_m)), float(scale.y(now.fairlead_z + section.rail_m))
    raster.polyline([0.0, side, side], [rail, rail, raster.height - 1.0], SHIP_INK)


def _draw_line(section: Section, moment: Moment, stage: int, scale: Scale, raster: Raster) -> None:
    """The line now, whole; at high and low water dotted. None where no line is out."""
    if not moment.is_drawn:
        return
    ends = scale.x(np.array([moment.level_m, 0.0])), scale.y(np.array([moment.fairlead_z, moment.far_z]))
    if moment.when != "now":
        if section.is_out:
            raster.polyline(*ends, LATER_INK, every=DOTTED)
    elif section.is_out:
        raster.polyline(*ends, stage if stage >= 0 else GONE_INK, every=1 if stage >= 0 else DOTTED)
    if moment.when == "now":
        column, row = _cell(float(ends[0][0]), float(ends[1][0]))
        raster.write(column, row, "o", WORD_INK)
        column, row = _cell(float(ends[0][1]), float(ends[1][1]))
        raster.write(min(column, raster.columns - 1), row, "O", WORD_INK)


def _write_when(section: Section, moment: Moment, scale: Scale, raster: Raster) -> None:
    """Label a line at high or low water at her fairlead then, clear of the ends of the line now."""
    if moment.is_drawn and section.is_out:
        column, row = _cell(float(scale.x(moment.level_m)), float(scale.y(moment.fairlead_z)))
        _write_free(raster, column - 3, row, WHEN[moment.when], LATER_INK)


def _cell(x: float, y: float) -> tuple[int, int]:
    return round(x) // DOTS_ACROSS, round(y) // DOTS_DOWN


def _write_levels(section: Section, scale: Scale, display: Display, raster: Raster) -> None:
    """Label each level of the water, right of the quay face, or at the right end: whole or not at all. Of two
    on one row that of now stays, the other moves up or down."""
    edge = _edge(section)
    begin = _cell(float(scale.x(edge)), 0.0)[0] + 1 if isfinite(edge) else 0
    for moment in section.moments:
        if not isfinite(moment.water):
            continue
        row = _cell(0.0, float(scale.y(moment.water)))[1]
        step = {"now": 0, "high_water": -1, "low_water": 1}[moment.when]
        for text in _level_texts(moment, display):
            column = begin if isfinite(edge) else raster.columns - len(text)
            if any(_write_free(raster, column, row + aside, text) for aside in (0, step, 2 * step)):
                break


def _level_texts(moment: Moment, display: Display) -> list[str]:
    """Return what stands at a level, the longest first."""
    word, level = WHEN[moment.when], metres(moment.water)
    if moment.when == "now":
        return [f"water {word} {level}", f"{word} {level}", word]
    at = clock(moment.time, display)
    return [f"{word} {at}  {level}", f"{word} {at}", word]


def _write_free(raster: Raster, column: int, row: int, text: str, ink: int = WORD_INK) -> bool:
    """Write a text where no other stands; return whether it was written."""
    inside = 0 <= row < raster.rows and column >= 0 and column + len(text) <= raster.columns
    if not inside or any((row, column + at) in raster.letters for at in range(-1, len(text) + 1)):
        return False
    raster.write(column, row, text, ink)
    return True


def _write_words(section: Section, scale: Scale, raster: Raster) -> None:
    """Name ship, fairlead, quay and bollard, each where it is free."""
    now = section.now
    if not now.is_drawn:
        return
    side, fairlead = _cell(float(scale.x(now.level_m)), float(scale.y(now.fairlead_z)))
    bottom = raster.rows - 1
    for row in (fairlead + 2, bottom, fairlead + 1):
        if _write_free(raster, max(side - len("ship") - 1, 0), min(row, bottom), "ship"):
            break
    edge = _edge(section)
    far, far_row = _cell(float(scale.x(0.0)), float(scale.y(now.far_z)))
    name = {"quay": "quay", "pontoon": "pontoon"}.get(section.ashore, "")
    if isfinite(edge):
        face, top = _cell(float(scale.x(edge)), float(scale.y(section.quay_z)))
        for row in (top + 1, top + 2, bottom):
            if _write_free(raster, max(face + 2, far - len(name)), row, name):
                break
    else:
        text = safe(section.on) or section.ashore
        text = text if text.isascii() else section.ashore
        for column in (far + 2, far - len(text) - 2):
            if any(_write_free(raster, column, row, text) for row in (far_row + 1, far_row, far_row + 2)):
                break


def rows_for(section: Section, columns: int, most: int) -> int:
    """Return the rows, at most so many, that a section takes so wide when it is drawn to scale; at least
    those that heights need."""
    size = extent(section)
    if size is None:
        return 0
    widest, least, low, high = size
    dots = (high - low) * (columns * DOTS_ACROSS - 1) / (widest - least)
    return min(max(ceil(dots / DOTS_DOWN) + 1, ENOUGH_ROWS), most)
