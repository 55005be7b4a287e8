"""The form that takes over the watch."""

from alongside.actions import TakeOver
from alongside.screens.form import Form
from alongside.screens.refusal import Refused
from alongside.screens.view import View
from alongside.wording.safe import safe


class TakeOverForm(Form):
    fields = (("by", "Taken over by, initials", 12),)

    def hint(self, view: View) -> str:
        return "Enter records who keeps the watch from now on, with the time"

    def start_values(self, view: View) -> dict[str, str]:
        # Not whoever kept it up to now.
        return {"by": ""}

    def read(self, view: View, values: dict[str, str]) -> tuple[TakeOver, str]:
        by = safe(values["by"]).strip()
        if not by:
            raise Refused("no initials; expected those of who takes over")
        return TakeOver(by), f"watch taken over by {by}"
