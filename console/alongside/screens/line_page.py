"""One line in full: lead, lengths, loads with their three components, limits, and the cautions."""

import math
from collections.abc import Hashable, Sequence
from dataclasses import dataclass, replace

from rich.cells import cell_len
from textual.strip import Strip

from alongside.cycle.picture import LineRow
from alongside.screens.board import Board
from alongside.screens.gauge_words import why_unknown
from alongside.screens.palettes import Palette
from alongside.screens.rows import Piece, fill_to, fit, length, strip, wrap
from alongside.screens.stage_styles import stage_at, stage_style, value_style
from alongside.screens.stretch_bar import stretch_bar
from alongside.screens.tend_words import BY_CELL
from alongside.screens.view import View, chosen_line, is_known, other_line
from alongside.stay.model import Line, StageLimits
from alongside.stay.stage import Stage
from alongside.wording.cautions import COMPUTED, SNAP_BACK
from alongside.wording.figures import degrees, figure, force_text, percent
from alongside.wording.marks import NOT_KNOWN, stage_text
from alongside.wording.safe import safe

LABEL = 12
HEADING = 2
"""Rows above the figures."""
TWO_COLUMNS_FROM = 76


@dataclass(frozen=True, slots=True)
class Entry:
    label: str
    text: str
    stage: Stage = Stage.NORMAL


class LinePage(Board):
    def basis(self, view: View) -> Hashable:
        return (id(view.figures), view.line, view.by_position, view.scroll, view.lit)

    def move(self, view: View, step: int) -> View:
        """Choose the line so many rows down the table."""
        return replace(other_line(view, step), scroll=0)

    def paint(self, view: View, width: int, height: int) -> list[Strip]:
        row = chosen_line(view)
        line = next((each for each in view.stay.lines if row is not None and each.id == row.id), None)
        if row is None or line is None:
            return [strip([("  No such line", view.palette.text)], width, view.palette.text)]
        body = _columns(view.palette, _lead_and_lengths(view, row, line), _loads(view, row, line), width)
        foot = _cautions(view.palette, width, height - HEADING - len(body))
        return [*_heading(view, row, width), *body[: height - HEADING - len(foot)], *foot]


def _cautions(palette: Palette, width: int, room: int) -> list[Strip]:
    """The snap-back caution always, the other where it takes no room from the figures: the help has both."""
    snap_back, computed = wrap(SNAP_BACK, width - 4), wrap(COMPUTED, width - 4)
    told = [*snap_back, *computed] if len(snap_back) + len(computed) <= room else snap_back
    style = palette.style(palette.caution)
    return [strip([("  " + words, style)], width, palette.text) for words in told]


def _heading(view: View, row: LineRow, width: int) -> list[Strip]:
    palette = view.palette
    pieces: list[Piece] = [(f"  Line {safe(row.id)}, {row.role}   ", palette.strong)]
    if not is_known(row):
        pieces.append((f"{NOT_KNOWN} {why_unknown(view.figures)}", palette.text))
        return [strip(pieces, width, palette.text), strip([], width, palette.text)]
    pieces += [(stage_text(row.stage), stage_style(palette, row.stage)), ("   ", palette.text)]
    room = min(44, width - length(pieces) - 10)
    if room >= 12:
        pieces += stretch_bar(row.stretch_share, view.stay.limits.stretch_share, room, palette)
        pieces.append((f" {percent(row.stretch_share)}", palette.strong))
    return [strip(pieces, width, palette.text), strip([], width, palette.text)]


def _lead_and_lengths(view: View, row: LineRow, line: Line) -> list[Entry]:
    display = view.stay.display
    limits = view.stay.limits
    steep = stage_at(row.vertical_deg, limits.steep_deg)
    way = f"{safe(line.fairlead)} to bollard {safe(line.bollard)}"
    if line.winch:
        way = f"winch {safe(line.winch)}, {way}"
    entries = [
        Entry("leads", way),
        Entry("steepness", f"{degrees(row.vertical_deg, 1)} down{_limits(limits.steep_deg, 1.0)}", steep),
        Entry("from ahead", f"{degrees(row.horizontal_deg, 1)}, 90 is abeam"),
        Entry("outboard", _metres(row.outboard_m)),
        Entry("inboard", _metres(row.path_m - row.outboard_m)),
        Entry("main rope", _metres(row.unstretched_m)),
        Entry("stretched by", _stretched(row.elongation_pct)),
        Entry("rope", f"{safe(line.rope.name)}, MBL {force_text(line.rope.mbl_kn, display)}"),
    ]
    if line.tail is not None:
        entries.append(Entry("tail", f"{safe(line.tail.rope.name)}, {_metres(line.tail.length)}"))
    return entries


def _loads(view: View, row: LineRow, line: Line) -> list[Entry]:
    display, limits = view.stay.display, view.stay.limits
    load = stage_at(row.load_share, limits.load_share)
    stretch = stage_at(row.stretch_share, limits.stretch_share)
    entries = [
        Entry("load", force_text(row.tension_kn, display), load),
        Entry("of WLL", f"{percent(row.load_share)}{_limits(limits.load_share, 100.0)}", load),
        Entry("of allowance", f"{percent(row.stretch_share)}{_limits(limits.stretch_share, 100.0)}", stretch),
        Entry(*_pull(row.ahead_kn, "pulls ahead", "pulls astern", view)),
        Entry(*_pull(row.in_kn, "pulls in", "pulls off", view)),
        Entry(*_pull(row.down_kn, "pulls down", "pulls up", view)),
    ]
    if math.isfinite(row.measured_kn):
        entries[1:1] = _gauge(view, row, line)
    winch = view.stay.ship.winches.get(line.winch) if line.winch else None
    if winch is not None and winch.brake_kn is not None:
        entries.append(_holding(view, "brake holds", row.tension_kn, winch.brake_kn, limits.brake_share))
    swl = view.stay.berth.bollards[line.bollard].swl_kn
    if swl is not None:
        entry = _holding(view, "bollard SWL", on_bollard(view, line.bollard), swl, limits.bollard_share)
        entries.append(replace(entry, text=entry.text + _shared_with(view, line)))
    return entries


def _gauge(view: View, row: LineRow, line: Line) -> list[Entry]:
    """What the load cell says beside what is computed and, where they differ, how to take its word."""
    display = view.stay.display
    off = row.measured_kn - row.tension_kn
    stage = stage_at(abs(off) / line.smallest_wll_kn, view.stay.limits.tension_share)
    text = force_text(row.measured_kn, display)
    if math.isfinite(off):
        text += f", {force_text(abs(off), display)} {'more' if off > 0.0 else 'less'} than computed"
    entries = [Entry("gauge says", text, stage)]
    if stage > Stage.NORMAL:
        entries.append(Entry("if it lasts", f"tend it to the cell's tension: t, {BY_CELL}"))
    return entries


def on_bollard(view: View, bollard: str) -> float:
    """Load on a bollard, kN: the vector sum of its lines, NaN where one of them is not known."""
    rows = {row.id: row for row in view.figures.lines}
    pulls = [rows[line.id] for line in view.stay.lines if line.bollard == bollard]
    return math.hypot(*(sum(getattr(row, way) for row in pulls) for way in ("ahead_kn", "in_kn", "down_kn")))


def _shared_with(view: View, line: Line) -> str:
    others = [each.id for each in view.stay.lines if each.bollard == line.bollard and each.id != line.id]
    return f", with {', '.join(safe(name) for name in others)}" if others else ""


def _holding(view: View, label: str, tension: float, holds: float, limits: StageLimits) -> Entry:
    share = tension / holds
    text = force_text(holds, view.stay.display)
    if math.isfinite(share):
        text += f", {percent(share)} used"
    return Entry(label, text, stage_at(share, limits))


def _pull(kn: float, one_way: str, other_way: str, view: View) -> tuple[str, str]:
    return (one_way if not kn < 0 else other_way), force_text(abs(kn), view.stay.display)


def _limits(limits: StageLimits, scale: float) -> str:
    used = [f"{limit * scale:g}" for limit in limits.as_tuple() if math.isfinite(limit)]
    return f"  ({'/'.join(used)})" if used else ""


def _metres(value: float) -> str:
    text = figure(value, 2)
    return f"{text} m" if math.isfinite(value) else text


def _stretched(elongation_pct: float) -> str:
    """A path shorter than the rope laid along it stretches nothing."""
    return "nothing, it hangs slack" if elongation_pct < 0.0 else _percent_points(elongation_pct)


def _percent_points(value: float) -> str:
    text = figure(value, 2)
    return f"{text} %" if math.isfinite(value) else text


def _columns(palette: Palette, left: Sequence[Entry], right: Sequence[Entry], width: int) -> list[Strip]:
    """Entries side by side where there is room, else one below the other."""
    if width < TWO_COLUMNS_FROM:
        rows = [_entry(palette, entry, width - 2) for entry in (*left, *right)]
        return [strip([("  ", palette.text), *row], width, palette.text) for row in rows]
    half = min(max((cell_len(entry.text) for entry in left), default=0) + LABEL + 4, width * 21 // 40)
    strips = []
    for index in range(max(len(left), len(right))):
        row: list[Piece] = [("  ", palette.text)]
        if index < len(left):
            row += _entry(palette, left[index], half - 2)
        row.append((" " * (half + 2 - length(row)), palette.text))
        if index < len(right):
            row += _entry(palette, right[index], width - half - 3)
        strips.append(strip(row, width, palette.text))
    return strips


def _entry(palette: Palette, entry: Entry, width: int) -> list[Piece]:
    text = fit(entry.text, width - LABEL - 1)
    return [(fill_to(entry.label, LABEL + 1), palette.label), (text, value_style(palette, entry.stage))]
