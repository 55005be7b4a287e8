"""The alerts as rows of the look-only page."""

from math import isfinite
from typing import Any, Final

from alongside.alerts.course import stage_since
from alongside.alerts.event_text import accepted_text
from alongside.alerts.joined import Row, row_text, rows_of
from alongside.alerts.model import Group
from alongside.alerts.state_text import state_word
from alongside.cycle.picture import Picture
from alongside.wording import names
from alongside.wording.figures import counted, listed
from alongside.wording.marks import stage_text
from alongside.wording.safe import safe
from alongside.wording.times import short_span

MOST: Final = 30


def alert_rows(picture: Picture) -> dict[str, Any]:
    """Return alerts worst first, joined ones as one row, in a flood one row a cause; and how many more there
    are than are shown."""
    rows = [_group(group) for group in picture.groups] or [
        _row(picture, row) for row in rows_of(picture.alerts)
    ]
    more = len(rows) - MOST
    return {
        "rows": rows[:MOST],
        "more": f"{more} more" if more > 0 else "",
        "none": "" if rows else names.no_alerts(is_known=isfinite(picture.time)),
    }


def _row(picture: Picture, row: Row) -> dict[str, Any]:
    alert = row[0]
    text = safe(row_text(row))
    if alert.acceptance is not None:
        text = f"{text}; {accepted_text(alert.acceptance, picture.stay.display)}"
    since = short_span(picture.time - max(stage_since(each, picture.log) for each in row))
    return {
        "stage": names.ACCEPTED if alert.is_accepted else alert.stage.word,
        "word": stage_text(alert.stage),
        "state": state_word(alert),
        "waits": alert.flashes,
        "since": since,
        "text": text,
    }


def _group(group: Group) -> dict[str, Any]:
    waiting = sum(alert.flashes for alert in group.alerts)
    what = names.cause(group.cause)
    of_lines = all(alert.line for alert in group.alerts)
    head = f"{counted(len(group.alerts), 'line')} {what}" if of_lines else f"{what}, {len(group.alerts)}"
    subjects = listed([safe(alert.subject) for alert in group.alerts if alert.subject])
    return {
        "stage": group.stage.word,
        "word": stage_text(group.stage),
        "state": f"{waiting} {names.standing('UNACKNOWLEDGED')}" if waiting else "",
        "waits": waiting > 0,
        "since": "",
        "text": f"{head}: {subjects}" if subjects else head,
    }
