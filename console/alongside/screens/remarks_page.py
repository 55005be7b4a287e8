"""The remarks on the stay file, as `check` makes them: place, reason, what may be meant; and what is not
watched."""

import logging
from collections.abc import Callable, Hashable
from pathlib import Path

from rich.style import Style
from textual.strip import Strip

from alongside.errors import Fault
from alongside.reports.remarks.text import Remarks, counted_remarks
from alongside.screens.board import Board, scroll_by, scrolled
from alongside.screens.messages import RemarksFound
from alongside.screens.rows import strip, wrap
from alongside.screens.view import View
from alongside.stay.model import Stay
from alongside.wording.safe import safe

log = logging.getLogger(__name__)

NOT_YET = "The stay file is being looked through"


def found(look_through: Callable[[Stay], Remarks], stay: Stay) -> RemarksFound:
    """Return the remarks on a stay as a message, or why there are none."""
    try:
        return RemarksFound(look_through(stay))
    except Exception as fault:  # guards the watch: the page says so, the console lives on
        log.exception("remarks on the stay file")
        return RemarksFound(None, f"The stay file was not looked through: {fault!r}, see the log")


class RemarksPage(Board):
    def basis(self, view: View) -> Hashable:
        return (id(view.remarks), view.remarks_fault, view.scroll)

    def move(self, view: View, step: int) -> View:
        return scroll_by(view, step, len(_rows(view, self.size.width)), self.size.height)

    def paint(self, view: View, width: int, height: int) -> list[Strip]:
        rows = [strip([(text, style)], width, view.palette.text) for text, style in _rows(view, width)]
        return scrolled(rows, view, width, height)


def _rows(view: View, width: int) -> list[tuple[str, Style]]:
    palette, known = view.palette, view.remarks
    if known is None:
        text = view.remarks_fault or NOT_YET
        return [(f"  {line}", palette.text) for line in wrap(text, width - 4)]
    count = counted_remarks(len(known.remarks))
    rows = [(f"  {count[:1].upper()}{count[1:]} on the stay file {safe(view.stay.file)}", palette.strong)]
    for remark in known.remarks:
        rows.append(("", palette.text))
        rows += _wrapped(_place(remark), width, 2, palette.label)
        rows += _wrapped(safe(remark.problem).removeprefix("remark: "), width, 4, palette.strong)
    rows += [("", palette.text), ("  Not watched, and which key is not given", palette.strong)]
    for text in known.not_watched or ("nothing: all is watched",):
        rows += _wrapped(text, width, 4, palette.text)
    return rows


def _place(remark: Fault) -> str:
    line = f":{remark.line}:{remark.column}" if remark.line else ""
    return safe(f"{Path(remark.file).name}{line}  {remark.path}")


def _wrapped(text: str, width: int, indent: int, style: Style) -> list[tuple[str, Style]]:
    return [(" " * indent + line, style) for line in wrap(text, width - indent - 2)]
