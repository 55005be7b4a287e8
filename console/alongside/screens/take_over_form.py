"""The form that takes over the watch."""

from typing import Final

from alongside.actions import TakeOver
from alongside.screens.form import Form
from alongside.screens.refusal import Refused
from alongside.screens.view import View
from alongside.wording.figures import counted
from alongside.wording.safe import safe

_YES: Final = ("yes", "y")
_NO: Final = ("no", "n")


class TakeOverForm(Form):
    fields = (("by", "Taken over by, initials", 12), ("accepts", "accept anew what was accepted", 4))

    def hint(self, view: View) -> str:
        accepted = accepted_count(view)
        if accepted:
            return f"{accepted} accepted: yes accepts them anew until the same times, no ends that"
        return "Enter records who keeps the watch from now on, with the time"

    def start_values(self, view: View) -> dict[str, str]:
        # Not whoever kept it up to now.
        return {"by": ""}

    def read(self, view: View, values: dict[str, str]) -> tuple[TakeOver, str]:
        by = safe(values["by"]).strip()
        if not by:
            raise Refused("no initials; expected those of who takes over")
        word, accepted = values["accepts"].strip().lower(), accepted_count(view)
        if accepted and word not in (*_YES, *_NO):
            raise Refused(f"expected yes or no: do you accept {accepted} anew?")
        accepts = bool(accepted) and word in _YES
        then = f", {accepted} accepted anew" if accepts else ""
        return TakeOver(by, accepts), f"watch taken over by {by}{then}"


def accepted_count(view: View) -> str:
    """Return `2 alerts`, those that the watch so far has accepted; "" for none."""
    count = sum(alert.is_accepted for alert in view.watch.alerts)
    return counted(count, "alert") if count else ""
