"""The page of the self-test: all stages as they look, each gauge, the record, the clock."""

from collections.abc import Hashable, Iterator
from math import isfinite
from typing import Final

from textual.strip import Strip

from alongside.cycle.picture import ChannelRow
from alongside.readings import Quality
from alongside.reports.self_test import clock_words, fitted, record_words
from alongside.screens.board import Board, scroll_by, scrolled
from alongside.screens.rows import Piece, fill_to, fit, strip, wrap
from alongside.screens.stage_styles import stage_style
from alongside.screens.view import View
from alongside.stay.stage import Stage
from alongside.wording.marks import NOT_KNOWN, stage_text
from alongside.wording.names import channel as channel_name
from alongside.wording.names import quality as quality_word
from alongside.wording.safe import safe
from alongside.wording.times import DayClock, short_span

LOOKS: Final = {
    Stage.ALARM: "reversed and bold; three quick beats, twice, every 10 s",
    Stage.WARNING: "bold; two slow beats every 60 s",
    Stage.CAUTION: "plain; no sound",
    Stage.NORMAL: "small letters; no sound",
}
"""How each stage is to look and sound."""
GAUGE_CELLS: Final = 35
NOT_YET: Final = "not known yet: waiting for the first figures"


class SelfTestPage(Board):
    def basis(self, view: View) -> Hashable:
        return (id(view.watch), view.scroll)

    def move(self, view: View, step: int) -> View:
        return scroll_by(view, step, len(list(_rows(view, self.size.width))), self.size.height)

    def paint(self, view: View, width: int, height: int) -> list[Strip]:
        rows = [strip(pieces, width, view.palette.text) for pieces in _rows(view, width)]
        return scrolled(rows, view, width, height)


def _rows(view: View, width: int) -> Iterator[list[Piece]]:
    palette = view.palette
    for stage, words in reversed(LOOKS.items()):
        mark = fill_to(stage_text(stage), 12)
        yield [("  ", palette.text), (mark, stage_style(palette, stage)), (f"  {words}", palette.text)]
    yield [("  ", palette.text), (fill_to(f"{NOT_KNOWN} unknown", 12), palette.label)]
    yield from _titled(view, "Record", record_words(view.watch), width)
    yield from _titled(view, "Clock", clock_words(view.watch), width)
    yield from _titled(view, "Palette", f"{palette.name}, d for the next", width)
    yield from _titled(view, "Last", _last(view), width)
    gauges = [_gauge(row) for row in fitted(view.watch)]
    yield [("  Gauges", palette.label)]
    columns = max(1, (width - 4) // (GAUGE_CELLS + 2))
    for at in range(0, len(gauges), columns):
        pieces: list[Piece] = [("    ", palette.text)]
        for text, is_good in gauges[at : at + columns]:
            style = palette.text if is_good else stage_style(palette, Stage.CAUTION)
            pieces += [(fill_to(text, GAUGE_CELLS), style), ("  ", palette.text)]
        yield pieces
    if not gauges:
        is_known = isfinite(view.watch.time)
        yield [(f"    {'no gauges in the stay file' if is_known else NOT_YET}", palette.text)]


def _titled(view: View, title: str, words: str, width: int) -> Iterator[list[Piece]]:
    head, *rest = wrap(words, width - 14) or [""]
    yield [(f"  {title:<10}", view.palette.label), (head, view.palette.text)]
    yield from ([(" " * 12 + row, view.palette.text)] for row in rest)


def _last(view: View) -> str:
    test = view.watch.watchkeeping.self_test
    if test is None:
        return "none on record" if isfinite(view.watch.time) else NOT_YET
    by = f" by {safe(test.by)}" if test.by else ""
    return f"{DayClock(view.stay.display, view.watch.time)(test.at)}{by}: {safe(test.words)}"


def _gauge(row: ChannelRow) -> tuple[str, bool]:
    """Return `tide good, 0 s`, and whether it is good."""
    age = f", {short_span(row.age)}" if row.age == row.age else ""
    text = f"{channel_name(row.channel)}: {quality_word(row.quality.name)}{age}"
    return fit(text, GAUGE_CELLS), row.quality is Quality.GOOD
