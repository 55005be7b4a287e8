"""Rows as they stand on the terminal: of a screen that is laid out anew only those are sent that changed.

Textual sends every cell again when a widget comes or goes, though most rows stay what they were: a form that
opened took 130 kB, two minutes on a slow line.
"""

from typing import Final

from rich.console import Console
from rich.control import Control
from textual._compositor import ChopsUpdate, Compositor, CompositorUpdate, LayoutUpdate
from textual.strip import Strip

MANY: Final = 0.25
"""Share of the screen's cells from which a part update is looked at row by row, too."""


class RowsUpdate(CompositorUpdate):
    """Whole rows at their places."""

    def __init__(self, rows: list[tuple[int, Strip]]) -> None:
        self.rows = rows

    def render_segments(self, console: Console) -> str:
        """Return the bytes that draw them."""
        return "".join(Control.move_to(0, y).segment.text + row.render(console) for y, row in self.rows)


class WrittenRows:
    """What was sent to the terminal last, row by row."""

    def __init__(self) -> None:
        self._rows: dict[int, Strip] = {}

    def forget(self) -> None:
        """Take the terminal to show anything: the next whole screen is sent whole."""
        self._rows.clear()

    def changed(self, update: CompositorUpdate | None, compositor: Compositor) -> CompositorUpdate | None:
        """Return what of an update is to be sent, and remember it as sent; None where nothing changed."""
        width, height = compositor.size
        if isinstance(update, LayoutUpdate) and update.region == compositor.size.region:
            rows = {y: Strip.join(list(line)) for y, line in enumerate(update.strips)}
            if len(self._rows) != height or any(row.cell_length != width for row in self._rows.values()):
                self._rows = rows
                return update
            return self._only_changed(rows)
        if isinstance(update, ChopsUpdate):
            touched = {y for y, _begin, _end in update.spans}
            chops = compositor._render_chops(compositor.size.region, touched.__contains__)
            rows = {y: Strip.join(list(chops[y].values())) for y in touched}
            cells = sum(end - begin for _y, begin, end in update.spans)
            if cells >= MANY * width * height and touched <= self._rows.keys():
                return self._only_changed(rows)
            self._rows.update(rows)
        return update

    def _only_changed(self, rows: dict[int, Strip]) -> CompositorUpdate | None:
        changed = [(y, row) for y, row in sorted(rows.items()) if self._rows.get(y) != row]
        self._rows.update(rows)
        return RowsUpdate(changed) if changed else None
