"""How the main page shares its room: what stands beside the table, and what below it where lines are few."""

from textual.containers import Vertical

from alongside.screens.chart import Chart
from alongside.screens.hold_page import LEAST, HoldPage
from alongside.screens.lean_rows import LeanStrip
from alongside.screens.line_table import LineTable
from alongside.screens.plan import Plan

CHART_LEAST = 7
"""Rows that a chart needs to say anything."""
PLAN_LEAST = 8


class Side(Vertical):
    """The plan, as high as it needs, the fenders, and below them the chart; shared anew whenever its height
    changes."""

    def on_resize(self) -> None:
        self.share()

    def share(self) -> None:
        plan, lean, chart = self.query_one(Plan), self.query_one(LeanStrip), self.query_one(Chart)
        if plan.view is None or not self.size.width:
            return
        width, height = self.size
        lean_rows = lean.rows_wanted(plan.view, width, height)
        lean.display = lean_rows > 0 and height >= PLAN_LEAST + lean_rows
        lean.styles.height = lean_rows
        spare = height - (lean_rows if lean.display else 0)
        wanted = plan.rows_wanted(plan.view, width, height)
        both = spare - wanted >= CHART_LEAST
        plan.styles.height = wanted if both else "1fr"
        chart.display = both
        for board in (lean, chart):
            board.show(plan.view)


class TableSide(Vertical):
    """The table and, where it leaves room, what she holds."""

    def on_resize(self) -> None:
        self.share()

    def share(self) -> None:
        table, hold = self.query_one(LineTable), self.query_one(HoldPage)
        if table.view is None or not self.size.width:
            return
        width, height = self.size
        wanted = table.rows_wanted(table.view, width, height)
        both = table.view.stay.balance and width >= LEAST[0] and height - wanted >= LEAST[1]
        table.styles.height = wanted if both else "1fr"
        hold.display = both
        if both:
            hold.show(table.view)
