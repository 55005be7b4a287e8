"""Plan of the lines, each by the worst stage that it came to in the stay."""

from collections.abc import Sequence
from dataclasses import replace

from alongside.cycle.picture_of import blank_picture
from alongside.reports.look_page.plan import plan_svg
from alongside.reports.stay.line_figures import LineFigures
from alongside.stay.model import Stay

NAMED: str = ' xmlns="http://www.w3.org/2000/svg"'
"""Not needed within a page, and the page shall hold no address of anywhere."""


def plan_of_stay(stay: Stay, lines: Sequence[LineFigures]) -> str:
    """Return the drawing: the ship in her place, without wind and current."""
    worst = {one.line.id: one.worst for one in lines}
    blank = blank_picture(stay)
    rows = tuple(replace(row, stage=worst.get(row.id)) for row in blank.lines)
    return plan_svg(replace(blank, lines=rows)).replace(NAMED, "", 1)
