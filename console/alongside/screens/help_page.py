"""Help: what is in sight and its keys, all keys, marks, states of alerts, and the cautions."""

from collections.abc import Hashable
from typing import Final

from textual.strip import Strip

from alongside.alerts.model import Standing
from alongside.alerts.state_text import NO_SIGNAL
from alongside.screens.board import Board, scroll_by, scrolled
from alongside.screens.keys import KEYS, Key, keys_of
from alongside.screens.palettes import Palette
from alongside.screens.parts import PARTS, Part
from alongside.screens.plain_letters import MEANINGS
from alongside.screens.rows import Piece, fill_to, strip, wrap
from alongside.screens.stage_styles import WIDEST, stage_style
from alongside.screens.view import View
from alongside.stay.stage import Stage
from alongside.wording import names
from alongside.wording.cautions import COMPUTED, SNAP_BACK
from alongside.wording.marks import stage_text

TWO_COLUMNS_FROM = 110
KEY_CELLS: Final = 7
_STAGES = {
    Stage.ALARM: "act at once; sounds every 10 s until ack",
    Stage.WARNING: "act soon; sounds every 60 s until ack",
    Stage.CAUTION: "watch it; no sound, clears by itself",
    Stage.NORMAL: "within all limits",
}
_SHOWN: Final = {
    "next_part": ("Tab", "The next part of the page; Shift-Tab: the one before"),
    "lines_up": ("↑ ↓", "Up or down one row; PgUp, PgDn ten rows"),
    "first": ("Home", "To the first row; End: to the last"),
    "chart_former": ("← →", "Chart: what it shows"),
    "chart_shorter": ("- +", "Chart: fewer or more hours"),
    "replay_slower": (", .", "Replay: slower, faster"),
    "replay_next_alert": ("[ ]", "Replay: to the previous or the next alert"),
    "replay_next_tend": ("{ }", "Replay: to the previous or the next tending"),
}
"""Keys whose row is for another one too: what is shown, what both do."""
_SECONDS: Final = frozenset(
    (
        "former_part",
        "lines_down",
        "page_up",
        "page_down",
        "last",
        "chart_next",
        "chart_longer",
        "replay_faster",
        "replay_former_alert",
        "replay_former_tend",
    )
)
"""Keys without a row of their own."""
ABOUT: Final[dict[Part, str]] = {
    "lines": "The worst lines, each by the limit it is nearest to: caution from 70, warning from 85, alarm "
    "from 100 % of the bar. Lines that ask for nothing share the last row.",
    "table": "Every line with all its figures; ↑ and ↓ choose one.",
    "plan": "Ship, quay and lines from above, to scale.",
    "line": "The chosen line: section, figures with their limits, what it did before.",
    "chart": "A line or a gauge over the last hours.",
    "wind": "From where how much wind the lines hold, and from what wind on she leaves her fenders.",
    "ahead": "Tide, draughts, wind and every line in the hours to come, as expected.",
    "decide": "For the wind to come: what is to be ordered by when, and why.",
    "rounds": "The rounds to come, as the sheet for the deck has them.",
    "what_if": "What another tide, wind or length would do: ask with i.",
    "alerts": "Every alert, worst first; a acknowledges the chosen one.",
    "log": "What happened in the last 24 h.",
    "handover": "What the relief has to know; k takes over.",
    "orders": "The master's standing orders, text only; O enters or withdraws one.",
    "gauges": "What each gauge says, and what doubts it.",
    "remarks": "What is odd in the stay file, and what is not watched.",
    "manual": "The manual, at its page on what is in sight.",
    "self_test": "Bell, colours and marks, gauges, record and clock, tried once a watch.",
    "help": "Keys, marks and states.",
}
"""What each part shows, in a sentence or two."""


class HelpPage(Board):
    def basis(self, view: View) -> Hashable:
        return (view.scroll, view.behind, view.watch.replay, view.watch.instructing is None)

    def move(self, view: View, step: int) -> View:
        return scroll_by(view, step, len(help_rows(view, self.size.width)), self.size.height)

    def paint(self, view: View, width: int, height: int) -> list[Strip]:
        return scrolled(help_rows(view, width), view, width, height)


def help_rows(view: View, width: int) -> list[Strip]:
    """Return the whole help for a page of this width: what is in sight, all keys, marks, cautions."""
    palette = view.palette
    wide = width >= TWO_COLUMNS_FROM
    across = (width // 2 if wide else width) - 4
    here, keys = _here(view, across), _keys(view, across)
    notes = [*_legend(palette), [], *_plain_signs(view), *_cautions(palette, across)]
    if wide:
        return _side_by_side([*here, [], *keys], notes, width, palette)
    rows = [*here, [], *keys, [], *notes]
    return [strip(row, width, palette.text) for row in rows]


def _here(view: View, width: int) -> list[list[Piece]]:
    """Return what the part behind the help shows, and the keys that only it has."""
    palette, part = view.palette, view.behind
    rows: list[list[Piece]] = [[(f"  {PARTS[part]}", palette.strong)]]
    rows += [[("  " + line, palette.text)] for line in wrap(ABOUT[part], width)]
    return [*rows, *(row for key in KEYS if part in key.parts for row in _key(palette, key, width))]


def _keys(view: View, width: int) -> list[list[Piece]]:
    """Return the keys that are the same everywhere, then those of other parts."""
    shown = [key for key in keys_of(view.watch) if key.id not in _SECONDS]
    everywhere = [key for key in shown if not key.parts]
    elsewhere = [key for key in shown if key.parts and view.behind not in key.parts]
    return [row for key in (*everywhere, *elsewhere) for row in _key(view.palette, key, width)]


def _key(palette: Palette, key: Key, width: int) -> list[list[Piece]]:
    shown, words = _SHOWN.get(key.id, (key.shown, key.long))
    starts = [fill_to(shown, KEY_CELLS), *[" " * KEY_CELLS] * 9]
    return [
        [(f"  {start}", palette.strong), (line, palette.text)]
        for start, line in zip(starts, wrap(words, width - KEY_CELLS), strict=False)
    ]


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


def _plain_signs(view: View) -> list[list[Piece]]:
    """Return what plain letters stand for, where the screen has no others."""
    if not view.ascii:
        return []
    text, strong = view.palette.text, view.palette.strong
    signs: list[list[Piece]] = [
        [(f"  {fill_to(sign, WIDEST + 2)}", strong), (meaning, text)] for sign, meaning in MEANINGS.items()
    ]
    return [*signs, []]


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
