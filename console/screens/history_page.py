"""The history of events of the last 24 hours, newest first."""

from collections.abc import Hashable
from dataclasses import replace

from textual.strip import Strip

from console.alerts.model import Event
from console.assessment import Stage
from console.screens.board import Board
from console.screens.marks import MARKS, stage_style
from console.screens.rows import Piece, fill_to, fit, strip
from console.screens.view import View
from console.screens.wording import clock, outside

_WORD = len("acknowledged")


class HistoryPage(Board):
    def basis(self, view: View) -> Hashable:
        log = view.watch.log
        return (id(log), len(log), view.scroll)

    def move(self, view: View, step: int) -> View:
        most = max(0, len(view.watch.log) - self.size.height + 1)
        return replace(view, scroll=min(max(view.scroll + step, 0), most))

    def paint(self, view: View, width: int, height: int) -> list[Strip]:
        palette = view.palette
        events = list(reversed(view.watch.log))
        if not events:
            return [strip([("  Nothing has happened yet", palette.text)], width, palette.text)]
        room = height - 1 if len(events) > height else height
        first = min(view.scroll, max(0, len(events) - room))
        strips = [_row(view, event, width) for event in events[first : first + room]]
        if len(events) > room:
            more = f"  {first + 1} to {first + len(strips)} of {len(events)} events, newest first"
            strips.append(strip([(more, palette.label)], width, palette.text))
        return strips


def _row(view: View, event: Event, width: int) -> Strip:
    palette, display = view.palette, view.stay.display
    stage = event.stage or Stage.NORMAL
    mark = MARKS[stage] if event.stage is not None else " "
    when = clock(event.time, display, "%a %H:%M:%S")
    word = event.event.replace("_", " ")
    pieces: list[Piece] = [
        (f"  {when}  ", palette.label),
        (mark, stage_style(palette, stage)),
        (f" {fill_to(word, _WORD)}  ", palette.text),
    ]
    room = width - sum(len(text) for text, _style in pieces) - 1
    return strip([*pieces, (fit(outside(event.text), room), palette.strong)], width, palette.text)
