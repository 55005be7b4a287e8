"""An alert as a row: mark and word, state, age, text."""

from math import isnan
from typing import Final

from rich.cells import cell_len
from rich.style import Style
from textual.strip import Strip

from alongside.alerts.course import stage_since
from alongside.alerts.event_text import accepted_text
from alongside.alerts.joined import Row, row_text
from alongside.alerts.model import Group, Standing
from alongside.alerts.state_text import NO_SIGNAL, state_word
from alongside.cycle.picture import Picture
from alongside.screens.rows import Piece, fill_to, fit, strip
from alongside.screens.stage_styles import WIDEST, is_seen, stage_style
from alongside.screens.view import View
from alongside.wording import names
from alongside.wording.figures import counted
from alongside.wording.learnt import TO_ACCEPT
from alongside.wording.marks import stage_text
from alongside.wording.safe import safe
from alongside.wording.times import short_span

WHOLE_FROM: Final = 110
"""Columns of the screen from which states are written in full."""
_STATES: Final = {short: [names.standing(each.name, short) for each in Standing] for short in (True, False)}
_STATE_CELLS: Final = {
    short: max(map(len, [*words, NO_SIGNAL, names.ACCEPTED])) for short, words in _STATES.items()
}
_AGE: Final = 7


def no_alerts(picture: Picture) -> str:
    """Return what stands where there is no alert to show; before the first figures none is known yet."""
    return names.no_alerts(is_known=not isnan(picture.time))


def text_at(width: int) -> int:
    """Return the column at which the text begins on a screen of this width."""
    return 2 + WIDEST + 1 + _STATE_CELLS[width < WHOLE_FROM] + _AGE + 2


def whole_text(view: View, row: Row) -> str:
    """Return what a row says, and until when and why its alert is accepted."""
    alert = row[0]
    if alert.acceptance is None:
        offered = {each.line for each in view.watch.learnt if each.learnt is not None}
        answer = f"; {TO_ACCEPT}" if alert.cause == "tension" and alert.line in offered else ""
        return f"{safe(row_text(row))}{answer}"
    return f"{safe(alert.text)}; {accepted_text(alert.acceptance, view.stay.display)}"


def alert_row(
    view: View, row: Row, width: int, *, is_chosen: bool = False, shade: bool = False, indent: int = 0
) -> Strip:
    """Return one alert as a row, with how long it has had its stage, or those that are joined, by the newest;
    `shade` marks the chosen row by
    its background too, in lists."""
    palette, alert = view.palette, row[0]
    on = palette.shade if is_chosen and shade else None
    ink = palette.style(palette.faint if alert.is_accepted else palette.ink, on)
    word = stage_text(alert.stage)
    flash, seen = view.lit and alert.flashes, is_seen(row)
    stage = stage_style(palette, alert.stage, flash=flash, seen=seen, on=on)
    stage = ink if alert.is_accepted else stage
    age = short_span(view.watch.time - max(stage_since(each, view.watch.log) for each in row))
    text = fit(whole_text(view, row), width - text_at(width) - indent - 1)
    short = width < WHOLE_FROM
    state = fill_to(state_word(alert, short), _STATE_CELLS[short])
    pieces: list[Piece] = [
        ("▸ " if is_chosen else "  ", ink),
        (" " * indent, ink),
        (word, stage),
        (" " * (WIDEST - len(word) + 1), ink),
        (state, ink + Style(bold=alert.flashes)),
        (f"{fill_to(age, _AGE, right=True)}  ", palette.style(palette.faint, on)),
        (text, ink + Style(bold=alert.flashes)),
    ]
    return strip(pieces, width, ink)


def group_row(view: View, group: Group, width: int) -> Strip:
    """Return all alerts of one cause as one row, for a flood."""
    palette = view.palette
    word = stage_text(group.stage)
    flash = view.lit and any(alert.flashes for alert in group.alerts)
    text = group_text(group, width - WIDEST - 5)
    pieces: list[Piece] = [
        ("  ", palette.text),
        (word, stage_style(palette, group.stage, flash=flash, seen=is_seen(group.alerts))),
        (" " * (WIDEST - len(word) + 2), palette.text),
        (text, palette.strong),
    ]
    return strip(pieces, width, palette.text)


def group_text(group: Group, cells: int) -> str:
    """Return `8 lines stretch: 1, 2, 3 +5, 2 not acknowledged`, as many names as fit."""
    waiting = sum(alert.flashes for alert in group.alerts)
    rest = f", {waiting} {names.standing('UNACKNOWLEDGED')}" if waiting else ""
    what = names.cause(group.cause)
    lines = [alert.line for alert in group.alerts]
    subjects = [safe(alert.subject) for alert in group.alerts if alert.subject]
    of = f"{counted(len(lines), 'line')} {what}" if all(lines) else f"{what}, {len(group.alerts)}"
    for shown in range(len(subjects), 0, -1):
        more = f" +{len(subjects) - shown}" if shown < len(subjects) else ""
        text = f"{of}: {', '.join(subjects[:shown])}{more}{rest}"
        if cell_len(text) <= cells:
            return text
    return fit(f"{of}{rest}", cells)
