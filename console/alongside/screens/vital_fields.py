"""Tide, draughts, trim, heel, wind and gauges as fields of a row, each with the doubt of its gauge."""

import math
from collections.abc import Set
from typing import Final

from alongside.cycle.gauge_words import DRAUGHTS, HEEL, NEEDED, NOT_READ, faults, missing, row_of, unsure
from alongside.cycle.picture import Picture
from alongside.cycle.trends import STEADY_TIDE
from alongside.cycle.under_keel import clearance, sounded_lately
from alongside.readings import Quality
from alongside.screens.arrows import trend_arrow
from alongside.screens.palettes import Palette
from alongside.screens.rows import Piece, fit
from alongside.screens.stage_styles import marked, value_style
from alongside.screens.stamps import Field, stamp_of
from alongside.screens.view import View
from alongside.stay.stage import Stage
from alongside.wording import names
from alongside.wording.figures import bearing, figure, speed_figure
from alongside.wording.marks import NOT_KNOWN
from alongside.wording.safe import safe
from alongside.wording.times import clock, short_span

DRAUGHT_NAMES: Final = {"draught_fwd": "F", "draught_aft": "A"}
WIND_NAMES: Final = {"wind_speed": "speed", "wind_from": "direction"}
IN_ALARM: Final = -1
"""Rank of what is in warning or alarm: all else makes room for it."""


def afloat(view: View, *, large: Set[str] = frozenset(), brief: bool = False) -> list[Field]:
    """Return how she floats, in few words where `brief`; without what stands in large digits, `tide` or
    `under_keel`."""
    picture, palette = view.figures, view.palette
    floats: list[Field] = [
        (1, _draughts(picture, palette, brief), stamp_of(picture, DRAUGHT_NAMES)),
        (0, [("Trim ", palette.label), *_trim(picture, palette)], ""),
        (0, [("Heel ", palette.label), *_heel(picture, palette)], stamp_of(picture, dict.fromkeys(HEEL, ""))),
    ]
    if "tide" in large:
        keel = [] if "under_keel" in large else _under_keel(view, brief)
        return [*floats, *keel, *_large_by_hand(view, sounded="under_keel" in large)]
    return [
        (0, _tide(picture, palette, brief), stamp_of(picture, {"tide": ""})),
        *floats,
        *_under_keel(view, brief),
    ]


def _large_by_hand(view: View, *, sounded: bool) -> list[Field]:
    """Return whose figures in large digits were read by hand, and when; and what was sounded."""
    picture, label = view.figures, view.palette.label
    stamps = (("Tide", stamp_of(picture, {"tide": ""})), ("Wind", stamp_of(picture, WIND_NAMES)))
    fields: list[Field] = [(8, [(f"{name} {stamp}", label)], "") for name, stamp in stamps if stamp]
    other = _by_witness(picture, "tide", view.palette)
    if other:
        fields.append((2, [("Tide", label), *other], ""))
    depth = view.stay.berth.charted_depth if sounded else None
    if depth is None or not math.isfinite(under := clearance(view.stay.ship, depth, picture)):
        return fields
    return [*fields, *_sounded(view, under, keel_stage(view)[0])]


def is_doubtful(picture: Picture, channel: str) -> bool:
    """Return whether a figure is not measured, or its gauge is doubted."""
    row = row_of(picture, channel)
    return row is not None and row.quality in (Quality.SUSPECT, Quality.EXPECTED)


def _measured(picture: Picture, channel: str, text: str, palette: Palette) -> Piece:
    """Return a figure with the doubt of its gauge: `3.42?` where it is doubtful."""
    return _doubted(text, is_doubtful(picture, channel) and text != NOT_KNOWN, palette)


def _by_witness(picture: Picture, channel: str, palette: Palette) -> list[Piece]:
    """Return ` or 4.68`: what the witness of a doubtful gauge has instead."""
    if picture.by_witnesses is None:
        return []
    here, other = getattr(picture, channel), getattr(picture.by_witnesses, channel)
    if not math.isfinite(other) or figure(here, 2) == figure(other, 2):
        return []
    return [(" or ", palette.label), (figure(other, 2), value_style(palette, Stage.CAUTION))]


def _tide(picture: Picture, palette: Palette, brief: bool) -> list[Piece]:
    pieces = [("Tide ", palette.label), _measured(picture, "tide", figure(picture.tide, 2), palette)]
    if not math.isfinite(picture.tide):
        return [*pieces, (f" {missing(picture, 'tide').removeprefix('tide: ')}", palette.text)]
    pieces += [*_by_witness(picture, "tide", palette), ("" if brief else " m", palette.label)]
    if math.isfinite(picture.tide_rate):
        arrow = trend_arrow(picture.tide_rate, STEADY_TIDE)
        pieces += [
            (f" {arrow} {figure(abs(picture.tide_rate), 2)}", palette.strong),
            ("" if brief else " m/h", palette.label),
        ]
    return pieces


def _draughts(picture: Picture, palette: Palette, brief: bool) -> list[Piece]:
    pieces: list[Piece] = [("" if brief else "Draught ", palette.label)]
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


def _under_keel(view: View, brief: bool) -> list[Field]:
    """Return the under-keel clearance, where the berth's depth is charted."""
    picture, depth = view.figures, view.stay.berth.charted_depth
    if depth is None:
        return []
    under = clearance(view.stay.ship, depth, picture)
    if not math.isfinite(under):
        return []
    stage, doubtful = keel_stage(view)
    style = value_style(view.palette, stage) if stage else view.palette.strong
    text = figure(under, 1)
    if doubtful:
        text, other = f"{text}?", picture.by_witnesses
        style = value_style(view.palette, max(stage, Stage.CAUTION))
        by_other = clearance(view.stay.ship, depth, other) if other else math.nan
        if math.isfinite(by_other) and figure(by_other, 1) != figure(under, 1):
            text += f" or {figure(by_other, 1)}"
    pieces = [
        ("UKC ", view.palette.label),
        (marked(text, stage), style),
        ("" if brief else " m", view.palette.label),
    ]
    return [(IN_ALARM if stage >= Stage.WARNING else 2, pieces, ""), *_sounded(view, under, stage)]


def _sounded(view: View, computed: float, stage: Stage) -> list[Field]:
    """Return `read 0.4 m 06:30` where somebody has sounded under her keel within the hour; else nothing. The
    alert goes by it where it is less than computed."""
    last = sounded_lately(view.figures)
    if last is None:
        return []
    palette, at = view.palette, clock(last.at, view.stay.display)
    rank = IN_ALARM if stage >= Stage.WARNING and last.value < computed else 9
    pieces = [("read ", palette.label), (figure(last.value, 1), palette.strong), (f" m {at}", palette.label)]
    return [(rank, pieces, "")]


def keel_stage(view: View) -> tuple[Stage, bool]:
    """Return the stage of the water under her keel, and whether it rests on a doubtful gauge."""
    stage = view.figures.stages.get(("under_keel", ""), Stage.NORMAL)
    return stage, unsure(view.figures, (*NEEDED, *HEEL))


def wind(view: View) -> Field:
    picture, palette, display = view.figures, view.palette, view.stay.display
    pieces: list[Piece] = [("Wind ", palette.label)]
    if not math.isfinite(picture.wind_ms):
        words = missing(picture, "wind_speed").removeprefix("wind: ") or names.reason("NOT_FITTED")
        return 0, [*pieces, (f"{NOT_KNOWN} ", palette.strong), (words, palette.text)], ""
    pieces.append(_measured(picture, "wind_speed", speed_figure(picture.wind_ms, display), palette))
    pieces += [
        (f" {display.speed} gust ", palette.label),
        (speed_figure(picture.wind_gust_ms, display), palette.strong),
    ]
    come_from = _doubted(bearing(picture.wind_from_deg), unsure(picture, ("wind_from", "heading")), palette)
    return 0, [*pieces, (" from ", palette.label), come_from], stamp_of(picture, WIND_NAMES)


def gauges(view: View, width: int) -> list[Field]:
    """Return what is wrong with feeds and gauges; where nothing is, the age of each feed's newest figure."""
    palette, picture = view.palette, view.watch
    stages = [stage for (cause, _feed), stage in picture.stages.items() if cause == "feed"]
    stage = max(stages, default=Stage.NORMAL)
    wrong = faults(picture.channels, picture.feeds) or (["see alerts"] if stage else [])
    if wrong:
        more = f", {len(wrong) - 1} more" if len(wrong) > 1 else ""
        words = fit(f"{wrong[0]}{more}", max(20, width - 48))
        return [(1, [("Feeds ", palette.label), (marked(words, stage), value_style(palette, stage))], "")]
    if math.isfinite(picture.time) and not picture.stay.feeds:
        return [(1, [("Feeds ", palette.label), ("none: by table and by hand", palette.text)], "")]
    ages = [row.age for row in picture.channels if math.isfinite(row.age)]
    if not ages:
        return [(1, [("Feeds ", palette.label), ("waiting for the first figures", palette.text)], "")]
    good: list[Piece] = [("Feeds ", palette.label), ("good", palette.strong)]
    each = [
        (5 + index, [(f"{safe(feed.name)} ", palette.label), (_newest(picture, feed.name), palette.text)], "")
        for index, feed in enumerate(picture.feeds)
    ]
    return [(1, good, ""), *each]


def _newest(picture: Picture, feed: str) -> str:
    ages = [row.age for row in picture.channels if row.feed == feed and math.isfinite(row.age)]
    return short_span(min(ages)) if ages else "no signal"
