"""Wind: the polar of what the lines hold, its legend in words, the fenders, the place of the ship."""

from collections.abc import Hashable
from math import nan

import numpy as np
from rich.style import Style
from textual.strip import Strip

from alongside.alerts.over_brake import if_brakes
from alongside.cycle.picture import Picture
from alongside.mechanics.holding_search import CAP_MS
from alongside.reports.holding_polar import EDGE, HELD, QUAY, RING, SHIP, WEAKEST, WIND, Wind, draw_polar
from alongside.reports.polar_legend import Entry, legend
from alongside.screens.board import Board
from alongside.screens.fender_rows import fender_rows, fenders_in_brief, place_rows
from alongside.screens.fender_words import why_no_holding
from alongside.screens.periods_kept import PeriodsKept
from alongside.screens.raster_pieces import raster_pieces
from alongside.screens.rows import Piece, length, strip, wrap
from alongside.screens.stage_styles import value_style
from alongside.screens.view import View
from alongside.screens.who_holds_rows import who_holds_rows
from alongside.stay.stage import Stage
from alongside.units import KNOT
from alongside.wording.figures import held_speed
from alongside.wording.marks import MARKS
from alongside.wording.safe import safe
from alongside.wording.times import DayClock, short_span

LEAST = (60, 9)
"""Columns and rows it needs to say anything."""
LEGEND = 40
"""Cells of the legend beside which fenders get a column of their own."""
FENDERS = 46


class WindPage(Board):
    def __init__(self, name: str) -> None:
        super().__init__(name)
        self._periods = PeriodsKept()

    def basis(self, view: View) -> Hashable:
        return id(view.figures)

    def paint(self, view: View, width: int, height: int) -> list[Strip]:
        palette = view.palette
        if why := why_no_holding(view.figures):
            lines = wrap(f"Holding power not known: {why}.", width - 4)
            rows: list[list[Piece]] = [[("  " + line, palette.text)] for line in lines]
            rows += [[], *([("  ", palette.text), *row] for row in _fenders(view, width - 4))]
            return [strip(row, width, palette.text) for row in rows]
        across = min(2 * height + 4, width // 2)
        drawn = _drawn(view, across, height)
        beside = _beside(view, width - across - 2, height, self._periods.words(view.figures))
        beside += [[]] * (height - len(beside))
        gap: Piece = ("  ", palette.text)
        return [
            strip([*left, gap, *right], width, palette.text)
            for left, right in zip(drawn, beside, strict=False)
        ]


def wind_of(picture: Picture) -> Wind:
    come_from, display = picture.weak.from_deg, picture.stay.display
    asked = [row.id for row in picture.lines if row.asked is not None]
    other = picture.weak_otherwise
    which = if_brakes(asked, picture.weak.if_brakes)
    holds_ms = nan if other.holds_ms is None else other.holds_ms
    otherwise = f"{held_speed(holds_ms, display, CAP_MS)}{if_brakes(asked, other.if_brakes, again=True)}"
    strongest = strongest_ahead(picture)
    ahead = (nan, nan, "") if strongest is None else strongest
    return Wind(
        picture.wind_ms,
        picture.wind_gust_ms,
        picture.wind_from_deg,
        picture.holds_ms,
        nan if come_from is None else come_from,
        which,
        otherwise if which else "",
        *ahead,
    )


def strongest_ahead(picture: Picture) -> tuple[float, float, str] | None:
    """Return the strongest mean wind that is expected in the hours ahead, m/s, where it comes from, and when,
    in words; None where none is stronger than now by a knot, or nothing is known."""
    forecast = picture.forecast
    if forecast is None or forecast.reason or picture.forecast_hidden or not forecast.wind_ms.known:
        return None
    at = int(np.nanargmax(np.where(forecast.times > picture.time, forecast.wind_ms.expected, -1.0)))
    ms, come_from = float(forecast.wind_ms.expected[at]), float(forecast.wind_from_deg[at])
    if not ms > np.nan_to_num(picture.wind_ms) + KNOT or not np.isfinite(come_from):
        return None
    return ms, come_from, DayClock(picture.stay.display, picture.time)(float(forecast.times[at]))


def wind_stage(picture: Picture) -> Stage:
    """Return the stage of the wind now by what the lines hold; normal where not known."""
    return picture.stages.get(("holding", ""), Stage.NORMAL)


def _drawn(view: View, columns: int, rows: int) -> list[list[Piece]]:
    holding = view.figures.holding
    assert holding is not None  # asked before
    stage = wind_stage(view.figures)
    raster = draw_polar(holding, view.stay, wind_of(view.figures), columns, rows)
    return raster_pieces(raster, lambda ink: _style(view, ink, stage))


def _style(view: View, ink: int, stage: Stage) -> Style:
    palette = view.palette
    colours = {
        RING: palette.rule,
        QUAY: palette.faint,
        SHIP: palette.faint,
        HELD: palette.normal,
        WEAKEST: palette.ink,
        WIND: palette.ink if stage == Stage.NORMAL else palette.stage(stage),
    }
    return palette.style(colours.get(ink, palette.ink), bold=ink in (WEAKEST, WIND))


def _beside(view: View, width: int, height: int, own: tuple[str, Stage]) -> list[list[Piece]]:
    """Return the legend and who holds her, and the fenders beside them where there is room for two columns,
    else below; what there is no room for is said in brief or left out."""
    if width < LEGEND + FENDERS:
        rows, fenders = _legend(view, width), _fenders(view, width)
        periods = _periods(view, own, width)
        if own[1] > Stage.NORMAL:
            rows, periods = [*periods, *rows], []
        for brief in (False, True):
            who = who_holds_rows(view.figures, view.palette, width, brief)
            between = [[], *who] if who else []
            for last in (periods, []):
                if len(rows) + len(between) + 1 + len(last) + len(fenders) <= height:
                    return [*rows, *between, [], *last, *fenders]
        in_brief = fenders_in_brief(view, width)
        for who in (who_holds_rows(view.figures, view.palette, width, brief) for brief in (False, True)):
            if len(rows) + len(who) + len(in_brief) <= height:
                return rows + who + in_brief
        return rows + who_holds_rows(view.figures, view.palette, width, brief=True)
    narrow = width - FENDERS - 2
    left, right = _legend(view, narrow), [*_fenders(view, FENDERS), [], *_periods(view, own, FENDERS)]
    left = [*left, [], *who_holds_rows(view.figures, view.palette, narrow)]
    return [_joined(left, right, index, width, view) for index in range(max(len(left), len(right)))]


def _joined(
    left: list[list[Piece]], right: list[list[Piece]], index: int, width: int, view: View
) -> list[Piece]:
    row = left[index] if index < len(left) else []
    space = " " * (width - FENDERS - length(row))
    return [*row, (space, view.palette.text), *(right[index] if index < len(right) else [])]


def _legend(view: View, width: int) -> list[list[Piece]]:
    picture, palette = view.figures, view.palette
    holding = picture.holding
    assert holding is not None  # asked before
    stage = wind_stage(view.figures)
    rows = [
        row
        for entry in legend(holding, view.stay, wind_of(view.figures))
        for row in _entry(view, entry, width, stage)
    ]
    age = f"calculated {short_span(picture.time - holding.time)} ago; without waves and passing ships"
    return [
        *rows,
        *(
            [(f"{EDGE} {line}" if not at else f"  {line}", palette.label)]
            for at, line in enumerate(wrap(age, width - 2))
        ),
    ]


def _entry(view: View, entry: Entry, width: int, stage: Stage) -> list[list[Piece]]:
    """Return one entry over as many rows as it takes: its mark in the ink it has in the drawing."""
    palette = view.palette
    text = safe(entry.text)
    if entry.ink == WIND and stage > Stage.NORMAL:
        text = f"{MARKS[stage]} {stage.word}: {text}"
    words = palette.strong if entry.ink in (WEAKEST, WIND) else palette.text
    lines = wrap(text, width - 2)
    marks = [entry.mark] + [" "] * (len(lines) - 1)
    ink = _style(view, entry.ink, stage)
    return [[(f"{mark} ", ink), (line, words)] for mark, line in zip(marks, lines, strict=True)]


def _periods(view: View, own: tuple[str, Stage], width: int) -> list[list[Piece]]:
    """Return her own periods, beside the waves that the berth is known for."""
    words, stage = own
    return [[(line, value_style(view.palette, stage))] for line in wrap(words, width)] if words else []


def _fenders(view: View, width: int) -> list[list[Piece]]:
    return [*fender_rows(view, width), *place_rows(view.figures, view.palette, width)]
