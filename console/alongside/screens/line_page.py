"""Line: one line in full, with lead, lengths, loads and their three components, limits, cautions."""

import math
from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass, replace
from typing import Final

from rich.cells import cell_len
from textual.strip import Strip

from alongside.alerts.over_brake import drum_mark
from alongside.cycle.picture import IfSlipped, LineRow
from alongside.screens.board import Board
from alongside.screens.gauge_words import doubtful_figure, why_line_unknown
from alongside.screens.palettes import Palette
from alongside.screens.rows import Piece, fill_to, fit, length, strip, wrap
from alongside.screens.stage_styles import marked, stage_style, value_style
from alongside.screens.stretch_bar import stretch_bar
from alongside.screens.tend_words import BY_CELL
from alongside.screens.view import View, chosen_line, other_line
from alongside.stay.causes import Cause
from alongside.stay.model import Limits, Line, StageLimits
from alongside.stay.stage import Stage
from alongside.wording import names
from alongside.wording.cautions import COMPUTED, SNAP_BACK
from alongside.wording.figures import (
    degrees,
    figure,
    force_range,
    force_text,
    lead,
    metres,
    percent,
    percent_range,
)
from alongside.wording.marks import NOT_KNOWN, stage_text, unknown_text
from alongside.wording.safe import safe
from alongside.wording.times import clock

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
        line = next((each for each in view.figures.stay.lines if row is not None and each.id == row.id), None)
        if row is None or line is None:
            return [strip([("  No such line", view.palette.text)], width, view.palette.text)]
        room = height - HEADING - len(wrap(SNAP_BACK, width - 4))
        left, right = _lead_and_lengths(view, row, line), _loads(view, row, line)
        body = _columns(view.palette, left, right, width, room)
        foot = _cautions(view.palette, width, height - HEADING - len(body))
        return [*_heading(view, row, width), *body[: height - HEADING - len(foot)], *foot]


def _cautions(palette: Palette, width: int, room: int) -> list[Strip]:
    """Return the snap-back caution always, the other where it takes no room from the figures: the help has
    both."""
    snap_back, computed = wrap(SNAP_BACK, width - 4), wrap(COMPUTED, width - 4)
    lines = [*snap_back, *computed] if len(snap_back) + len(computed) <= room else snap_back
    style = palette.style(palette.caution)
    return [strip([("  " + words, style)], width, palette.text) for words in lines]


def _heading(view: View, row: LineRow, width: int) -> list[Strip]:
    palette = view.palette
    pieces: list[Piece] = [(f"  Line {safe(row.id)}, {row.role}   ", palette.strong)]
    if row.stage is None:
        words = f"{unknown_text(row.no_length.name)}: {why_line_unknown(view.figures, row)}"
        pieces.append((words, palette.text))
        return [strip(pieces, width, palette.text), _last_done(view, row, width)]
    because = f" {names.cause(row.because)}" if row.because else ""
    pieces += [(stage_text(row.stage), stage_style(palette, row.stage)), (f"{because}   ", palette.strong)]
    room = min(44, width - length(pieces) - 10)
    if room >= 12:
        limits, stage = view.stay.limits.stretch_share, row.stages.get("stretch", Stage.NORMAL)
        pieces += stretch_bar(row.stretch_share, stage, limits, room, palette)
        share = doubtful_figure(view.figures, percent(row.stretch_share))
        pieces.append((f" {share}", palette.strong))
    return [strip(pieces, width, palette.text), _last_done(view, row, width)]


def _last_done(view: View, row: LineRow, width: int) -> Strip:
    """Return what was entered of the line last, by whom and when."""
    deed, palette = row.last_deed, view.palette
    if deed is None:
        return strip([], width, palette.text)
    who = f" ({safe(deed.by)})" if deed.by else ""
    words = f"  {clock(deed.time, view.stay.display)} {safe(deed.words)}{who}"
    return strip([(words, palette.text)], width, palette.text)


def _lead_and_lengths(view: View, row: LineRow, line: Line) -> list[Entry]:
    picture = view.figures
    way = f"{safe(line.fairlead)} to bollard {safe(line.bollard)}"
    if line.winch:
        way = f"winch {safe(line.winch)}, {way}"
    entries = [
        Entry("leads", way),
        _judged(view, row, "steepness", doubtful_figure(picture, lead(row.vertical_deg)), "steep"),
        Entry("lead°", f"{degrees(row.horizontal_deg)} from ahead"),
        Entry("outboard", metres(row.outboard_m)),
        Entry("inboard", metres(row.path_m - row.outboard_m)),
        Entry("main rope", metres(row.unstretched_m)),
        Entry("elongation", doubtful_figure(picture, _elongation(row.elongation_pct))),
        Entry("rope", f"{safe(line.rope.name)}, MBL {force_text(line.rope.mbl_kn, view.stay.display)}"),
    ]
    if line.tail is not None:
        entries.append(Entry("tail", f"{safe(line.tail.rope.name)}, {metres(line.tail.length)}"))
    return entries


def _loads(view: View, row: LineRow, line: Line) -> list[Entry]:
    load, of_wll, stretch = (
        doubtful_figure(view.figures, text)
        for text in (
            force_text(row.tension_kn, view.stay.display),
            percent(row.load_share),
            percent(row.stretch_share),
        )
    )
    if row.by_cell:
        of_wll = f"{percent(row.counted_share(line.smallest_wll_kn))} by cell"
    entries = [
        _judged(view, row, "load", load, "slack", limits=False),
        _judged(view, row, "load, of WLL", of_wll, "load"),
        _judged(view, row, "stretch", stretch, "stretch"),
        *_likely(view, row),
        Entry(*_pull(row.ahead_kn, "pulls ahead", "pulls astern", view)),
        Entry(*_pull(row.in_kn, "pulls in", "pulls off", view)),
        Entry(*_pull(row.down_kn, "pulls down", "pulls up", view)),
    ]
    if row.asked is not None:
        entries[1:1] = _if_slipped(view, row.asked)
    if math.isfinite(row.measured_kn):
        entries[1:1] = _load_cell(view, row)
    winch = view.stay.ship.winches.get(line.winch) if line.winch else None
    if winch is not None and winch.holding_kn is not None:
        used = _used(view, winch.holding_kn, row.counted_kn) + (" by cell" if row.by_cell else "")
        entries.append(_judged(view, row, "brake", used, "brake"))
    dolphin = view.stay.berth.bollards[line.bollard].dolphin
    for name, what in ((line.bollard, "bollard"), *([(dolphin, "dolphin")] if dolphin else [])):
        swl = view.stay.berth.swl_of(name)
        if swl is not None:
            used = _used(view, swl, on_bollard(view, name)) + _shared_with(view, line, name)
            entries.append(_judged(view, row, what, used, "bollard", subject=name))
    return entries


LIMITS: Final[dict[Cause, tuple[Callable[[Limits], StageLimits], float]]] = {
    "steep": (lambda limits: limits.steep_deg, 1.0),
    "stretch": (lambda limits: limits.stretch_share, 100.0),
    "load": (lambda limits: limits.load_share, 100.0),
    "brake": (lambda limits: limits.brake_share, 100.0),
    "bollard": (lambda limits: limits.bollard_share, 100.0),
}
"""Limits of each cause that has a row here, and what brings them to the unit of that row."""


def _judged(
    view: View,
    row: LineRow,
    label: str,
    text: str,
    cause: Cause,
    *,
    subject: str = "",
    limits: bool = True,
) -> Entry:
    """Return a figure with the stage of its cause, and the limits where that cause is watched."""
    stage = view.figures.stages.get((cause, subject or row.id))
    if stage is None:
        return Entry(label, text)
    if limits:
        of, scale = LIMITS[cause]
        used = [f"{limit * scale:g}" for limit in of(view.stay.limits).as_tuple() if math.isfinite(limit)]
        text += f"  ({'/'.join(used)})"
    return Entry(label, text, stage)


def _likely(view: View, row: LineRow) -> list[Entry]:
    """Return between what load and stretch are likely, for what is not known of ropes and making fast."""
    load = force_range(row.tension_low_kn, row.tension_high_kn, view.stay.display)
    stretch = percent_range(row.stretch_low, row.stretch_high)
    return [Entry("likely", f"{load}, stretch {stretch}")] if load else []


def _load_cell(view: View, row: LineRow) -> list[Entry]:
    """Return what the load cell gives beside what is computed and, where they differ, how to use it."""
    display = view.stay.display
    off = row.measured_kn - row.tension_kn
    text = force_text(row.measured_kn, display)
    if math.isfinite(off):
        text += f", {force_text(abs(off), display)} {'more' if off > 0.0 else 'less'} than computed"
    if math.isfinite(row.peak_kn):
        text += f"; highest of 10 min {force_text(row.peak_kn, display)}"
    entry = _judged(view, row, "load cell", text, "tension", limits=False)
    if entry.stage == Stage.NORMAL:
        return [entry]
    return [entry, Entry("if it lasts", f"tend it to the cell's tension: t, {BY_CELL}")]


def _if_slipped(view: View, asked: IfSlipped) -> list[Entry]:
    """Return what the line carries if its brake slipped, and what to look for at the winch."""
    load = force_text(asked.tension_kn, view.stay.display)
    return [
        Entry("or, slipped", f"{load}, stretch {percent(asked.stretch_share)}", Stage.ALARM),
        Entry("drum mark", f"{drum_mark(asked.ran_out_m, asked.or_more)}, or not", Stage.ALARM),
        Entry("winch seen", "x: slipped or held"),
    ]


def on_bollard(view: View, bollard: str) -> float:
    """Return the load on a bollard or dolphin, kN: the vector sum of its lines, NaN where one of them is not
    known."""
    rows, bears = {row.id: row for row in view.figures.lines}, view.stay.berth.bears
    pulls = [rows[line.id] for line in view.figures.stay.lines if bears(bollard, line.bollard)]
    return math.hypot(*(sum(way) for way in zip(*(row.counted_pull for row in pulls), strict=True)))


def _shared_with(view: View, line: Line, bollard: str) -> str:
    on_it = [
        each.id for each in view.figures.stay.lines if view.figures.stay.berth.bears(bollard, each.bollard)
    ]
    others = [name for name in on_it if name != line.id]
    return f", with {', '.join(safe(name) for name in others)}" if others else ""


def _used(view: View, holds_kn: float, load_kn: float) -> str:
    """Return how much of a brake's holding or a bollard's SWL is used: `88 % of 26.0 t`."""
    holds = force_text(holds_kn, view.stay.display)
    share = percent(load_kn / holds_kn) if math.isfinite(load_kn) else NOT_KNOWN
    return f"{doubtful_figure(view.figures, share)} of {holds}"


def _pull(kn: float, one_way: str, other_way: str, view: View) -> tuple[str, str]:
    return (
        one_way if not kn < 0 else other_way,
        doubtful_figure(view.figures, force_text(abs(kn), view.stay.display)),
    )


def _elongation(percent_of_length: float) -> str:
    """Return by how much the line is longer than unstretched; one shorter hangs slack."""
    if percent_of_length < 0.0:
        return "none, it hangs slack"
    return f"{figure(percent_of_length, 2)} %" if math.isfinite(percent_of_length) else NOT_KNOWN


def _columns(
    palette: Palette, left: Sequence[Entry], right: Sequence[Entry], width: int, room: int
) -> list[Strip]:
    """Return entries side by side where there is room, else one below the other; long ones whole as far as
    `room` rows take all entries."""
    if width < TWO_COLUMNS_FROM:
        rows = [_entry(palette, entry, width - 2) for entry in (*left, *right)]
        return [strip([("  ", palette.text), *row], width, palette.text) for row in rows]
    half = min(max((cell_len(entry.text) for entry in left), default=0) + LABEL + 4, width * 21 // 40)
    whole = _folded(left, half - 2), _folded(right, width - half - 3)
    if max(map(len, whole)) <= room:
        left, right = whole
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


def _folded(entries: Sequence[Entry], width: int) -> list[Entry]:
    """Return entries of which none is cut: what has no room goes on in a row below, without a label."""
    rows: list[Entry] = []
    for entry in entries:
        whole = marked(entry.text, entry.stage)
        if cell_len(whole) <= width - LABEL - 1:
            rows.append(entry)
            continue
        begin, *rest = wrap(entry.text, width - LABEL - 1 - (cell_len(whole) - cell_len(entry.text)))
        rows += [replace(entry, text=begin), *(Entry("", part) for part in rest)]
    return rows


def _entry(palette: Palette, entry: Entry, width: int) -> list[Piece]:
    text = fit(marked(entry.text, entry.stage), width - LABEL - 1)
    return [(fill_to(entry.label, LABEL + 1), palette.label), (text, value_style(palette, entry.stage))]
