"""Every part at every size in several scenes: none too wide, no word cut, no two run together."""

import ast
import re
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from rich.cells import cell_len

import alongside
from alongside.screens.advice_band import AdviceBand
from alongside.screens.ahead_page import AheadPage
from alongside.screens.alert_page import AlertPage
from alongside.screens.alert_strip import AlertStrip
from alongside.screens.board import Board
from alongside.screens.chart import ChartPage
from alongside.screens.chart_series import QUANTITIES
from alongside.screens.decide_page import DecidePage
from alongside.screens.fender_rows import FenderStrip
from alongside.screens.gauges_page import GaugesPage
from alongside.screens.handover_page import HandoverPage
from alongside.screens.help_page import HelpPage
from alongside.screens.key_bar import KeyBar
from alongside.screens.line_page import LinePage
from alongside.screens.line_table import GlanceTable, LineTable
from alongside.screens.log_page import LogPage
from alongside.screens.manual_page import ManualPage
from alongside.screens.next_row import NextRow
from alongside.screens.orders_page import OrdersPage
from alongside.screens.page_bar import PageBar
from alongside.screens.part_bar import PartBar
from alongside.screens.parts import OVER_ANY, PARTS, Part
from alongside.screens.plan import Plan
from alongside.screens.question import answered, question
from alongside.screens.remarks_page import RemarksPage
from alongside.screens.rounds_page import RoundsPage
from alongside.screens.self_test_page import SelfTestPage
from alongside.screens.view import View
from alongside.screens.vitals import Vitals
from alongside.screens.what_if_page import WhatIfPage
from alongside.screens.wind_page import WindPage
from tests.prudent.situation import watched
from tests.screens.test_line_part import SCENES, text_of, view_of
from tests.test_prudent_officer import SITUATIONS

pytestmark = pytest.mark.slow

SIZES = (
    (80, 24),
    (82, 24),
    (85, 25),
    (87, 26),
    (100, 30),
    (120, 30),
    (120, 34),
    (132, 43),
    (160, 50),
    (250, 70),
)
BERTHS = {
    "coal": "coal, breast over its worn brake in a gale",
    "grain": "grain, tight breast on the flood, gale on the quay",
    "jetty": "jetty, tide gauge dead and a storm off",
    "four": "four lines, head and stern lines slack",
}
"""Stays in trouble, from the files."""
FAST = ("warning", "flood", "grain")
WIDEST = (420, 160)
FRAME_ROWS = 6
"""Rows of the frame about a part on a small screen."""
BOARDS: dict[Part, type[Board]] = {
    "lines": GlanceTable,
    "table": LineTable,
    "plan": Plan,
    "line": LinePage,
    "chart": ChartPage,
    "wind": WindPage,
    "ahead": AheadPage,
    "rounds": RoundsPage,
    "what_if": WhatIfPage,
    "decide": DecidePage,
    "alerts": AlertPage,
    "log": LogPage,
    "handover": HandoverPage,
    "orders": OrdersPage,
    "gauges": GaugesPage,
    "remarks": RemarksPage,
    "manual": ManualPage,
    "help": HelpPage,
    "self_test": SelfTestPage,
}
DAYS: tuple[Part, ...] = ("ahead", "rounds", "what_if", "decide")
"""Parts whose times bear the day where it is another one."""
FRAME: tuple[type[Board], ...] = (
    PageBar,
    AdviceBand,
    NextRow,
    Vitals,
    PartBar,
    FenderStrip,
    AlertStrip,
    KeyBar,
)
_DRAWN = re.compile(r"[\u2500-\u25ff\u2800-\u28ff]+")
"""Dots, blocks, rules and marks: what is drawn, no word."""
_RUN_TOGETHER = re.compile(r"[a-z]{3}0|…\S")
"""A figure, or the next column, right behind a word or what was cut."""
_NUMBER = re.compile(r"\d+(?:[.:]\d+)*")


def words_of(text: str) -> set[str]:
    """Return words with all that touches them, figures put alike: `0 kn`, `31kn` and `calm31` differ."""
    return {_NUMBER.sub("0", word).strip("…,.;:()?'\"·|~") for word in _DRAWN.sub(" ", text).split()}


@cache
def words_written() -> frozenset[str]:
    """Return the words of all texts that the program has, by its sources and its manual."""
    package = Path(alongside.__file__).parent
    texts: list[str] = [path.read_text(encoding="utf-8") for path in package.glob("manual/*.md")]
    for path in package.rglob("*.py"):
        nodes = ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        texts += [str(node.value) for node in nodes if isinstance(node, ast.Constant)]
    return frozenset().union(*map(words_of, texts))


@cache
def asked_of(name: str) -> View:
    """Return what is shown of a scene, a question of what if answered where it can be."""
    if name in SCENES:
        return view_of(SCENES[name]())
    view = view_of(watched(replace(SITUATIONS[BERTHS[name]], ahead=True)))
    worst = max(view.figures.lines, key=lambda row: row.stretch_share)
    what = question(f"slack {worst.id} 0.4", view.stay)
    return replace(view, asked=what, answer=answered(what, view.figures))


def painted(view: View, part: Part, width: int, height: int) -> Iterator[tuple[str, str]]:
    """Yield each board about and in a part, with its text."""
    view = replace(view, part=part, behind="line" if part in OVER_ANY else part)
    yield part, text_of(BOARDS[part](part).paint(view, width, height - FRAME_ROWS))
    for board in FRAME:
        made = board("board")
        rows = made.rows_wanted(view, width, height) or 4
        yield board.__name__, text_of(made.paint(view, width, rows))


@pytest.mark.parametrize("part", PARTS)
@pytest.mark.parametrize(
    "scene",
    [each if each in FAST else pytest.param(each, marks=pytest.mark.slow) for each in (*SCENES, *BERTHS)],
)
def test_nothing_is_wider_than_the_screen_and_no_word_is_cut(scene: str, part: Part) -> None:
    views = [asked_of(scene)]
    if part == "chart":
        views += [replace(views[0], series=each, chart_lines="all", hours=24) for each in QUANTITIES[1:]]
    elif part in DAYS:
        figures = views[0].figures
        views.append(replace(views[0], figures=replace(figures, time=figures.time - 86400.0)))
    for view in views:
        whole = words_written().union(*(words_of(text) for _, text in painted(view, part, *WIDEST)))
        for size in SIZES:
            for board, text in painted(view, part, *size):
                assert max(map(cell_len, text.splitlines()), default=0) <= size[0], (board, size)
                words = words_of(text)
                together = sorted(filter(_RUN_TOGETHER.search, words))
                assert not together, (board, size, together, text)
                cut = words - whole
                assert not cut, (board, size, sorted(cut), text)
