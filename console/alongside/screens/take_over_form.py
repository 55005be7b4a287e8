"""The form that takes over the watch, with the initials of both; who hands over may follow later."""

from typing import Final

from alongside.actions import HandOver, TakeOver
from alongside.screens.form import MOST_INITIALS, Form
from alongside.screens.refusal import Refused
from alongside.screens.view import View
from alongside.wording.figures import counted
from alongside.wording.safe import safe

_YES: Final = ("yes", "y")
_NO: Final = ("no", "n")


class TakeOverForm(Form):
    fields = (
        ("by", "Taken over by, initials", 9),
        ("handed_by", "handed over by", 9),
        ("accepts", "accept anew", 4),
    )

    def hint(self, view: View) -> str:
        keeping, accepted = view.watch.watchkeeping, accepted_count(view)
        if keeping.outstanding:
            return f"{safe(keeping.outstanding)} outstanding: for them alone leave the first field empty"
        parts = ["Who hands over may follow later"]
        if orders := len(keeping.orders(view.stay)):
            parts.append(f"your initials: {counted(orders, 'standing order')} read")
        if accepted:
            parts.append(f"yes accepts {accepted} anew until the same times, no ends that")
        return "; ".join(parts)

    def start_values(self, view: View) -> dict[str, str]:
        # Not whoever kept it up to now.
        return {"by": ""}

    def open(self, view: View, by: str) -> None:
        """Begin with the initials that are to come."""
        super().open(view, by)
        if view.watch.watchkeeping.outstanding:
            self._go_to(1)

    def read(self, view: View, values: dict[str, str]) -> tuple[TakeOver | HandOver, str]:
        by, handed_by = (safe(values[name]).strip()[:MOST_INITIALS] for name in ("by", "handed_by"))
        if not by and handed_by and view.watch.watchkeeping.outstanding:
            return HandOver(handed_by), f"watch handed over by {handed_by}"
        if not by:
            raise Refused("no initials; expected those of who takes over")
        if by == handed_by:
            raise Refused("the same initials twice; leave the second empty until who hands over gives them")
        word, accepted = values["accepts"].strip().lower(), accepted_count(view)
        if accepted and word not in (*_YES, *_NO):
            raise Refused(f"expected yes or no: do you accept {accepted} anew?")
        accepts = bool(accepted) and word in _YES
        then = f", handed over by {handed_by}" if handed_by else ""
        then += f", {accepted} accepted anew" if accepts else ""
        return TakeOver(by, accepts, handed_by), f"watch taken over by {by}{then}"


def accepted_count(view: View) -> str:
    """Return `2 alerts`, those that the watch so far has accepted; "" for none."""
    count = sum(alert.is_accepted for alert in view.watch.alerts)
    return counted(count, "alert") if count else ""
