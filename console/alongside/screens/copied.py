"""What the key to copy takes: the chosen alert and the chosen line, as plain text."""

from alongside.cycle.line_row import LineRow
from alongside.screens.parts import page_of
from alongside.screens.view import View, chosen_alert, chosen_line
from alongside.wording import names
from alongside.wording.figures import force_text, lead, percent
from alongside.wording.marks import stage_text
from alongside.wording.safe import safe
from alongside.wording.times import clock


def text_to_copy(view: View) -> str:
    """Return ship and time, the chosen alert on pages Now and Log, the chosen line on all but Log; "" for
    none."""
    page, alert, row = page_of(view.part, view.behind), chosen_alert(view), chosen_line(view)
    rows = []
    if alert is not None and page in ("now", "log"):
        rows.append(f"{stage_text(alert.stage)} {safe(alert.text)}")
    if row is not None and page != "log":
        rows.append(_line(row, view))
    at = clock(view.figures.time, view.stay.display, "%d %b %H:%M:%S")
    return "\n".join([f"{safe(view.stay.ship.name)} {at}", *rows]) if rows else ""


def _line(row: LineRow, view: View) -> str:
    if row.stage is None:
        return f"Line {safe(row.id)}: not known, {safe(row.why)}"
    because = f" {names.cause(row.because)}" if row.because else ""
    return (
        f"Line {safe(row.id)} {row.role}: {stage_text(row.stage)}{because}, "
        f"stretch {percent(row.stretch_share)}, load {force_text(row.counted_kn, view.stay.display)}, "
        f"{lead(row.vertical_deg)}"
    )
