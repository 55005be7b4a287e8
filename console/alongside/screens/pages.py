"""Which boards are in sight, and how high: by page, by open form, by size of the terminal."""

from collections.abc import Iterable
from typing import Any

from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.screen import Screen
from textual.widget import Widget

from alongside.alerts.model import Alert
from alongside.screens.accept_form import AcceptForm
from alongside.screens.acknowledge_form import AcknowledgeForm
from alongside.screens.advice_band import AdviceBand
from alongside.screens.ahead_page import AheadPage
from alongside.screens.alert_page import AlertPage
from alongside.screens.alert_strip import AlertStrip
from alongside.screens.board import Board
from alongside.screens.chart import Chart, ChartPage
from alongside.screens.command_form import CommandForm
from alongside.screens.decide_page import DecidePage
from alongside.screens.fender_rows import FenderStrip
from alongside.screens.form import Form
from alongside.screens.form_rows import FORM_ROWS
from alongside.screens.gauges_page import GaugesPage
from alongside.screens.handover_page import HandoverPage
from alongside.screens.help_page import HelpPage
from alongside.screens.inject_form import InjectForm
from alongside.screens.judge_form import JudgeForm
from alongside.screens.key_bar import KeyBar
from alongside.screens.line_page import LinePage
from alongside.screens.line_table import GlanceTable, LineTable
from alongside.screens.log_page import LogPage
from alongside.screens.manual_page import ManualPage
from alongside.screens.next_row import NextRow
from alongside.screens.note_form import NoteForm
from alongside.screens.on_deck_form import OnDeckForm
from alongside.screens.order_form import OrderForm
from alongside.screens.orders_page import OrdersPage
from alongside.screens.page_bar import PageBar
from alongside.screens.part_bar import PartBar
from alongside.screens.parts import HOME, PARTS, STATION, is_now
from alongside.screens.plan import Plan
from alongside.screens.quit_form import QuitForm
from alongside.screens.reading_form import ReadingForm
from alongside.screens.remarks_page import RemarksPage
from alongside.screens.round_form import RoundForm
from alongside.screens.rounds_page import RoundsPage
from alongside.screens.seek_form import SeekForm
from alongside.screens.self_test_form import SelfTestForm
from alongside.screens.self_test_page import SelfTestPage
from alongside.screens.side import Side, TableSide
from alongside.screens.station_page import StationPage
from alongside.screens.take_over_form import TakeOverForm
from alongside.screens.tend_form import TendForm
from alongside.screens.view import SMALL_BELOW, View, is_dense
from alongside.screens.vitals import Vitals
from alongside.screens.what_if_form import WhatIfForm
from alongside.screens.what_if_page import WhatIfPage
from alongside.screens.wind_form import WindForm
from alongside.screens.wind_page import WindPage

SIDE_FROM = (110, 28)
"""Columns and rows from which plan and chart stand beside the table."""

FORMS = (
    "tend_form",
    "round_form",
    "note_form",
    "take_over_form",
    "order_form",
    "self_test_form",
    "acknowledge_form",
    "accept_form",
    "judge_form",
    "on_deck_form",
    "reading_form",
    "wind_form",
    "seek_form",
    "inject_form",
    "what_if_form",
    "command_form",
    "quit_form",
)


def all_boards() -> ComposeResult:
    """Return every board and form, mounted once."""
    yield PageBar("pages")
    yield AdviceBand("advice")
    yield NextRow("next")
    yield Vitals("vitals")
    yield PartBar("parts")
    with Horizontal(id="lines_page"):
        with TableSide(id="table_side"):
            yield GlanceTable("glance")
            yield WindPage("side_wind")
        with Side(id="side"):
            yield Plan("side_plan", foot=False)
            yield FenderStrip("side_fenders")
            yield Chart("side_chart")
    for page in (
        LineTable("table_page"),
        AlertPage("alerts_page"),
        ChartPage("chart_page"),
        Plan("plan_page"),
        WindPage("wind_page"),
        AheadPage("ahead_page"),
        DecidePage("decide_page"),
        RoundsPage("rounds_page"),
        WhatIfPage("what_if_page"),
        LinePage("line_page"),
        LogPage("log_page"),
        GaugesPage("gauges_page"),
        RemarksPage("remarks_page"),
        HandoverPage("handover_page"),
        OrdersPage("orders_page"),
        ManualPage("manual_page"),
        HelpPage("help_page"),
        SelfTestPage("self_test_page"),
        StationPage("station_page"),
    ):
        page.add_class("page")
        yield page
    yield AlertStrip("alert_strip")
    yield TendForm("tend_form")
    yield RoundForm("round_form")
    yield NoteForm("note_form")
    yield TakeOverForm("take_over_form")
    yield OrderForm("order_form")
    yield SelfTestForm("self_test_form")
    yield AcknowledgeForm("acknowledge_form")
    yield AcceptForm("accept_form")
    yield JudgeForm("judge_form")
    yield OnDeckForm("on_deck_form")
    yield ReadingForm("reading_form")
    yield WindForm("wind_form")
    yield SeekForm("seek_form")
    yield InjectForm("inject_form")
    yield WhatIfForm("what_if_form")
    yield CommandForm("command_form")
    yield QuitForm("quit_form")
    yield KeyBar("keys")


def arrange(screen: Screen[Any], view: View, form: str) -> None:
    """Show the boards of the View's part and the open form (its id, "" for none)."""
    width, height = screen.size
    now = is_now(view.part)
    find = screen.get_widget_by_id
    for part in (*PARTS, STATION):
        _display(find(f"{part}_page"), part == view.part)
    _display(find("next"), now)
    _display(find("keys"), not is_dense(view, height))
    _display(find("side"), width >= SIDE_FROM[0] and height >= SIDE_FROM[1])
    strip = view.part != "alerts" and (now or height >= SMALL_BELOW)
    _display(find("alert_strip"), strip and not form)
    strip_rows = find("alert_strip", Board).rows_wanted(view, width, height)
    for name in FORMS:
        _display(find(name), name == form)
        if name == form:  # as high as the alerts it takes the place of: nothing above it moves
            least = max(strip_rows if strip else FORM_ROWS, FORM_ROWS)
            open_form = find(name)
            if isinstance(open_form, Form):
                open_form.fit(least)
            else:
                open_form.styles.height = least
    if view.part == HOME:
        find("table_side", TableSide).share(view)
    for name in ("advice", "vitals", "alert_strip", "keys"):
        board = find(name, Board)
        rows = board.rows_wanted(view, width, height)
        if board.styles.height is None or board.styles.height.value != rows:
            board.styles.height = rows


def alerts_in_sight(boards: Iterable[Board], view: View) -> list[Alert]:
    """Return the alerts that can be read on the screen, each as a row of its own."""
    return [alert for board in boards for alert in board.in_sight(view)]


def _display(widget: Widget, on: bool) -> None:
    if widget.display != on:
        widget.display = on


def board_of(screen: Screen[Any], view: View) -> Board:
    """Return the board that moving keys act on."""
    return screen.get_widget_by_id("glance" if view.part == HOME else f"{view.part}_page", Board)
