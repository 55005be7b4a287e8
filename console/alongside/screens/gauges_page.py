"""The page of gauges: what each says and how far it can be believed; of the chosen one, what doubts it."""

from dataclasses import astuple, replace
from math import isfinite

from textual.strip import Strip

from alongside.cycle.gauge_words import AGED, by_hand_rows, expected
from alongside.cycle.picture import ChannelRow, Picture
from alongside.readings import Quality, Reason
from alongside.screens.board import Board
from alongside.screens.gauge_doubts import chosen_channel, doubted, value_text, what_doubts
from alongside.screens.palettes import Palette
from alongside.screens.rows import Piece, fill_to, fit, strip, wrap
from alongside.screens.stage_styles import stage_style
from alongside.screens.view import View
from alongside.stay.model import Display
from alongside.stay.stage import Stage
from alongside.wording import names
from alongside.wording.bridge import port_text
from alongside.wording.doubts import SET_ASIDE
from alongside.wording.figures import metres
from alongside.wording.safe import safe
from alongside.wording.times import short_span

_VALUE, _QUALITY = 10, 10
_WIDE_FROM = 110
"""Columns from which gauges are named in full."""
_LEAST = 3
"""Rows of the list at least, however much is said of the chosen one."""


class GaugesPage(Board):
    def move(self, view: View, step: int) -> View:
        """Choose the gauge so many rows down."""
        rows, chosen = view.figures.channels, chosen_channel(view, view.figures)
        if chosen is None:
            return view
        at = min(max(rows.index(chosen) + step, 0), len(rows) - 1)
        return replace(view, channel=rows[at].channel)

    def paint(self, view: View, width: int, height: int) -> list[Strip]:
        palette, picture = view.palette, view.figures
        chosen = chosen_channel(view, picture)
        if chosen is None:
            return [strip([("  No gauges heard yet", palette.text)], width, palette.text)]
        words = [*_said(picture, chosen, view.stay.display), *_numbered(picture, chosen)]
        said = [line for text in words for line in wrap(text, width - 4)]
        rows = [_row(view, row, width, row is chosen) for row in picture.channels]
        port = _alerts_port(picture, palette, width)
        room = max(height - len(said) - 1 - len(port), _LEAST)
        if len(rows) > room:
            rows = _part(rows, picture.channels.index(chosen), room - 1, width, palette)
        below = [strip([(f"  {line}", palette.strong)], width, palette.text) for line in said]
        return [*rows, *port, strip([], width, palette.text), *below]


def _alerts_port(picture: Picture, palette: Palette, width: int) -> list[Strip]:
    """Return the row of the port on which alerts go out; none where none do."""
    port = picture.alerts_out
    if port is None:
        return []
    words = port_text(port.open, port.note, port.sent, port.unsent)
    ink = palette.text if port.open and not port.note else stage_style(palette, Stage.CAUTION)
    return [strip([(fit(f"  {words}", width), ink)], width, palette.text)]


def _part(rows: list[Strip], at: int, room: int, width: int, palette: Palette) -> list[Strip]:
    """Return as many rows as there is room for, the chosen one among them, and which they are."""
    first = min(max(0, at - room + 1), len(rows) - room)
    more = f"  {first + 1} to {first + room} of {len(rows)} gauges"
    return [*rows[first : first + room], strip([(more, palette.label)], width, palette.text)]


def _row(view: View, row: ChannelRow, width: int, is_chosen: bool) -> Strip:
    palette = view.palette
    on = palette.shade if is_chosen else None
    ink = palette.style(palette.ink, on)
    short = width < _WIDE_FROM
    cells = 2 + max(len(names.channel(each.channel, short)) for each in view.figures.channels)
    doubtful = row.quality in (Quality.SUSPECT, Quality.LOST)
    quality = stage_style(palette, Stage.CAUTION, on=on) if doubtful else ink
    head: list[Piece] = [
        ("▸ " if is_chosen else "  ", ink),
        (fill_to(names.channel(row.channel, short), cells), ink),
        (fill_to(value_text(row.channel, row.value, view.stay.display), _VALUE, right=True), ink),
        (f"  {fill_to(names.quality(row.quality.name), _QUALITY)}", quality),
    ]
    why = fit(safe(_why(row)), width - cells - _VALUE - _QUALITY - 5)
    return strip([*head, (why, ink)], width, ink)


def _why(row: ChannelRow) -> str:
    if row.why:
        return row.why
    if row.quality is Quality.EXPECTED:
        return expected(row)
    if row.quality is Quality.GOOD:
        heard = f"{short_span(row.age)} ago" if isfinite(row.age) else ""
        return ", ".join(filter(None, (row.feed, heard)))
    age = f" {short_span(row.age)}" if row.reason in AGED and isfinite(row.age) else ""
    return f"{names.reason(row.reason.name)}{age}"


def _numbered(picture: Picture, chosen: ChannelRow) -> list[str]:
    """Return what is missing of the numbered lines of the chosen gauge's feed; nothing where none is."""
    feed = next((feed for feed in picture.feeds if feed.name == chosen.feed), None)
    flawed = [numbers for numbers in feed.numbers if numbers.flawed] if feed is not None else []
    return [f"Feed {safe(chosen.feed)}, {safe(names.line_numbers(*astuple(numbers)))}" for numbers in flawed]


def _said(picture: Picture, chosen: ChannelRow, display: Display) -> list[str]:
    """Return what is to be said of the chosen gauge."""
    of = doubted(picture, chosen.channel)
    if of is not None:
        return [*what_doubts(picture, of, display), "Look at it, then press y: the gauge is right, or wrong"]
    if chosen.channel == "tide" and isfinite(picture.residual):
        way = "above" if picture.residual >= 0.0 else "below"
        return [f"Tide stands {metres(abs(picture.residual))} {way} the table"]
    if chosen.why == SET_ASIDE:
        return [f"Not used until it agrees with the {names.stands_in(chosen.channel)} again"]
    if chosen.reason is Reason.BY_HAND:
        return by_hand_rows(picture, chosen, display)
    if chosen.quality is not Quality.GOOD:
        return ["No witness says another figure: look at the gauge itself"]
    return ["No witness doubts this gauge"]
