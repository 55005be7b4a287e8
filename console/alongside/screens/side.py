"""How the main page shares its room: what stands beside the table, and what below it where lines are few."""

from textual.containers import Vertical

from alongside.screens.chart import Chart
from alongside.screens.fender_rows import FenderStrip
from alongside.screens.line_table import GlanceTable
from alongside.screens.plan import Plan
from alongside.screens.view import View
from alongside.screens.wind_page import LEAST, WindPage

CHART_LEAST = 7
"""Rows that a chart needs to say anything."""
PLAN_LEAST = 8


class Side(Vertical):
    """The plan, as high as it needs, the fenders, and below them the chart."""

    def on_resize(self) -> None:
        self.share()

    def share(self) -> None:
        plan, fenders, chart = self.query_one(Plan), self.query_one(FenderStrip), self.query_one(Chart)
        if plan.view is None or not self.size.width:
            return
        width, height = self.size
        fender_rows = fenders.rows_wanted(plan.view, width, height)
        fenders.display = fender_rows > 0 and height >= PLAN_LEAST + fender_rows
        fenders.styles.height = fender_rows
        spare = height - (fender_rows if fenders.display else 0)
        wanted = plan.rows_wanted(plan.view, width, height)
        both = spare - wanted >= CHART_LEAST
        plan.styles.height = wanted if both else "1fr"
        chart.display = both
        for board in (fenders, chart):
            board.show(plan.view)


class TableSide(Vertical):
    """The table and, where it leaves room, the wind that the lines hold."""

    def on_resize(self) -> None:
        if (view := self.query_one(GlanceTable).view) is not None:
            self.share(view)

    def share(self, view: View) -> None:
        """Give each the room that it needs for a View."""
        table, hold = self.query_one(GlanceTable), self.query_one(WindPage)
        if not self.size.width:
            return
        width, height = self.size
        wanted = table.rows_wanted(view, width, height)
        both = view.stay.balance and width >= LEAST[0] and height - wanted >= LEAST[1]
        rows = wanted if both else "1fr"
        if table.styles.height is None or (both, str(table.styles.height)) != (hold.display, str(rows)):
            table.styles.height = rows
        hold.display = both
        if both:
            hold.show(view)
