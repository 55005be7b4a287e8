"""The form that records the next round as done as advised: one confirmation, with initials."""

from typing import Final

from alongside.actions import TendLine
from alongside.forecast.model import MoveAhead
from alongside.forecast.round_words import RoundWords, lower_first, moves_text
from alongside.screens.form import Form
from alongside.screens.outcomes import RoundDone, will_words
from alongside.screens.refusal import Refused
from alongside.screens.tend_form import refuse_what_cannot_be
from alongside.screens.tend_words import tended
from alongside.screens.view import View
from alongside.wording.safe import safe

ELSE: Final = "record what was done with t"


class RoundForm(Form):
    fields = (("by", "Round done, initials", 6),)
    asks_first = False

    def open(self, view: View, by: str) -> None:
        super().open(view, by)
        try:
            moves = lower_first(moves_text(moves_to_do(view)))
            self._reply(will_words(RoundDone, moves, exercise=view.watch.exercise))
        except Refused as refusal:
            self._reply(f"Not possible: {refusal}", wrong=True)

    def hint(self, view: View) -> str:
        return f"only as advised; where other metres were tended, {ELSE}"

    def read(self, view: View, values: dict[str, str]) -> tuple[RoundDone, str]:
        by = safe(values["by"]).strip()
        moves = moves_to_do(view)
        if not by:
            raise Refused("no initials; expected those of who looked after it")
        tends = tuple(TendLine(move.line, paid_out=round(move.pay_out_m, 4), by=by) for move in moves)
        for tend in tends:
            refuse_what_cannot_be(view, tend)
        return RoundDone(tends), lower_first(moves_text(moves))


def moves_to_do(view: View) -> tuple[MoveAhead, ...]:
    """Return the moves of the next round with the metres of now. Raise Refused where none is to be done."""
    forecast = view.watch.forecast
    each = None if forecast is None or view.watch.forecast_hidden else forecast.tending.next_round
    if each is None:
        raise Refused("no round is planned now")
    words = RoundWords(view.stay.display, view.watch.time)
    if not each.overdue and view.watch.time < each.not_before:
        raise Refused(f"the next round is from {words.clock(each.not_before)}; {ELSE}")
    return words.moves_now(each)


def tended_words(tend: TendLine) -> str:
    """Return `line 4 slacked 0.40 m`."""
    return f"line {safe(tend.line)} {tended(tend.paid_out or 0.0)}"


def tended_meanwhile(done: RoundDone, before: View, now: View) -> bool:
    """Return whether a line of the round has another length than when the form was opened."""
    lines = {tend.line for tend in done.tends}
    then, current = (
        {row.id: row.unstretched_m for row in view.watch.lines if row.id in lines} for view in (before, now)
    )
    return then != current
