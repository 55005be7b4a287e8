"""Help: keys, marks, states of alerts, and the cautions."""

from collections.abc import Hashable
from dataclasses import replace

from textual.strip import Strip

from alongside.alerts.model import Standing
from alongside.screens.alert_rows import BLIND, NEEDS_NONE, STATE_WORDS
from alongside.screens.board import Board
from alongside.screens.cautions import COMPUTED, SNAP_BACK
from alongside.screens.keys import KEYS, Key
from alongside.screens.marks import WIDEST, stage_style, stage_text
from alongside.screens.palettes import Palette
from alongside.screens.rows import Piece, fill_to, strip, wrap
from alongside.screens.view import View
from alongside.stay.stage import Stage

TWO_COLUMNS_FROM = 110
_STAGES = {
    Stage.ALARM: "act at once; sounds every 10 s until answered",
    Stage.WARNING: "act soon; sounds every 60 s until answered",
    Stage.CAUTION: "keep an eye on it; clears itself",
    Stage.NORMAL: "within all limits",
}
_STATES = {
    STATE_WORDS[Standing.UNACKNOWLEDGED]: "stands, not acknowledged yet; flashes",
    STATE_WORDS[Standing.SILENCED]: "stands, silenced, not acknowledged yet",
    STATE_WORDS[Standing.ACKNOWLEDGED]: "stands, acknowledged",
    STATE_WORDS[Standing.RECTIFIED]: "no longer stands, not acknowledged yet",
    NEEDS_NONE: "a caution; needs no acknowledgement",
    BLIND: "its gauge is lost, it cannot be judged now",
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
"""Keys that are told of in one row: the first, the other, what is shown, what both do."""
_SECONDS = frozenset(pair[1] for pair in _PAIRS) | {"page_up", "page_down"}


class HelpPage(Board):
    def basis(self, view: View) -> Hashable:
        return (view.scroll, view.watch.replay)

    def move(self, view: View, step: int) -> View:
        most = max(0, len(help_rows(view, self.size.width)) - self.size.height + 1)
        return replace(view, scroll=min(max(view.scroll + step, 0), most))

    def paint(self, view: View, width: int, height: int) -> list[Strip]:
        rows = help_rows(view, width)
        if len(rows) <= height:
            return rows
        room = height - 1
        first = min(view.scroll, len(rows) - room)
        more = f"  rows {first + 1} to {first + room} of {len(rows)}, ↑ and ↓ for more"
        return [*rows[first : first + room], strip([(more, view.palette.label)], width, view.palette.text)]


def help_rows(view: View, width: int) -> list[Strip]:
    """The whole help for a page of this width."""
    palette = view.palette
    wide = width >= TWO_COLUMNS_FROM
    keys = [_key(palette, key) for key in KEYS if _is_told(key, view)]
    notes = [*_cautions(palette, (width // 2 if wide else width) - 4), [], *_legend(palette)]
    if wide:
        return _side_by_side(keys, notes, width, palette)
    rows = [*_cautions(palette, width - 4), [], *_legend(palette), [], *keys]
    return [strip(row, width, palette.text) for row in rows]


def _is_told(key: Key, view: View) -> bool:
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
    states: list[list[Piece]] = [
        [(f"  {fill_to(word, WIDEST + 2)}", palette.strong), (words, palette.text)]
        for word, words in _STATES.items()
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
