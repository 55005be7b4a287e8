"""Line: the chosen line in full: its section, its figures beside their limits, now and at high and low water,
what a metre would do, what was done to it, and its chart."""

from collections.abc import Hashable
from dataclasses import replace

from textual.strip import Strip

from alongside.cycle.gauge_words import why_line_unknown
from alongside.cycle.line_row import LineRow
from alongside.cycle.line_section import Section
from alongside.screens.board import Board
from alongside.screens.chart import chart_strips
from alongside.screens.chart_series import QUANTITIES
from alongside.screens.figure_rows import figure_rows
from alongside.screens.line_facts import fact_rows, facts_of, way_of
from alongside.screens.line_figures import figures_of
from alongside.screens.line_kept import LineKept
from alongside.screens.line_moments import metre_rows, moment_rows, past_rows
from alongside.screens.palettes import Palette
from alongside.screens.raster_pieces import raster_pieces
from alongside.screens.rows import Piece, length, strip, wrap
from alongside.screens.section_drawing import drawn_section, rows_for, scale_words
from alongside.screens.section_inks import section_style
from alongside.screens.stage_styles import stage_style
from alongside.screens.view import View, chosen_line, other_line
from alongside.stay.model import Line
from alongside.wording import names
from alongside.wording.cautions import CLEAR_DECK, COMPUTED, SNAP_BACK
from alongside.wording.marks import stage_text, unknown_text
from alongside.wording.safe import safe
from alongside.wording.times import clock

Rows = list[list[Piece]]

TWO_COLUMNS_FROM = 76
MOMENTS_BESIDE_FROM = 118
"""Width from which now, high and low water stand under the section, not across the page."""
SMALL_BELOW = 24
"""Height of the part below which the cautions take one row."""
CHART_LEAST = 8
SECTION_LEAST, SECTION_HIGH = 6, 12
"""Rows of the section with its caption: at the least, and before what was done to the line has a place."""
FIGURES_LEAST = 6


class LinePage(Board):
    def __init__(self, name: str) -> None:
        super().__init__(name)
        self._kept = LineKept()

    def basis(self, view: View) -> Hashable:
        return (id(view.figures), view.line, view.by_position, view.hours, view.series)

    def move(self, view: View, step: int) -> View:
        """Choose the line so many rows down the table."""
        return replace(other_line(view, step), scroll=0)

    def paint(self, view: View, width: int, height: int) -> list[Strip]:
        return line_strips(view, width, height, self._kept)


def line_strips(view: View, width: int, height: int, kept: LineKept) -> list[Strip]:
    """Return the page; `kept` has what was worked out before."""
    row, fill = chosen_line(view), view.palette.text
    line = next((each for each in view.figures.stay.lines if row is not None and each.id == row.id), None)
    if row is None or line is None:
        return [strip([("  No such line", fill)], width, fill)]
    head = _heading(view, row, line, width)
    foot = _cautions(view.palette, width, height)
    room = height - len(head) - len(foot)
    page = _Page(view, row, line, kept.section(view.figures, row.id), kept)
    body = page.one_column(width, room) if width < TWO_COLUMNS_FROM else page.two_columns(width, room)
    body = body[: max(room, 0)]
    space = [strip([], width, fill)] * max(room - len(body), 0)
    return [*head, *body, *space, *foot][:height]


def _cautions(palette: Palette, width: int, height: int) -> list[Strip]:
    """Return the snap-back caution always, the other where it takes no room from the figures: the help has
    both."""
    style = palette.style(palette.caution)
    if height < SMALL_BELOW:
        words = [f"{CLEAR_DECK[0].upper()}{CLEAR_DECK[1:]}."]
    else:
        words = wrap(SNAP_BACK, width - 4) + (wrap(COMPUTED, width - 4) if height >= 2 * SMALL_BELOW else [])
    return [strip([(f"  {each}", style)], width, palette.text) for each in words]


def _heading(view: View, row: LineRow, line: Line, width: int) -> list[Strip]:
    """Return which line it is and why it is in its stage, then where it leads, and what was done last."""
    palette = view.palette
    pieces: list[Piece] = [(f"  Line {safe(row.id)}, {row.role}   ", palette.strong)]
    if row.stage is None:
        words = f"{unknown_text(row.no_length.name)}: {why_line_unknown(view.figures, row)}"
        pieces.append((words, palette.text))
    else:
        because = f" {names.cause(row.because)}" if row.because else ""
        stage = (stage_text(row.stage), stage_style(palette, row.stage))
        pieces += [stage, (f"{because}   ", palette.strong)]
    way: Piece = (f"  {way_of(line)}", palette.label)
    second = [way]
    deed = row.last_deed
    if deed is not None:
        who = f" ({safe(deed.by)})" if deed.by else ""
        last = (f"   {clock(deed.time, view.stay.display)} {safe(deed.words)}{who}", palette.text)
        second = [way, last] if length([way, last]) <= width else [last]
    if length([*pieces, *second]) <= width - 4:
        return [strip([*pieces, *second], width, palette.text)]
    return [strip(pieces, width, palette.text), strip(second, width, palette.text)]


class _Page:
    """One page to be laid out: what it is made of, asked for as far as there is room."""

    def __init__(self, view: View, row: LineRow, line: Line, section: Section, kept: LineKept) -> None:
        self.view, self.row, self.line, self.section, self.kept = view, row, line, section, kept
        self.palette, self.picture = view.palette, view.figures
        self.display = view.stay.display

    def figures(self, width: int, room: int) -> Rows:
        return figure_rows(self.palette, figures_of(self.view, self.row, self.line), width, room)

    def moments(self, width: int) -> Rows:
        return moment_rows(self.picture, self.section, self.palette, width)

    def metre(self, width: int) -> Rows:
        tried = self.kept.tried(self.picture, self.row.id)
        load_kn, mbl_kn = self.row.tension_kn, self.line.smallest_mbl_kn
        return metre_rows(self.display, tried, load_kn, mbl_kn, self.palette, width)

    def past(self, width: int, most: int) -> Rows:
        return past_rows(self.picture, self.row.id, self.display, self.palette, width, most)

    def facts(self, width: int, room: int) -> Rows:
        return fact_rows(self.palette, facts_of(self.view, self.row, self.line), width, room)

    def title(self, words: str) -> list[Piece]:
        return [(f" {words}", self.palette.label)]

    def drawing(self, width: int, rows: int) -> Rows:
        """Return the section with its caption in at most so many rows, one that says why there is none."""
        rows = min(rows, rows_for(self.section, width - 1, rows - 1) + 1)
        stage = -1 if self.row.stage is None else int(self.row.stage)
        raster = drawn_section(self.section, stage, self.display, width - 1, rows - 1)
        caption = _caption(self.section, self.row, width - 1, rows - 1)
        if raster is None:
            return [[(f"  {part}", self.palette.label)] for part in wrap(caption, width - 3)]
        pieces = raster_pieces(raster, lambda ink: section_style(self.palette, ink))
        return [self.title(caption), *([(" ", self.palette.text), *each] for each in pieces)]

    def one_column(self, width: int, room: int) -> list[Strip]:
        """Return parts one below the other, those that matter most first."""
        figures = self.figures(width, room)
        rest = room - len(figures)
        moments = self.moments(width)
        body: Rows = []
        if rest >= len(moments) + SECTION_LEAST:
            body += self.drawing(width, rest - len(moments))
        body += figures
        body += moments if room - len(body) >= len(moments) else []
        for part in (self.metre(width), self.past(width, 4), self.facts(width, room)):
            body += part if room - len(body) >= len(part) else []
        return [strip(each, width, self.palette.text) for each in body]

    def two_columns(self, width: int, room: int) -> list[Strip]:
        """Return section and figures side by side, the rest below them or under each."""
        if width >= MOMENTS_BESIDE_FROM:
            left_width = min(max(width * 12 // 25, 62), 110)
            right_width = width - left_width - 2
            left = self._left(left_width, room)
            right = self._right(right_width, room)
            return self._side_by_side(left, right, left_width, width)
        left_width = width * 5 // 12
        right_width = width - left_width - 2
        moments, metre = self.moments(width), self.metre(width)
        least = max(SECTION_LEAST, FIGURES_LEAST)
        below = moments
        below = [*below, *metre] if room - len(below) - len(metre) >= least else below
        top = room - len(below)
        if top < 3:
            below, top = [], room
        figures = self.figures(right_width, top)
        wanted = max(rows_for(self.section, left_width - 1, top - 1) + 1, len(figures))
        spare = top - min(wanted, top)
        past = self.past(width, spare) if spare >= 2 else []
        facts = self.facts(width, spare - len(past)) if spare - len(past) > 0 else []
        top -= min(len(past) + len(facts), spare)
        drawing = self.drawing(left_width, top)
        rows = self._side_by_side(drawing, self.figures(right_width, top), left_width, width)[:top]
        return [*rows, *(strip(each, width, self.palette.text) for each in (*below, *past, *facts))]

    def _left(self, width: int, room: int) -> Rows:
        """Return section, moments, a metre, and what was done, from the top. What was done waits until the
        section is high enough to be read."""
        moments, metre = self.moments(width), self.metre(width)
        parts = len(moments) + len(metre)
        spare = room - parts
        spare -= 6 if spare >= SECTION_HIGH + 6 else min(max(spare - SECTION_LEAST, 0), 2)
        drawing = self.drawing(width, max(spare, SECTION_LEAST))
        body = [*drawing, *self._gap(room - len(drawing) - parts), *moments]
        if room - len(body) >= len(metre):
            body += [*self._gap(room - len(body) - len(metre)), *metre]
        rest = room - len(body)
        if rest >= 3:
            body += [*self._gap(rest - 3), self.title("Done to it"), *self.past(width, rest - 2)]
        return body[:room]

    def _right(self, width: int, room: int) -> Rows:
        """Return figures, facts, and the chart at the foot where there is room."""
        figures = self.figures(width, room)
        rest = room - len(figures)
        facts = self.facts(width, 8 if rest >= CHART_LEAST + 6 else max(rest, 0))
        body = [*figures, *self._gap(rest - len(facts)), *facts]
        rest = room - len(body)
        if rest < CHART_LEAST + 1:
            return body[:room]
        series = self.view.series if self.view.series in QUANTITIES else QUANTITIES[0]
        view = replace(self.view, series=series, chart_lines="one", chart_at=None)
        chart = chart_strips(view, width, min(rest - 1, 16))
        rows: Rows = [
            [(segment.text, segment.style or self.palette.text) for segment in each] for each in chart
        ]
        return [*body, [], *rows]

    @staticmethod
    def _gap(spare: int) -> Rows:
        return [[]] if spare > 0 else []

    def _side_by_side(self, left: Rows, right: Rows, left_width: int, width: int) -> list[Strip]:
        strips = []
        for at in range(max(len(left), len(right))):
            row = list(left[at]) if at < len(left) else []
            row.append((" " * max(left_width + 2 - length(row), 0), self.palette.text))
            strips.append(strip([*row, *(right[at] if at < len(right) else [])], width, self.palette.text))
        return strips


def _caption(section: Section, row: LineRow, width: int, rows: int) -> str:
    """Return how the section is drawn, and what is not drawn; the longest that fits."""
    scale = scale_words(section, width, rows)
    if not scale:
        return f"No section: {row.why or section.now.why or 'lead not known'}"
    if not section.is_out:
        return f"Section {scale}; no line drawn: {row.why}"
    if row.tension_kn == 0.0 or row.elongation_pct < 0.0:
        words = f"Section {scale}; slack, drawn straight"
        return words if len(words) + 2 <= width else "Line slack, drawn straight"
    for text in (f"Section {scale}; dotted: line at HW and LW", f"Section {scale}; dotted: HW, LW"):
        if len(text) + 2 <= width:
            return text
    return f"Section {scale}"
