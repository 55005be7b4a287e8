"""What is said of a plan: which way it lies, the wind and the current across it, how far she is off her
place."""

import math
from collections.abc import Sequence

from textual.strip import Strip

from alongside.reports.plan_shapes import Drift
from alongside.screens.arrows import compass_arrow
from alongside.screens.fender_rows import place_rows
from alongside.screens.rows import Piece, both_ends, flow, length
from alongside.screens.stage_styles import value_style
from alongside.screens.view import View
from alongside.stay.heading import ship_heading
from alongside.stay.stage import Stage
from alongside.wording.figures import bearing, counted, speed_figure, speed_text
from alongside.wording.marks import MARKS
from alongside.wording.names import drift_drawn

Fields = list[tuple[int, Sequence[Piece]]]


def head_fields(view: View, drawn: str = "") -> tuple[Fields, Fields]:
    """Return, left and right of the head, fields with their ranks: her head and north; wind and current,
    each with the arrow that it has on the drawing; `drawn` says how her drift is."""
    palette, picture, berth = view.palette, view.figures, view.stay.berth
    bow = f"bow {bearing(ship_heading(view.stay))}"
    way = f"{bow} →" if view.stay.alongside == "starboard" else f"← {bow}"
    north = f"north {compass_arrow(-berth.bearing_of_x)}"
    left: Fields = [
        (0, [(" Plan", palette.strong)]),
        (1, [(way, palette.label)]),
        (4, [(north, palette.label)]),
        *([(2, [(drawn, palette.label)])] if drawn else []),
    ]
    right: Fields = []
    display = view.stay.display
    if math.isfinite(picture.wind_ms + picture.wind_from_deg):
        arrow = compass_arrow(picture.wind_from_deg + 180.0 - berth.bearing_of_x)
        wind = speed_figure(picture.wind_ms, display)
        fields = [
            ("wind ", palette.label),
            (f"{arrow} {wind} ", palette.strong),
            (display.speed, palette.label),
        ]
        right.append((2, fields))
    present = picture.present
    if present is not None and math.isfinite(present.current_speed + present.current_to):
        arrow = compass_arrow(present.current_to - berth.bearing_of_x)
        text = speed_text(present.current_speed, display)
        right.append((3, [("current ", palette.label), (f"{arrow} {text}", palette.strong)]))
    return left, [(rank, [*pieces, (" ", palette.text)]) for rank, pieces in right]


def head_row(view: View, drawn: str, width: int) -> Strip:
    """Return the head in so many cells: what has no room goes whole, that of the highest rank first."""
    fill, gap = view.palette.text, 2
    left, right = head_fields(view, drawn)
    while len(left) + len(right) > 1:
        if sum(length(pieces) + gap for _, pieces in (*left, *right)) <= width:
            break
        last = max((*left, *right), key=lambda field: field[0])
        (left if last in left else right).remove(last)
    space: Piece = (" " * gap, fill)
    return both_ends(flow(left, width, space), flow(right, width, space), width, fill)


def drawn_words(drift: Drift) -> str:
    """Return how many times her drift is drawn: `drift x10`; "" where it is drawn as it is."""
    return drift_drawn(drift.factor)


def foot_fields(view: View, drift: Drift) -> Fields:
    """Return how far she is off her place and how that is drawn, then how many lines are in which stage."""
    palette, picture = view.palette, view.figures
    if not view.stay.balance:
        return [(0, [(" Ship drawn in place: balance off", palette.label)]), *_stages(view)]
    place = place_rows(picture, palette)
    if not place:
        return [(0, [(" Ship drawn in place: drift not known", palette.label)]), *_stages(view)]
    words = f" ({drawn_words(drift)})" if drift.factor > 1 else ""
    return [(0, [(" ", palette.text), *place[0], (words, palette.label)]), *_stages(view)]


def _stages(view: View) -> Fields:
    """Return how many lines are in each stage from caution up, with its mark."""
    counts = {
        stage: sum(row.stage == stage for row in view.figures.lines)
        for stage in (Stage.ALARM, Stage.WARNING, Stage.CAUTION)
    }
    fields: Fields = []
    for stage, count in counts.items():
        if count:
            style = value_style(view.palette, stage)
            fields.append(
                (4 - int(stage), [(f"{MARKS[stage]} {counted(count, 'line')} in {stage.word}", style)])
            )
    unknown = sum(row.stage is None for row in view.figures.lines)
    if unknown:
        fields.append((3, [(f"— {unknown} not known, dotted", view.palette.label)]))
    return fields
