"""The history of events of the last 24 hours, newest first."""

from collections.abc import Hashable
from dataclasses import replace

from textual.strip import Strip

from alongside.alerts.model import Event
from alongside.screens.board import Board
from alongside.screens.rows import Piece, fill_to, strip, wrap
from alongside.screens.stage_styles import stage_style
from alongside.screens.view import View
from alongside.stay.model import Display
from alongside.stay.stage import Stage
from alongside.wording.marks import MARKS
from alongside.wording.safe import safe
from alongside.wording.times import CHANGE_S, changes, clock, placed

_WORD = len("acknowledged")
_TIME = "%a %H:%M:%S"


class LogPage(Board):
    def basis(self, view: View) -> Hashable:
        log = view.watch.log
        return (id(log), len(log), view.scroll)

    def move(self, view: View, step: int) -> View:
        most = _last_first(view, self.size.width, self.size.height)
        return replace(view, scroll=min(max(view.scroll + step, 0), most))

    def paint(self, view: View, width: int, height: int) -> list[Strip]:
        palette = view.palette
        events = list(reversed(view.watch.log))
        if not events:
            return [strip([("  Nothing has happened yet", palette.text)], width, palette.text)]
        most = _last_first(view, width, height)
        first = min(view.scroll, most)
        room = height - 1 if most else height
        strips: list[Strip] = []
        last = first
        for event in events[first:]:
            rows = _rows(view, event, width)
            if strips and len(strips) + len(rows) > room:
                break
            strips, last = [*strips, *rows], last + 1
        if most:
            more = f"  {first + 1} to {last} of {len(events)} events, newest first"
            strips = [*strips[:room], strip([(more, palette.label)], width, palette.text)]
        return strips


def _time_form(view: View) -> str:
    """Return how times are written: with their offsets where the clocks change near what is shown."""
    first, last = view.watch.log[0].time, view.watch.log[-1].time
    zoned = changes(first - CHANGE_S, last + CHANGE_S, view.stay.display)
    return f"{_TIME} %z" if zoned else _TIME


def _text_at(view: View) -> int:
    """Return the column in which the words begin."""
    time = clock(view.watch.log[-1].time, view.stay.display, _time_form(view))
    return len("  ") + len(time) + len("  x ") + _WORD + len("  ")


def _last_first(view: View, width: int, height: int) -> int:
    """Return the event that stands first when the oldest is in sight; 0 where all are at once."""
    rows = fitting = 0
    room = _room(view, width)
    for event in view.watch.log:  # oldest first
        rows += len(_texts(event, room, view.stay.display))
        fitting += rows < height
        if rows > height:
            return len(view.watch.log) - max(fitting, 1)
    return 0


def _room(view: View, width: int) -> int:
    """Return the cells that words have."""
    return max(width - _text_at(view) - 1, 10)


def _texts(event: Event, room: int, display: Display) -> list[str]:
    """Return what happened, in as many rows as it takes."""
    return wrap(safe(placed(event.text, display, event.time)), room) or [""]


def _rows(view: View, event: Event, width: int) -> list[Strip]:
    palette, display = view.palette, view.stay.display
    stage = event.stage or Stage.NORMAL
    mark = MARKS[stage] if event.stage is not None else " "
    head: list[Piece] = [
        (f"  {clock(event.time, display, _time_form(view))}  ", palette.label),
        (mark, stage_style(palette, stage)),
        (f" {fill_to(event.event.removeprefix('brake_').replace('_', ' '), _WORD)}  ", palette.text),
    ]
    below: list[Piece] = [(" " * _text_at(view), palette.text)]
    return [
        strip([*(below if at else head), (text, palette.strong)], width, palette.text)
        for at, text in enumerate(_texts(event, _room(view, width), display))
    ]
