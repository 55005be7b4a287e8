"""The plan to scale as SVG: ship, quay, lines by stage, wind and current. Pure; every name in it is escaped.

Drawn in metres of the berth frame, x along the fenders, water at the top. Colours and widths are classes of
the page's style sheet; no colour, style or script stands in the drawing itself.
"""

import math
from dataclasses import dataclass
from html import escape
from typing import Final

import numpy as np

from alongside.cycle.gauge_words import row_of
from alongside.cycle.line_row import LineRow
from alongside.cycle.picture import Picture
from alongside.readings import Floats
from alongside.reports import plan_shapes
from alongside.stay.heading import ship_heading
from alongside.stay.model import Stay
from alongside.stay.stage import Stage
from alongside.wording.figures import bearing, metres, speed_text
from alongside.wording.marks import MARKS
from alongside.wording.names import drift_drawn
from alongside.wording.safe import safe

SHARE: Final = 1.0 / 20.0
"""Height of letters by the length of the drawing: 16 px on a phone."""
LETTER: Final = 0.62
"""Width of a letter by its height: wider than most are."""
LABEL_ROWS: Final = 3
SEEN_ACROSS: Final = 200.0
"""Dots over the width of the drawing, by which a drift is seen or not."""
SCALES: Final = (10.0, 20.0, 50.0, 100.0)


@dataclass(frozen=True, slots=True)
class _Sheet:
    """From the berth frame to the drawing: metres both ways, y down from the upper edge."""

    left: float
    top: float
    width: float
    height: float
    quay: float
    """y of the fender face in the drawing."""

    @property
    def letters(self) -> float:
        return self.width * SHARE

    def point(self, x: float, y: float) -> str:
        return f"{x - self.left:.1f},{self.top - y:.1f}"

    def path(self, points: Floats) -> str:
        return " ".join(self.point(float(x), float(y)) for x, y in points)


def plan_svg(picture: Picture) -> str:
    """Return the drawing; of a ship whose place is not known, in her place. A drift too small to be seen is
    drawn larger, beside her place, and the drawing says how many times."""
    stay = picture.stay
    hull, bollards = plan_shapes.hull(stay), plan_shapes.bollards(stay)
    in_place = plan_shapes.Placement.in_place(stay)
    place, fast = in_place.points(hull), plan_shapes.lines(stay, in_place)
    across = _sheet(np.vstack([place, *fast.values(), bollards])).width
    drift = plan_shapes.Drift.of(picture, SEEN_ACROSS / across)
    placement = drift.placement(stay)
    outline, ends = placement.points(hull), plan_shapes.lines(stay, placement)
    sheet = _sheet(np.vstack([place, outline, *ends.values(), bollards]))
    rows = sorted(picture.lines, key=lambda row: row.severity)
    drawn = [row for row in rows if row.id in ends]
    parts = [
        _quay(picture, sheet),
        *([f'<polygon class="place" points="{sheet.path(place)}"/>'] if drift.factor > 1 else []),
        f'<polygon class="hull" points="{sheet.path(outline)}"/>',
        *(_bollard(sheet, float(x), float(y)) for x, y in bollards),
        *(f'<polyline class="line {_class(row)}" points="{sheet.path(ends[row.id])}"/>' for row in drawn),
        *_ends_of_ship(picture, sheet, placement),
        *_labels(sheet, [(row, ends[row.id][1]) for row in reversed(drawn)]),
        *_flows(picture, sheet),
        _scale(sheet),
        _drift(sheet, stay, drift),
    ]
    size = f"0 0 {sheet.width:.1f} {sheet.height:.1f}"
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{size}" role="img" font-size="{sheet.letters:.1f}"'
    )
    return f"{head}><title>{escape(_title(picture))}</title>{''.join(parts)}</svg>"


def _sheet(points: Floats) -> _Sheet:
    """Return a sheet around all points, with room above for what flows and below for names of lines."""
    low, high = points.min(axis=0), points.max(axis=0)
    length = max(float(high[0] - low[0]), 10.0)
    width = length * 1.08
    letters = width * SHARE
    above, below = 2.6 * letters, (LABEL_ROWS + 1.8) * letters
    top = float(high[1]) + above
    return _Sheet(float(low[0]) - 0.04 * length, top, width, top - float(low[1]) + below, quay=top)


def _class(row: LineRow) -> str:
    return "unknown" if row.stage is None else row.stage.word


def _title(picture: Picture) -> str:
    stay = picture.stay
    side = "starboard" if stay.alongside == "starboard" else "port"
    return f"Plan of {safe(stay.ship.name)}, {side} side to, bow {bearing(ship_heading(stay))}"


def _quay(picture: Picture, sheet: _Sheet) -> str:
    """Return the quay below the fender face, and the fenders as strokes on it."""
    letters = sheet.letters
    deep = sheet.height - sheet.quay
    wall = f'<rect class="quay" x="0" y="{sheet.quay:.1f}" width="{sheet.width:.1f}" height="{deep:.1f}"/>'
    strokes = "".join(
        f'<line class="fender" x1="{x - sheet.left - 1.0:.1f}" x2="{x - sheet.left + 1.0:.1f}" '
        f'y1="{sheet.quay:.1f}" y2="{sheet.quay:.1f}"/>'
        for x in plan_shapes.fenders(picture.stay)
    )
    foot = sheet.height - 0.5 * letters
    return (
        f"{wall}{strokes}{_text('quay', 0.5 * letters, foot)}{_text('water', 0.5 * letters, 1.1 * letters)}"
    )


def _bollard(sheet: _Sheet, x: float, y: float) -> str:
    across, down = sheet.point(x, y).split(",")
    return f'<circle class="bollard" cx="{across}" cy="{down}" r="{sheet.letters * 0.14:.1f}"/>'


def _ends_of_ship(picture: Picture, sheet: _Sheet, placement: plan_shapes.Placement) -> list[str]:
    """Return `bow` and `stern` at her ends, within her."""
    ship = picture.stay.ship
    at = placement.points(np.array([[0.84 * ship.lbp, 0.0], [0.12 * ship.lbp, 0.0]]))
    names = zip(("bow", "stern"), at, strict=True)
    down = 0.35 * sheet.letters
    return [
        _text(name, float(x) - sheet.left, sheet.top - float(y) + down, anchor="middle")
        for name, (x, y) in names
    ]


def _labels(sheet: _Sheet, lines: list[tuple[LineRow, Floats]]) -> list[str]:
    """Return names below the bollards with the mark of their stage, the worst first; those that would cover
    another are left out, since the list of lines has them."""
    taken: list[tuple[int, float, float]] = []
    texts = []
    for row, bollard in lines:
        stage = Stage.NORMAL if row.stage is None else row.stage
        mark = MARKS[stage] if stage > Stage.NORMAL else ""
        name = f"{mark}{safe(row.id)}"
        half = 0.5 * LETTER * sheet.letters * len(name)
        x = min(max(float(bollard[0]) - sheet.left, half), sheet.width - half)
        first = max(sheet.top - float(bollard[1]), sheet.quay)
        for at in range(LABEL_ROWS):
            if all(
                level != at or abs(x - other) > half + width + 0.3 * sheet.letters
                for level, other, width in taken
            ):
                taken.append((at, x, half))
                texts.append(
                    _text(name, x, first + (1.2 + at) * sheet.letters, f"name {_class(row)}", "middle")
                )
                break
    return texts


def _flows(picture: Picture, sheet: _Sheet) -> list[str]:
    """Return wind and current as arrows that point where they go, with their speeds."""
    display = picture.stay.display
    flows = []
    if math.isfinite(picture.wind_ms + picture.wind_from_deg):
        flows.append(("wind", picture.wind_ms, picture.wind_from_deg + 180.0))
    speed, towards = row_of(picture, "current_speed"), row_of(picture, "current_to")
    if speed is not None and towards is not None and math.isfinite(speed.value + towards.value):
        flows.append(("current", speed.value, towards.value))
    right = sheet.width - 0.5 * sheet.letters
    parts = []
    for name, ms, to_deg in flows:
        text = f"{name} {speed_text(ms, display)}"
        turn = to_deg - picture.stay.berth.bearing_of_x
        parts.append(_text(text, right, 1.1 * sheet.letters, anchor="end"))
        right -= (LETTER * len(text) + 0.8) * sheet.letters
        parts.append(_arrow(right, 0.8 * sheet.letters, 0.7 * sheet.letters, turn, name))
        right -= 1.2 * sheet.letters
    return parts


def _arrow(x: float, y: float, half: float, turn: float, name: str) -> str:
    """Return an arrow about x, y that points right, turned clockwise by so many degrees."""
    head = 0.55 * half
    way = f"M{-half:.1f} 0H{half:.1f}M{half - head:.1f} {-head:.1f}L{half:.1f} 0L{half - head:.1f} {head:.1f}"
    moved = f"translate({x:.1f} {y:.1f}) rotate({turn % 360.0:.0f})"
    return f'<path class="arrow {name}" transform="{moved}" d="{way}"/>'


def _drift(sheet: _Sheet, stay: Stay, drift: plan_shapes.Drift) -> str:
    """Return how she is drawn, where that is not as she lies."""
    words = drift_drawn(drift.factor, stay.balance and drift.known)
    foot = sheet.height - 0.5 * sheet.letters
    return _text(words, (0.5 + LETTER * 6) * sheet.letters, foot) if words else ""


def _scale(sheet: _Sheet) -> str:
    """Return a scale of a round length."""
    length = max((each for each in SCALES if each <= sheet.width / 4.0), default=SCALES[0])
    right, foot = sheet.width - 0.5 * sheet.letters, sheet.height - 0.5 * sheet.letters
    bar = f'<path class="scale" d="M{right - length:.1f} {foot:.1f}H{right:.1f}"/>'
    return bar + _text(
        metres(length, 0), right - length - 0.3 * sheet.letters, foot + 0.3 * sheet.letters, anchor="end"
    )


def _text(words: str, x: float, y: float, style: str = "label", anchor: str = "start") -> str:
    return f'<text class="{style}" x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}">{escape(words)}</text>'
