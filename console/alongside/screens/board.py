"""Board: the base of every part of the screen that is drawn line by line from the View."""

import logging
from collections.abc import Hashable
from dataclasses import replace

from textual import events
from textual.geometry import Region
from textual.strip import Strip
from textual.widget import Widget

from alongside.alerts.model import Alert
from alongside.screens.messages import Clicked, PartFailed, Scrolled
from alongside.screens.rows import strip, wrap
from alongside.screens.view import View

log = logging.getLogger(__name__)

NARROWEST = 40
"""Columns below which a part is drawn as if it had so many, and cut: nobody reads it, no part need be made
for it."""
SCROLLS = 3
"""Rows by a notch of the mouse's wheel."""


class Board(Widget):
    """Draws `paint(view, width, height)` and sends only the rows that changed.

    Nothing is computed while Textual renders, so a fault in `paint` is caught here: this part then says
    that it failed, all others live on.
    """

    view: View | None = None
    """What was shown last; None before the first."""

    def __init__(self, name: str) -> None:
        super().__init__(id=name)
        self._strips: list[Strip] = []
        self._basis: Hashable = None

    def paint(self, view: View, width: int, height: int) -> list[Strip]:
        """Return the rows, at most `height` of them, each `width` cells wide."""
        raise NotImplementedError

    def basis(self, view: View) -> Hashable:
        """Return what the drawing depends on; while it stays the same nothing is drawn anew."""
        return object()

    def rows_wanted(self, view: View, width: int, height: int) -> int:
        """Return the rows wanted on a screen of `width` x `height`, for parts whose height follows their
        content."""
        return self.size.height

    def move(self, view: View, step: int) -> View:
        """Return the View after the watch moved up (-) or down (+) by so many rows on this page."""
        return view

    def clicked(self, view: View, x: int, y: int) -> View:
        """Return the View after the mouse pressed on a cell of this board."""
        return view

    def alerts(self, view: View, height: int) -> list[Alert]:
        """Return the alerts that have a row of their own here."""
        return []

    def in_sight(self, view: View) -> list[Alert]:
        """Return those of them that stand on the screen now."""
        return self.alerts(view, self.size.height) if self.size.height and self._is_displayed() else []

    def show(self, view: View) -> None:
        """Take a new View; costs nothing while this part is not displayed."""
        self.view = view
        width, height = self.size
        if not width or not height or not self._is_displayed():
            return
        basis = (self.basis(view), view.palette.name, width, height)
        if basis == self._basis:
            return
        self._basis = basis
        self._replace(self._painted(view, width, height), width)

    def _is_displayed(self) -> bool:
        return all(node.display for node in self.ancestors_with_self if isinstance(node, Widget))

    def _painted(self, view: View, width: int, height: int) -> list[Strip]:
        fill = view.palette.text
        try:
            strips = self.paint(view, max(width, NARROWEST), height)[:height]
            strips = strips if width >= NARROWEST else [each.crop(0, width) for each in strips]
        except Exception as fault:  # guards the watch: one part failing must not end the console
            log.exception("%s could not be drawn", self.id)
            self.post_message(PartFailed(str(self.id), fault))
            words = wrap(f"This part could not be drawn: {fault!r}", width)
            strips = [strip([(line, fill)], width, fill) for line in words][:height]
        return strips + [strip([], width, fill)] * (height - len(strips))

    def _replace(self, strips: list[Strip], width: int) -> None:
        before, self._strips = self._strips, strips
        if len(before) != len(strips):
            self.refresh()
            return
        changed = [Region(0, y, width, 1) for y, row in enumerate(strips) if row != before[y]]
        if changed:
            self.refresh(*changed)

    def on_resize(self) -> None:
        self._again()

    def on_mouse_down(self, event: events.MouseDown) -> None:
        self.post_message(Clicked(self, event.x, event.y))

    def on_mouse_scroll_down(self, event: events.MouseScrollDown) -> None:
        event.stop()
        self.post_message(Scrolled(self, SCROLLS))

    def on_mouse_scroll_up(self, event: events.MouseScrollUp) -> None:
        event.stop()
        self.post_message(Scrolled(self, -SCROLLS))

    def on_show(self) -> None:
        self._again()

    def _again(self) -> None:
        self._basis = None
        if self.view is not None:
            self.show(self.view)

    def render_line(self, y: int) -> Strip:
        if y < len(self._strips):
            return self._strips[y]
        return Strip.blank(self.size.width, self.view.palette.text if self.view else None)


def scrolled(rows: list[Strip], view: View, width: int, height: int) -> list[Strip]:
    """Return as many rows as there is room for, from where the view is scrolled to; where not all fit, the
    last says which they are."""
    if len(rows) <= height:
        return rows
    room = height - 1
    first = min(view.scroll, len(rows) - room)
    more = f"  rows {first + 1} to {first + room} of {len(rows)}, ↑ and ↓ for more"
    return [*rows[first : first + room], strip([(more, view.palette.label)], width, view.palette.text)]


def scroll_by(view: View, step: int, rows: int, height: int) -> View:
    """Return the View scrolled by so many rows (- up, + down), as far as `rows` go."""
    most = max(0, rows - height + 1)
    return replace(view, scroll=min(max(view.scroll + step, 0), most))
