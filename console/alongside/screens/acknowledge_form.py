"""The form for the initials of who acknowledges, where nobody took over the watch: asked for once."""

from alongside.actions import Acknowledge
from alongside.screens.form import Form
from alongside.screens.refusal import Refused
from alongside.screens.view import View, chosen_alert
from alongside.wording.marks import MARKS
from alongside.wording.safe import safe


class AcknowledgeForm(Form):
    fields = (("by", "Acknowledged by, initials", 12),)
    asks_first = False

    def hint(self, view: View) -> str:
        alert = chosen_alert(view)
        return f"{MARKS[alert.stage]} {safe(alert.text)}" if alert else ""

    def read(self, view: View, values: dict[str, str]) -> tuple[Acknowledge, str]:
        alert, by = chosen_alert(view), safe(values["by"]).strip()
        if not by:
            raise Refused("no initials; expected yours: nobody has taken over the watch")
        if alert is None:
            raise Refused("the alert is gone")
        return Acknowledge(
            alert.cause, alert.subject, by
        ), f"acknowledged {MARKS[alert.stage]} {safe(alert.text)}"
