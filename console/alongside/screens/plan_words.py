"""What is said of a plan: which way it lies, the wind and the current across it, how far she is off her
place."""

import math
from collections.abc import Sequence

from alongside.reports.plan_shapes import Drift
from alongside.screens.arrows import compass_arrow
from alongside.screens.gauge_words import doubtful_figure
from alongside.screens.rows import Piece
from alongside.screens.stage_styles import value_style
from alongside.screens.view import View
from alongside.stay.heading import ship_heading
from alongside.stay.stage import Stage
from alongside.wording.figures import bearing, metres, speed_figure, speed_text
from alongside.wording.marks import MARKS

Fields = list[tuple[int, Sequence[Piece]]]


def head_fields(view: View) -> tuple[Fields, Fields]:
    """Return, left and right of the head, fields with their ranks: her head and north; wind and current,
    each with the arrow that it has on the drawing."""
    palette, picture, berth = view.palette, view.figures, view.stay.berth
    bow = f"bow {bearing(ship_heading(view.stay))}"
    way = f"{bow} →" if view.stay.alongside == "starboard" else f"← {bow}"
    north = f"north {compass_arrow(-berth.bearing_of_x)}"
    left: Fields = [
        (0, [(" Plan", palette.strong)]),
        (1, [(way, palette.label)]),
        (4, [(north, palette.label)]),
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


def foot_fields(view: View, drift: Drift) -> Fields:
    """Return how far she is off her place and how that is drawn, then what the marks of lines mean that are
    in sight."""
    palette, picture = view.palette, view.figures
    if not view.stay.balance:
        where: Sequence[Piece] = [(" ship drawn in place: balance off", palette.label)]
        return [(0, where), *_stages(view)]
    if not drift.known:
        return [(0, [(" ship drawn in place: drift not known", palette.label)]), *_stages(view)]
    drawn = f" (drift x{drift.factor})" if drift.factor > 1 else ""
    stage = max(
        (picture.stages.get(("drift", way), Stage.NORMAL) for way in ("surge", "sway")),
        default=Stage.NORMAL,
    )
    mark = f"{MARKS[stage]} " if stage > Stage.NORMAL else ""
    words = doubtful_figure(picture, f"{mark}{drift_words(view, drift)}")
    return [(0, [(f" {words}", value_style(palette, stage)), (drawn, palette.label)]), *_stages(view)]


def drift_words(view: View, drift: Drift) -> str:
    """Return `ship 0.08 m ahead, 0.03 m in`; `ship in place` below a centimetre."""
    ahead = drift.surge if view.stay.alongside == "starboard" else -drift.surge
    parts = []
    if abs(ahead) >= 0.005:
        parts.append(f"{metres(abs(ahead))} {'ahead' if ahead > 0.0 else 'astern'}")
    if abs(drift.sway) >= 0.005:
        parts.append(f"{metres(abs(drift.sway))} {'off' if drift.sway > 0.0 else 'in'}")
    return f"ship {', '.join(parts)}" if parts else "ship in place"


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
            fields.append((4 - int(stage), [(f"{MARKS[stage]} {count} {stage.word}", style)]))
    unknown = sum(row.stage is None for row in view.figures.lines)
    if unknown:
        fields.append((3, [(f"— {unknown} not known, dotted", view.palette.label)]))
    return fields
