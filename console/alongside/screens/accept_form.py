"""The form that accepts the chosen alert until a time, with a reason; of a row, the alert of each line."""

import re
from typing import Final

from alongside.actions import Accept
from alongside.alerts.acceptance import MOST_ACCEPTED_S, why_not_accepted, why_not_until
from alongside.alerts.joined import row_of, row_text
from alongside.screens.form import Form
from alongside.screens.outcomes import Several
from alongside.screens.refusal import Refused
from alongside.screens.view import View, chosen_alert
from alongside.stay.model import Display
from alongside.wording.marks import MARKS
from alongside.wording.safe import safe
from alongside.wording.times import DayClock
from alongside.wording.typed_times import time_of_day, times_of_day

_BY: Final = re.compile(r"\+\s*(\d{1,2}):([0-5]\d)", re.ASCII)
MOST: Final = 60
"""Characters of a reason: it stands in the row of the alert."""


class AcceptForm(Form):
    fields = (("until", "Accept until", 8), ("reason", "reason", 0), ("by", "initials", 6))

    def hint(self, view: View) -> str:
        alert = chosen_alert(view)
        if alert is None:
            return "06:00, or +2:00 for two hours from now; at most 12 h"
        refused = why_not_accepted(alert)
        if refused:
            return f"{MARKS[alert.stage]} cannot be accepted, {refused}"
        text = safe(row_text(row_of(alert, view.watch.alerts)))
        return f"{MARKS[alert.stage]} {text}    06:00 or +2:00"

    def read(self, view: View, values: dict[str, str]) -> tuple[Accept | Several, str]:
        alert, by, reason = chosen_alert(view), safe(values["by"]).strip(), safe(values["reason"]).strip()
        refused = why_not_accepted(alert)
        if alert is None or refused:
            raise Refused(refused)
        now, display = view.watch.time, view.stay.display
        until = until_time(values["until"], now, display)
        if refused := why_not_until(until, now):
            raise Refused(refused)
        if not reason:
            raise Refused("no reason; expected why no deed is needed")
        if len(reason) > MOST:
            raise Refused(f"the reason has {len(reason)} characters, expected at most {MOST}")
        if not by:
            raise Refused("no initials; expected yours")
        row = row_of(alert, view.watch.alerts)
        words = f"accepted until {DayClock(display, now)(until)} ({reason}): {safe(row_text(row))}"
        accepts = tuple(Accept(each.cause, each.subject, until, reason, by) for each in row)
        return (accepts[0] if len(accepts) == 1 else Several(accepts)), words


def until_time(text: str, now: float, display: Display) -> float:
    """Return the time that is typed, UNIX seconds: the next time of day, or so long from now. Raise Refused
    for any other."""
    if by := _BY.fullmatch(text.strip()):
        return now + int(by[1]) * 3600 + int(by[2]) * 60
    of_day = time_of_day(text)
    times = [] if of_day is None else times_of_day(of_day, display, [(now + 1.0, now + MOST_ACCEPTED_S)])
    if not times:
        raise Refused("expected a time within 12 h: 06:00, or +2:00 for two hours from now")
    return times[0]
