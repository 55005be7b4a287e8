"""The alerts as rows of the look-only page."""

from math import isfinite
from typing import Any, Final

from alongside.alerts.event_text import accepted_text
from alongside.alerts.joined import Row, row_text, rows_of
from alongside.alerts.model import Alert, Group, Standing
from alongside.cycle.picture import Picture
from alongside.stay.stage import Stage
from alongside.wording import names
from alongside.wording.figures import counted, listed
from alongside.wording.look_page import ALERTS_NOT_KNOWN, NO_ALERTS
from alongside.wording.marks import stage_text
from alongside.wording.safe import safe
from alongside.wording.times import short_span

MOST: Final = 30
NO_SIGNAL: Final = names.quality("LOST")


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
        "none": "" if rows else _none(picture),
    }


def _none(picture: Picture) -> str:
    """Return what stands where there is no alert; before the first figures none is known yet."""
    return NO_ALERTS if isfinite(picture.time) else ALERTS_NOT_KNOWN


def _row(picture: Picture, row: Row) -> dict[str, Any]:
    alert = row[0]
    text = safe(row_text(row))
    if alert.acceptance is not None:
        text = f"{text}; {accepted_text(alert.acceptance, picture.stay.display)}"
    since = short_span(picture.time - max(each.raised_at for each in row))
    return {
        "stage": "accepted" if alert.is_accepted else alert.stage.word,
        "word": stage_text(alert.stage),
        "state": _state(alert),
        "waits": alert.flashes,
        "since": since,
        "text": text,
    }


def _state(alert: Alert) -> str:
    """Return the state of an alert; "" for a caution, which needs no acknowledgement."""
    if alert.suspended:
        return NO_SIGNAL
    if alert.is_accepted:
        return "accepted"
    if alert.stage is Stage.CAUTION and alert.standing is not Standing.RECTIFIED:
        return ""
    return names.standing(alert.standing.name)


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
