"""One alert as one row: mark and word, state, age, text."""

from typing import Final

from textual.strip import Strip

from alongside.alerts.model import Alert, Group, Standing
from alongside.screens.marks import WIDEST, stage_style, stage_text
from alongside.screens.rows import Piece, fill_to, fit, strip
from alongside.screens.view import View
from alongside.stay.stage import Stage
from alongside.wording.safe import safe
from alongside.wording.times import short_span

STATE_WORDS: Final = {
    Standing.UNACKNOWLEDGED: "new",
    Standing.SILENCED: "silent",
    Standing.ACKNOWLEDGED: "seen",
    Standing.RECTIFIED: "over",
}
BLIND: Final = "blind"
"""State of an alert whose input is lost."""
NEEDS_NONE: Final = "stands"
"""State of a caution: nobody needs to acknowledge it."""
TEXT_AT: Final = 2 + WIDEST + 1 + 7 + 7 + 1
"""Column at which the text begins."""


def state_word(alert: Alert) -> str:
    if alert.suspended:
        return BLIND
    if alert.stage == Stage.CAUTION and alert.standing != Standing.RECTIFIED:
        return NEEDS_NONE
    return STATE_WORDS[alert.standing]


def alert_row(
    view: View, alert: Alert, width: int, *, is_chosen: bool = False, shade: bool = False, indent: int = 0
) -> Strip:
    """`shade` marks the chosen row by its background too, in lists."""
    palette = view.palette
    on = palette.shade if is_chosen and shade else None
    ink = palette.style(palette.ink, on)
    word = stage_text(alert.stage)
    stage = stage_style(palette, alert.stage, flash=view.lit and alert.flashes, on=on)
    age = short_span(view.watch.time - alert.raised_at)
    text = fit(safe(alert.text), width - TEXT_AT - indent - 1)
    pieces: list[Piece] = [
        ("▸ " if is_chosen else "  ", ink),
        (" " * indent, ink),
        (word, stage),
        (" " * (WIDEST - len(word) + 1), ink),
        (fill_to(state_word(alert), 7), palette.style(palette.ink, on, bold=alert.flashes)),
        (f"{fill_to(age, 7, right=True)} ", palette.style(palette.faint, on)),
        (text, palette.style(palette.ink, on, bold=alert.flashes)),
    ]
    return strip(pieces, width, ink)


def group_row(view: View, group: Group, width: int) -> Strip:
    """In a flood, all alerts of one cause as one row."""
    palette = view.palette
    word = stage_text(group.stage)
    flash = view.lit and any(alert.flashes for alert in group.alerts)
    new = sum(alert.flashes for alert in group.alerts)
    subjects = ", ".join(safe(alert.subject) for alert in group.alerts if alert.subject)
    waiting = f", {new} not answered" if new else ""
    text = f"{safe(group.cause)} ×{len(group.alerts)}{waiting}" + (f": {subjects}" if subjects else "")
    pieces: list[Piece] = [
        ("  ", palette.text),
        (word, stage_style(palette, group.stage, flash=flash)),
        (" " * (WIDEST - len(word) + 2), palette.text),
        (fit(text, width - WIDEST - 5), palette.strong),
    ]
    return strip(pieces, width, palette.text)
