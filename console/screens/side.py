"""What stands beside the table on a wide screen: the plan, as high as it needs, and below it the chart."""

from textual.containers import Vertical

from console.screens.chart import Chart
from console.screens.plan import Plan

CHART_LEAST = 7
"""Rows that a chart needs to say anything."""


class Side(Vertical):
    """Shares its height anew whenever it changes."""

    def on_resize(self) -> None:
        self.share()

    def share(self) -> None:
        plan, chart = self.query_one(Plan), self.query_one(Chart)
        if plan.view is None or not self.size.width:
            return
        wanted = plan.rows_wanted(plan.view, self.size.width, self.size.height)
        both = self.size.height - wanted >= CHART_LEAST
        plan.styles.height = wanted if both else "1fr"
        chart.display = both
        if both:
            chart.show(plan.view)
