"""What never leaves the screen: on page Now the figures that matter in large digits, elsewhere wind, tide,
draughts, trim, heel, water under the keel and the gauges on two rows."""

from math import isnan

from textual.strip import Strip

from alongside.cycle.picture import Picture
from alongside.mechanics.holding_search import CAP_MS
from alongside.screens.board import Board
from alongside.screens.parts import is_now
from alongside.screens.rows import both_ends, strip
from alongside.screens.stage_styles import marked, value_style
from alongside.screens.stamps import Field, flow_stamped
from alongside.screens.tiles import in_large, tile_rows
from alongside.screens.view import View, is_dense
from alongside.screens.vital_fields import afloat, gauges, wind
from alongside.screens.wind_page import wind_stage
from alongside.wording.figures import held_speed

BRIEF_BELOW = 110
"""Columns below which units and words that one can do without go."""
DOUBLE_FROM = (150, 44)
"""Columns and rows of the screen from which digits are drawn at double size."""


class Vitals(Board):
    def rows_wanted(self, view: View, width: int, height: int) -> int:
        if not is_now(view.part):
            return 1 if is_dense(view, height) else 2
        return (5 if width >= DOUBLE_FROM[0] and height >= DOUBLE_FROM[1] else 3) + 1

    def paint(self, view: View, width: int, height: int) -> list[Strip]:
        fill, gap = view.palette.text, ("   " if width >= BRIEF_BELOW else "  ", view.palette.text)
        brief = width < BRIEF_BELOW
        if height > 2:
            double = height > 4
            tiles = tile_rows(view, width, double=double)
            large_too = in_large(view, width, double=double)
            fields = [*afloat(view, large=large_too, brief=brief), *gauges(view, width)]
            row = flow_stamped(fields, width - 1, gap, view.palette.label)
            return [
                *(strip(each, width, fill) for each in tiles),
                both_ends([(" ", fill), *row], [], width, fill),
            ]
        if height == 1:
            one = flow_stamped([wind(view), *afloat(view, brief=True)], width - 1, gap, view.palette.label)
            return [both_ends([(" ", fill), *one], [], width, fill)]
        floats = flow_stamped(afloat(view, brief=brief), width - 1, gap, view.palette.label)
        fields = [wind(view), *_holds(view.figures, view), *gauges(view, width)]
        weather = flow_stamped(fields, width - 1, gap, view.palette.label)
        return [both_ends([(" ", fill), *row], [], width, fill) for row in (weather, floats)]


def _holds(picture: Picture, view: View) -> list[Field]:
    """Return the wind that the lines hold about where it blows: more than from the weakest direction."""
    if isnan(picture.holds_ms):
        return []
    stage, palette = wind_stage(picture), view.palette
    text = marked(held_speed(picture.holds_ms, view.stay.display, CAP_MS), stage)
    style = value_style(palette, stage) if stage else palette.strong
    return [(0, [("Lines hold ", palette.label), (text, style), (" from there", palette.label)], "")]
