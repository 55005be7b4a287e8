"""Ship, berth, clock, tide, draughts, wind and gauges, on three rows that are always in sight."""

import math
from typing import Final

from rich.cells import cell_len
from textual.strip import Strip

from alongside.cycle.picture import OtherFigures, Picture
from alongside.cycle.plausibility.by_hand import UNDER_KEEL, last_reading, serves_s
from alongside.mechanics.keel import under_keel_m
from alongside.readings import Quality
from alongside.screens.arrows import trend_arrow
from alongside.screens.board import Board
from alongside.screens.gauge_words import DRAUGHTS, HEEL, NEEDED, NOT_READ, faults, missing, row_of, unsure
from alongside.screens.palettes import Palette
from alongside.screens.rows import Piece, both_ends, fit, length
from alongside.screens.stage_styles import marked, value_style
from alongside.screens.stamps import Field, flow_stamped, stamp_of
from alongside.screens.view import View
from alongside.stay.model import Ship
from alongside.stay.stage import Stage
from alongside.wording import names
from alongside.wording.figures import bearing, figure, speed_figure
from alongside.wording.marks import NOT_KNOWN
from alongside.wording.safe import safe
from alongside.wording.times import bare_clock, clock, short_span, zone_text

STEADY_TIDE = 0.03
"""m/h below which the tide stands."""
DRAUGHT_NAMES: Final = {"draught_fwd": "F", "draught_aft": "A"}
WIND_NAMES: Final = {"wind_speed": "speed", "wind_from": "direction"}
IN_ALARM: Final = -1
"""Rank of what is in warning or alarm: all else makes room for it."""


class Vitals(Board):
    def paint(self, view: View, width: int, height: int) -> list[Strip]:
        fill, gap = view.palette.text, ("   " if width >= 100 else "  ", view.palette.text)
        label = view.palette.label
        afloat = flow_stamped(_afloat(view), width - 1, gap, label)
        weather = flow_stamped([_wind(view), *_gauges(view, width)], width - 1, gap, label)
        return [
            _who_and_when(view, width),
            both_ends([(" ", fill), *afloat], [], width, fill),
            both_ends([(" ", fill), *weather], [], width, fill),
        ]


def _who_and_when(view: View, width: int) -> Strip:
    palette, display, now = view.palette, view.stay.display, view.watch.time
    right: list[Piece] = [
        *_replay(view.watch, palette),
        (bare_clock(now, display, "%H:%M:%S"), palette.strong),
        (f"  {bare_clock(now, display, '%a %d %b')}  {zone_text(now, display)} ", palette.label),
    ]
    room = width - length(right) - 3
    ship = fit(safe(view.stay.ship.name), max(room * 3 // 5, room - cell_len(safe(view.stay.berth.name))))
    berth = fit(safe(view.stay.berth.name), room - cell_len(ship) - 3)
    left: list[Piece] = [(f" {ship}", palette.strong), (f" · {berth}" if berth else "", palette.label)]
    return both_ends(left, right, width, palette.text)


def _replay(picture: Picture, palette: Palette) -> list[Piece]:
    if not picture.replay:
        return []
    pace = "stopped" if picture.paused else f"×{picture.speed:g}"
    return [
        (f" REPLAY {pace} ", palette.style(palette.normal, bold=True, reverse=True)),
        ("  ", palette.text),
    ]


def _afloat(view: View) -> list[Field]:
    picture, palette = view.figures, view.palette
    return [
        (0, _tide(picture, palette), stamp_of(picture, {"tide": ""})),
        (1, _draughts(picture, palette), stamp_of(picture, DRAUGHT_NAMES)),
        (4, [("Trim ", palette.label), *_trim(picture, palette)], ""),
        (3, [("Heel ", palette.label), *_heel(picture, palette)], stamp_of(picture, dict.fromkeys(HEEL, ""))),
        *_under_keel(view),
    ]


def _measured(picture: Picture, channel: str, text: str, palette: Palette) -> Piece:
    """Return a figure with the doubt of its gauge: `3.42?` where it is doubtful."""
    row = row_of(picture, channel)
    doubtful = row is not None and row.quality in (Quality.SUSPECT, Quality.EXPECTED)
    return _doubted(text, doubtful and text != NOT_KNOWN, palette)


def _by_witness(picture: Picture, channel: str, palette: Palette) -> list[Piece]:
    """Return ` or 4.68`: what the witness of a doubtful gauge has instead."""
    if picture.by_witnesses is None:
        return []
    here, other = getattr(picture, channel), getattr(picture.by_witnesses, channel)
    if not math.isfinite(other) or figure(here, 2) == figure(other, 2):
        return []
    return [(" or ", palette.label), (figure(other, 2), value_style(palette, Stage.CAUTION))]


def _tide(picture: Picture, palette: Palette) -> list[Piece]:
    pieces = [("Tide ", palette.label), _measured(picture, "tide", figure(picture.tide, 2), palette)]
    if not math.isfinite(picture.tide):
        return [*pieces, (f" {missing(picture, 'tide').removeprefix('tide: ')}", palette.text)]
    pieces += [*_by_witness(picture, "tide", palette), (" m", palette.label)]
    if math.isfinite(picture.tide_rate):
        arrow = trend_arrow(picture.tide_rate, STEADY_TIDE)
        pieces += [
            (f" {arrow} {figure(abs(picture.tide_rate), 2)}", palette.strong),
            (" m/h", palette.label),
        ]
    return pieces


def _draughts(picture: Picture, palette: Palette) -> list[Piece]:
    pieces: list[Piece] = [("Draught ", palette.label)]
    known = (("F ", "draught_fwd", picture.draught_fwd), ("A ", "draught_aft", picture.draught_aft))
    lost = [missing(picture, channel) for _l, channel, value in known if not math.isfinite(value)]
    if len(lost) == 2 and all(words.startswith("waiting") for words in lost):
        return [*pieces, (NOT_KNOWN, palette.strong), (" waiting for draughts", palette.text)]
    if len(lost) == 2 and all(words.endswith(NOT_READ) for words in lost):
        return [*pieces, (NOT_KNOWN, palette.strong), (f" {NOT_READ}", palette.text)]
    for label, channel, value in known:
        pieces += [(label, palette.label), _measured(picture, channel, figure(value, 2), palette)]
        pieces += _by_witness(picture, channel, palette)
        pieces.append((" " if label == "F " else "", palette.text))
    return pieces


def _doubted(text: str, doubted: bool, palette: Palette) -> Piece:
    return (f"{text}?", value_style(palette, Stage.CAUTION)) if doubted else (text, palette.strong)


def _trim(picture: Picture, palette: Palette) -> list[Piece]:
    trim = picture.trim
    if not math.isfinite(trim):
        return [(NOT_KNOWN, palette.strong)]
    by = "even" if abs(trim) < 0.005 else ("stern" if trim > 0 else "head")
    return [_doubted(figure(abs(trim), 2), unsure(picture, DRAUGHTS), palette), (f" {by}", palette.label)]


def _heel(picture: Picture, palette: Palette) -> list[Piece]:
    heel = picture.heel_deg
    if not math.isfinite(heel):
        return [(NOT_KNOWN, palette.strong)]
    side = "" if abs(heel) < 0.05 else (" stbd" if heel > 0 else " port")
    return [_doubted(f"{figure(abs(heel), 1)}°", unsure(picture, HEEL), palette), (side, palette.label)]


def _under_keel(view: View) -> list[Field]:
    """Return the under-keel clearance, where the berth's depth is charted."""
    picture, depth = view.figures, view.stay.berth.charted_depth
    if depth is None:
        return []
    clearance = _clearance(view.stay.ship, depth, picture)
    if not math.isfinite(clearance):
        return []
    stage = picture.stages.get(("under_keel", ""), Stage.NORMAL)
    style = value_style(view.palette, stage) if stage else view.palette.strong
    text = figure(clearance, 1)
    if unsure(picture, (*NEEDED, *HEEL)):
        text, other = f"{text}?", picture.by_witnesses
        style = value_style(view.palette, max(stage, Stage.CAUTION))
        by_other = _clearance(view.stay.ship, depth, other) if other else math.nan
        if math.isfinite(by_other) and figure(by_other, 1) != figure(clearance, 1):
            text += f" or {figure(by_other, 1)}"
    pieces = [("UKC ", view.palette.label), (marked(text, stage), style), (" m", view.palette.label)]
    return [(IN_ALARM if stage >= Stage.WARNING else 2, pieces, ""), *_sounded(view, clearance, stage)]


def _sounded(view: View, computed: float, stage: Stage) -> list[Field]:
    """Return `read 0.4 m 06:30` where somebody has sounded under her keel within the hour; else nothing. The
    alert goes by it where it is less than computed."""
    last = last_reading(view.figures.by_hand, UNDER_KEEL)
    if last is None or view.figures.time - last.at > serves_s(UNDER_KEEL, has_table=True):
        return []
    palette, at = view.palette, clock(last.at, view.stay.display)
    rank = IN_ALARM if stage >= Stage.WARNING and last.value < computed else 9
    pieces = [("read ", palette.label), (figure(last.value, 1), palette.strong), (f" m {at}", palette.label)]
    return [(rank, pieces, "")]


def _clearance(ship: Ship, depth: float, afloat: Picture | OtherFigures) -> float:
    """Return the water under the keel, m; without a gauge of heel, of the ship upright."""
    heel = afloat.heel_deg if math.isfinite(afloat.heel_deg) else 0.0
    return float(under_keel_m(ship, depth, afloat.tide, afloat.draught_fwd, afloat.draught_aft, heel))


def _wind(view: View) -> Field:
    picture, palette, display = view.figures, view.palette, view.stay.display
    pieces: list[Piece] = [("Wind ", palette.label)]
    if not math.isfinite(picture.wind_ms):
        words = missing(picture, "wind_speed").removeprefix("wind: ") or names.reason("NOT_FITTED")
        return 1, [*pieces, (f"{NOT_KNOWN} ", palette.strong), (words, palette.text)], ""
    pieces.append(_measured(picture, "wind_speed", speed_figure(picture.wind_ms, display), palette))
    pieces += [
        (f" {display.speed} gust ", palette.label),
        (speed_figure(picture.wind_gust_ms, display), palette.strong),
    ]
    come_from = _doubted(bearing(picture.wind_from_deg), unsure(picture, ("wind_from", "heading")), palette)
    return 1, [*pieces, (" from ", palette.label), come_from], stamp_of(picture, WIND_NAMES)


def _gauges(view: View, width: int) -> list[Field]:
    """Return what is wrong with feeds and gauges; where nothing is, the age of each feed's newest figure."""
    palette, picture = view.palette, view.watch
    stages = [stage for (cause, _feed), stage in picture.stages.items() if cause == "feed"]
    stage = max(stages, default=Stage.NORMAL)
    wrong = faults(picture.channels, picture.feeds) or (["see alerts"] if stage else [])
    if wrong:
        more = f", {len(wrong) - 1} more" if len(wrong) > 1 else ""
        words = fit(f"{wrong[0]}{more}", max(20, width - 48))
        return [(0, [("Feeds ", palette.label), (marked(words, stage), value_style(palette, stage))], "")]
    if math.isfinite(picture.time) and not picture.stay.feeds:
        return [(0, [("Feeds ", palette.label), ("none: by table and by hand", palette.text)], "")]
    ages = [row.age for row in picture.channels if math.isfinite(row.age)]
    if not ages:
        return [(0, [("Feeds ", palette.label), ("waiting for the first figures", palette.text)], "")]
    good: list[Piece] = [("Feeds ", palette.label), ("good", palette.strong)]
    each = [
        (5 + index, [(f"{safe(feed.name)} ", palette.label), (_newest(picture, feed.name), palette.text)], "")
        for index, feed in enumerate(picture.feeds)
    ]
    return [(0, good, ""), *each]


def _newest(picture: Picture, feed: str) -> str:
    ages = [row.age for row in picture.channels if row.feed == feed and math.isfinite(row.age)]
    return short_span(min(ages)) if ages else "no signal"
