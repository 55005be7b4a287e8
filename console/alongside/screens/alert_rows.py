"""An alert as a row: mark and word, state, age, text."""

from typing import Final

from textual.strip import Strip

from alongside.alerts.model import Alert, Group, Standing
from alongside.screens.rows import Piece, fill_to, fit, strip
from alongside.screens.stage_styles import WIDEST, stage_style
from alongside.screens.view import View
from alongside.stay.stage import Stage
from alongside.wording import names
from alongside.wording.marks import stage_text
from alongside.wording.safe import safe
from alongside.wording.times import short_span

NO_SIGNAL: Final = names.quality("LOST")
"""State of an alert whose gauge is lost."""
WHOLE_FROM: Final = 110
"""Columns of the screen from which states are written in full."""
_STATES: Final = {short: [names.standing(each.name, short) for each in Standing] for short in (True, False)}
_STATE_CELLS: Final = {short: max(map(len, [*words, NO_SIGNAL])) for short, words in _STATES.items()}
_AGE: Final = 7


def state_word(alert: Alert, short: bool = False) -> str:
    """Return the state of an alert; "" for a caution, which needs no acknowledgement."""
    if alert.suspended:
        return NO_SIGNAL
    if alert.stage == Stage.CAUTION and alert.standing != Standing.RECTIFIED:
        return ""
    return names.standing(alert.standing.name, short)


def text_at(width: int) -> int:
    """Return the column at which the text begins on a screen of this width."""
    return 2 + WIDEST + 1 + _STATE_CELLS[width < WHOLE_FROM] + _AGE + 2


def alert_row(
    view: View, alert: Alert, width: int, *, is_chosen: bool = False, shade: bool = False, indent: int = 0
) -> Strip:
    """Return one alert as a row; `shade` marks the chosen row by its background too, in lists."""
    palette = view.palette
    on = palette.shade if is_chosen and shade else None
    ink = palette.style(palette.ink, on)
    word = stage_text(alert.stage)
    stage = stage_style(palette, alert.stage, flash=view.lit and alert.flashes, on=on)
    age = short_span(view.watch.time - alert.raised_at)
    text = fit(safe(alert.text), width - text_at(width) - indent - 1)
    short = width < WHOLE_FROM
    state = fill_to(state_word(alert, short), _STATE_CELLS[short])
    pieces: list[Piece] = [
        ("▸ " if is_chosen else "  ", ink),
        (" " * indent, ink),
        (word, stage),
        (" " * (WIDEST - len(word) + 1), ink),
        (state, palette.style(palette.ink, on, bold=alert.flashes)),
        (f"{fill_to(age, _AGE, right=True)}  ", palette.style(palette.faint, on)),
        (text, palette.style(palette.ink, on, bold=alert.flashes)),
    ]
    return strip(pieces, width, ink)


def group_row(view: View, group: Group, width: int) -> Strip:
    """Return all alerts of one cause as one row, for a flood."""
    palette = view.palette
    word = stage_text(group.stage)
    flash = view.lit and any(alert.flashes for alert in group.alerts)
    waiting = sum(alert.flashes for alert in group.alerts)
    subjects = ", ".join(safe(alert.subject) for alert in group.alerts if alert.subject)
    text = f"{names.cause(group.cause)} ×{len(group.alerts)}"
    text += f", {waiting} {names.standing('UNACKNOWLEDGED')}" if waiting else ""
    text += f": {subjects}" if subjects else ""
    pieces: list[Piece] = [
        ("  ", palette.text),
        (word, stage_style(palette, group.stage, flash=flash)),
        (" " * (WIDEST - len(word) + 2), palette.text),
        (fit(text, width - WIDEST - 5), palette.strong),
    ]
    return strip(pieces, width, palette.text)
