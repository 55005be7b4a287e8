"""Help: keys, marks, states of alerts, and the cautions."""

from collections.abc import Hashable

from textual.strip import Strip

from alongside.alerts.model import Standing
from alongside.screens.alert_rows import NO_SIGNAL
from alongside.screens.board import Board, scroll_by, scrolled
from alongside.screens.keys import KEYS, Key
from alongside.screens.palettes import Palette
from alongside.screens.rows import Piece, fill_to, strip, wrap
from alongside.screens.stage_styles import WIDEST, stage_style
from alongside.screens.view import View
from alongside.stay.stage import Stage
from alongside.wording import names
from alongside.wording.cautions import COMPUTED, SNAP_BACK
from alongside.wording.marks import stage_text

TWO_COLUMNS_FROM = 110
_STAGES = {
    Stage.ALARM: "act at once; sounds every 10 s until ack",
    Stage.WARNING: "act soon; sounds every 60 s until ack",
    Stage.CAUTION: "watch it; no sound, clears by itself",
    Stage.NORMAL: "within all limits",
}
_PAIRS = (
    ("lines_up", "lines_down", "↑ ↓", "Up or down one row; PgUp, PgDn ten rows"),
    ("first", "last", "Home", "To the first row; End: to the last"),
    ("chart_former", "chart_next", "← →", "Chart: what it shows"),
    ("chart_shorter", "chart_longer", "- +", "Chart: fewer or more hours"),
    ("replay_slower", "replay_faster", ", .", "Replay: slower, faster"),
    ("replay_next_alert", "replay_former_alert", "[ ]", "Replay: to the previous or the next alert"),
    ("replay_next_tend", "replay_former_tend", "{ }", "Replay: to the previous or the next tending"),
)
"""Keys that share a row: the first, the other, what is shown, what both do."""
_SECONDS = frozenset(pair[1] for pair in _PAIRS) | {"page_up", "page_down"}


class HelpPage(Board):
    def basis(self, view: View) -> Hashable:
        return (view.scroll, view.watch.replay)

    def move(self, view: View, step: int) -> View:
        return scroll_by(view, step, len(help_rows(view, self.size.width)), self.size.height)

    def paint(self, view: View, width: int, height: int) -> list[Strip]:
        return scrolled(help_rows(view, width), view, width, height)


def help_rows(view: View, width: int) -> list[Strip]:
    """Return the whole help for a page of this width."""
    palette = view.palette
    wide = width >= TWO_COLUMNS_FROM
    keys = [_key(palette, key) for key in KEYS if _has_row(key, view)]
    notes = [*_cautions(palette, (width // 2 if wide else width) - 4), [], *_legend(palette)]
    if wide:
        return _side_by_side(keys, notes, width, palette)
    rows = [*_cautions(palette, width - 4), [], *_legend(palette), [], *keys]
    return [strip(row, width, palette.text) for row in rows]


def _has_row(key: Key, view: View) -> bool:
    return key.id not in _SECONDS and (view.watch.replay or not key.replay)


def _key(palette: Palette, key: Key) -> list[Piece]:
    shown, words = next((pair[2:] for pair in _PAIRS if pair[0] == key.id), (key.shown, key.long))
    return [(f"  {fill_to(shown, 7)}", palette.strong), (words, palette.text)]


def _legend(palette: Palette) -> list[list[Piece]]:
    marks: list[list[Piece]] = [
        [
            ("  ", palette.text),
            (stage_text(stage), stage_style(palette, stage)),
            (" " * (WIDEST + 2 - len(stage_text(stage))) + words, palette.text),
        ]
        for stage, words in _STAGES.items()
    ]
    words = {names.standing(each.name, short=True): names.standing(each.name) for each in Standing}
    words[NO_SIGNAL] = "of its gauge: not judged now"
    states: list[list[Piece]] = [
        [(f"  {fill_to(short, WIDEST + 2)}", palette.strong), (whole, palette.text)]
        for short, whole in words.items()
    ]
    return [*marks, [], *states]


def _cautions(palette: Palette, width: int) -> list[list[Piece]]:
    style = palette.style(palette.caution)
    return [[("  " + line, style)] for text in (SNAP_BACK, COMPUTED) for line in wrap(text, width)]


def _side_by_side(
    left: list[list[Piece]], right: list[list[Piece]], width: int, palette: Palette
) -> list[Strip]:
    half = width // 2
    strips = []
    for index in range(max(len(left), len(right))):
        first = strip(left[index] if index < len(left) else [], half, palette.text)
        second = strip(right[index] if index < len(right) else [], width - half, palette.text)
        strips.append(Strip.join([first, second]))
    return strips
