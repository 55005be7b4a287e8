"""Rounds: the board sheet of the rounds to come, as it is printed, about the figures of now."""

from collections.abc import Hashable

from textual.strip import Strip

from alongside.reports.board_sheet import board_sheet
from alongside.screens.ahead_words import enough, why_no_forecast
from alongside.screens.board import Board, scroll_by, scrolled
from alongside.screens.rows import strip, wrap
from alongside.screens.view import View
from alongside.wording.times import clock, short_span

TITLED = "ROUND "


class RoundsPage(Board):
    def basis(self, view: View) -> Hashable:
        picture = view.figures
        return (id(picture.forecast), why_no_forecast(picture), picture.time // 60.0, view.scroll)

    def move(self, view: View, step: int) -> View:
        return scroll_by(view, step, len(_texts(view, self.size.width)), self.size.height)

    def paint(self, view: View, width: int, height: int) -> list[Strip]:
        palette = view.palette
        rows = [
            strip(
                [(f" {text}", palette.strong if text.startswith(TITLED) else palette.text)],
                width,
                palette.text,
            )
            for text in _texts(view, width)
        ]
        return scrolled(rows, view, width, height)


def _texts(view: View, width: int) -> list[str]:
    """Return the rows of the sheet below its head, which names what stands on the screen already."""
    picture = view.figures
    if why := why_no_forecast(picture):
        words = f"No rounds: nothing known of the hours ahead: {why}. {enough(picture)}"
        return wrap(words, width - 4)
    assert picture.forecast is not None  # asked before
    begun = picture.forecast.time
    made = f"Made {clock(begun, view.stay.display)}, {short_span(picture.time - begun)} ago: now is that time"
    planned = picture.forecast.tending.rounds
    title = [made] if planned else ["No round is planned in the hours ahead"]
    return [*title, *_below_the_head(board_sheet(view.stay, picture.forecast))]


def _below_the_head(rows: list[str]) -> list[str]:
    """Return the rows from the first empty one after the head on, without the empty ones at the start."""
    body = rows[rows.index("", 2) :] if "" in rows[2:] else rows
    while body and not body[0]:
        body = body[1:]
    return body
