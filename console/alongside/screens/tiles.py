"""The figures that matter in large digits: wind, what lines hold, tide, water under the keel, worst line."""

import math
from dataclasses import dataclass
from typing import Final

from rich.cells import cell_len
from rich.style import Style

from alongside.alerts.bars import bar_percent
from alongside.alerts.limits_text import share_text
from alongside.cycle.gauge_words import BEARS_HOLDING, missing, unsure
from alongside.cycle.picture import Picture
from alongside.cycle.to_come import water
from alongside.cycle.trends import STEADY_TIDE
from alongside.cycle.under_keel import clearance
from alongside.mechanics.holding_search import CAP_MS
from alongside.screens.arrows import trend_arrow
from alongside.screens.fender_words import why_no_holding
from alongside.screens.letters import large
from alongside.screens.palettes import Palette
from alongside.screens.rows import Piece, fill_to
from alongside.screens.stage_styles import value_style
from alongside.screens.view import View
from alongside.screens.vital_fields import is_doubtful, keel_stage
from alongside.screens.wind_page import wind_stage
from alongside.stay.stage import Stage
from alongside.wording import names
from alongside.wording.figures import bearing, figure, held_speed, speed_figure
from alongside.wording.marks import MARKS, NOT_KNOWN
from alongside.wording.safe import safe
from alongside.wording.times import DayClock

GAP = 2
"""Cells between tiles at least."""
TIDE, KEEL = 2, 3
"""Ranks of the tide, and of the water under the keel."""


@dataclass(frozen=True, slots=True)
class Tile:
    """A figure in large digits with its name and two more rows beside it. `cells` is the room that its digits
    may need, so that no other tile moves when it changes; `rank`: the highest goes first."""

    rank: int
    digits: str
    widest: str
    beside: tuple[str, str, str]
    stage: Stage = Stage.NORMAL
    beside_widest: int = 0
    doubtful: bool = False
    """Whether it rests on a doubtful gauge: a mark beside its name, for which there is always room."""

    def cells(self, *, double: bool) -> int:
        """Return the room it takes: never less than what it shows."""
        return self._digit_cells(double) + 1 + max(self.beside_widest, *map(cell_len, self._marked()))

    def _digit_cells(self, double: bool) -> int:
        return max(cell_len(large(text, double=double)[0]) for text in (self.widest, self.digits))

    def rows(self, palette: Palette, *, double: bool) -> list[list[Piece]]:
        """Return its rows: 3, or 5 at double size, each as wide as it takes."""
        drawn = large(self.digits, double=double)
        width = self._digit_cells(double)
        stage = max(self.stage, Stage.CAUTION) if self.doubtful else self.stage
        style = value_style(palette, stage) if stage else palette.strong
        beside = _spread(self._marked(), len(drawn))
        side = self.cells(double=double) - width - 1
        labels = [palette.label, palette.text, palette.text]
        inks: list[Style] = [labels[min(at, 2)] for at in range(len(drawn))]
        return [
            [(" " * (width - cell_len(row)) + row, style), (" ", palette.text), (fill_to(words, side), ink)]
            for row, words, ink in zip(drawn, beside, inks, strict=True)
        ]

    def _marked(self) -> tuple[str, str, str]:
        name, unit, more = self.beside
        name += " ?" if self.doubtful else ""
        return (f"{MARKS[self.stage]} {name}" if self.stage > Stage.NORMAL else name), unit, more


def _spread(rows: tuple[str, str, str], height: int) -> list[str]:
    return [*rows] + [""] * (height - 3)


def tile_rows(view: View, width: int, *, double: bool) -> list[list[Piece]]:
    """Return the tiles side by side, as many as fit by their rank, each in its place whatever it shows."""
    palette, kept = view.palette, _that_fit(view, width, double)
    blocks = [tile.rows(palette, double=double) for tile in kept]
    spare = max(width - _cells(kept, double), 0)
    gap: Piece = (" " * min(GAP + spare // max(len(kept) - 1, 1), 9), palette.text)
    rows: list[list[Piece]] = []
    for parts in zip(*blocks, strict=True):
        row: list[Piece] = [(" ", palette.text)]
        for at, part in enumerate(parts):
            row += [gap, *part] if at else part
        rows.append(row)
    return rows


def _that_fit(view: View, width: int, double: bool) -> list[Tile]:
    tiles = [_wind(view), _holds(view), _tide(view), _under_keel(view), _worst(view)]
    kept = [tile for tile in tiles if tile is not None]
    while len(kept) > 1 and _cells(kept, double) > width:
        kept.remove(max(kept, key=lambda tile: tile.rank))
    return kept


def in_large(view: View, width: int, *, double: bool) -> frozenset[str]:
    """Return which of `tide` and `under_keel` have room among the tiles: all else stands in the row below."""
    names = {TIDE: "tide", KEEL: "under_keel"}
    return frozenset(names[tile.rank] for tile in _that_fit(view, width, double) if tile.rank in names)


def _cells(tiles: list[Tile], double: bool) -> int:
    return sum(tile.cells(double=double) for tile in tiles) + GAP * (len(tiles) - 1) + 2


HELD_WIDEST: Final = "100"
"""The widest figure of what lines hold, which is more than 99 where the search ends."""


def _digits(value: float, text: str) -> str:
    """Return a figure for large digits; a dash where it is not known."""
    return text if math.isfinite(value) else "-"


def _wind(view: View) -> Tile:
    picture, display = view.figures, view.stay.display
    speed = speed_figure(picture.wind_ms, display)
    if not math.isfinite(picture.wind_ms):
        why = missing(picture, "wind_speed").removeprefix("wind: ") or "no gauge"
        return Tile(0, "-", "00", ("WIND", why if len(why) < 14 else NOT_KNOWN, ""), beside_widest=10)
    come_from = bearing(picture.wind_from_deg)
    come_from += "?" if unsure(picture, ("wind_from", "heading")) else ""
    gust = speed_figure(picture.wind_gust_ms, display)
    beside = (f"WIND {display.speed}", f"from {come_from}", f"gust {gust}")
    doubtful = is_doubtful(picture, "wind_speed")
    digits = _digits(picture.wind_ms, speed)
    return Tile(0, digits, "00", beside, wind_stage(picture), beside_widest=10, doubtful=doubtful)


def _holds(view: View) -> Tile | None:
    """Return the wind that the lines hold about where it blows, how much of it blows, and from what wind on
    she comes off her fenders."""
    picture, display = view.figures, view.stay.display
    if not view.stay.balance:
        return None
    holds_ms, stage = picture.holds_ms, wind_stage(picture)
    if not math.isfinite(holds_ms):
        why = "see page 3" if why_no_holding(picture) else "no wind yet"
        return Tile(1, "-", HELD_WIDEST, ("LINES HOLD", why, ""), beside_widest=14)
    digits = held_speed(holds_ms, display, CAP_MS).split(" ")[-2]
    doubtful = unsure(picture, BEARS_HOLDING)
    if holds_ms <= 0.0:
        beside = ("LINES HOLD", f"{display.speed}: over limit", "without wind")
        return Tile(1, digits, HELD_WIDEST, beside, stage, 14, doubtful)
    share, contact = picture.wind_ms / holds_ms, _contact(picture)
    used = f"used {share_text(view.stay.limits, 'holding', share)}" if math.isfinite(share) else ""
    if holds_ms >= CAP_MS:
        beside = ("LINES HOLD", f"{display.speed} or more", contact or used)
    else:
        beside = ("LINES HOLD", f"{display.speed}, {used}" if used else display.speed, contact)
    return Tile(1, digits, HELD_WIDEST, beside, stage, 14, doubtful)


def _contact(picture: Picture) -> str:
    """Return `off fenders 46`: the wind in which she comes off from about where it blows."""
    holding = picture.holding
    contact = math.nan if holding is None else holding.contact_about(picture.wind_from_deg)
    if not math.isfinite(contact) or contact >= CAP_MS:
        return ""
    return f"off fenders {held_speed(contact, picture.stay.display).split(' ')[-2]}"


def _tide(view: View) -> Tile:
    picture, display = view.figures, view.stay.display
    if not math.isfinite(picture.tide):
        why = missing(picture, "tide").removeprefix("tide: ")
        return Tile(TIDE, "-", "0.00", ("TIDE", why if len(why) < 14 else NOT_KNOWN, ""), beside_widest=12)
    rate = picture.tide_rate
    going = ""
    if math.isfinite(rate):
        arrow = trend_arrow(rate, STEADY_TIDE)
        going = f"{arrow} {figure(abs(rate), 2)} m/h"
    turn = water(picture)
    next_water = ""
    if turn is not None:
        name, at, height = turn
        next_water = f"{name} {DayClock(display, picture.time)(at)[-5:]} {figure(height, 1)}"
    digits, doubtful = _digits(picture.tide, figure(picture.tide, 2)), is_doubtful(picture, "tide")
    widest = "0.00" if 0.0 <= picture.tide < 9.5 else "00.00"
    return Tile(TIDE, digits, widest, ("TIDE m", going, next_water), Stage.NORMAL, 12, doubtful)


def _under_keel(view: View) -> Tile | None:
    picture = view.figures
    depth = view.stay.berth.charted_depth
    if depth is None:
        return None
    under = clearance(view.stay.ship, depth, picture)
    if not math.isfinite(under):
        return None
    stage, doubtful = keel_stage(view)
    digits = _digits(under, figure(under, 1))
    widest = "0.0" if abs(under) < 9.5 else "00.0"
    return Tile(KEEL, digits, widest, ("UKC m", "", ""), stage, 7, doubtful)


def _worst(view: View) -> Tile | None:
    """Return the line whose bar is the highest, and what that is of."""
    rows = [row for row in view.figures.lines if row.stage is not None and row.bar == row.bar]
    if not rows:
        return None
    row = max(rows, key=lambda each: (each.stage, each.bar))
    digits = bar_percent(row.bar).replace(" ", "")
    beside = (f"LINE {safe(row.id)}", names.cause(row.worst), "of its limit")
    doubtful = unsure(view.figures)
    return Tile(4, digits, "000%", beside, row.stage or Stage.NORMAL, beside_widest=12, doubtful=doubtful)
