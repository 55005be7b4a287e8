"""The form that records what happened on deck: so far whether a winch brake slipped or held."""

from typing import Final

from alongside.actions import MOST_METRES, AnswerBrake
from alongside.alerts.over_brake import LEAST_M, drum_mark
from alongside.cycle.picture import IfSlipped, LineRow
from alongside.screens.form import Form
from alongside.screens.outcomes import Entered
from alongside.screens.refusal import Refused
from alongside.screens.view import View, chosen_line
from alongside.wording.cautions import CLEAR_DECK
from alongside.wording.figures import force_text, metres
from alongside.wording.safe import safe

WORDS: Final = "slipped, slipped 0.30 (m), or held"


class OnDeckForm(Form):
    fields = (("line", "Line", 8), ("what", "what happened", 14), ("by", "initials", 6))

    def start_values(self, view: View) -> dict[str, str]:
        row = _meant(view)
        return {"line": row.id if row else ""}

    def hint(self, view: View) -> str:
        row = _meant(view)
        if row is None or row.asked is None:
            return f"winch brake: {WORDS}"
        return f"{WORDS}    drum: {drum_mark(row.asked.ran_out_m, row.asked.or_more)} if it slipped"

    def typed(self, view: View, values: dict[str, str]) -> str:
        """Return the caution for whoever goes to look."""
        return f"{CLEAR_DECK[:1].upper()}{CLEAR_DECK[1:]}"

    def read(self, view: View, values: dict[str, str]) -> tuple[AnswerBrake, str]:
        row = _line(view, values["line"].strip())
        by = safe(values["by"]).strip()
        if not by:
            raise Refused("no initials; expected those of who looked")
        answer = brake_answer(row.id, values["what"], by)
        if answer.did == "held":
            return answer, f"line {safe(row.id)}: brake held"
        slipped = answer.metres
        if slipped is None:
            if row.asked is None:
                raise Refused("nothing is asked of its brake; expected the metres, such as: slipped 0.30")
            slipped = row.asked.ran_out_m
            if slipped < LEAST_M:
                raise Refused("metres not known; expected those seen, such as: slipped 0.30")
        return answer, f"line {safe(row.id)}: brake slipped {metres(slipped)}"

    def effect(self, view: View, entered: Entered) -> str:
        """Return what the line carries then, as far as that is known already."""
        if not isinstance(entered, AnswerBrake):
            return ""
        row = _line(view, entered.line)
        return f"Then {then_carries(view, row, row.asked, entered)}" if row.asked is not None else ""


def then_carries(view: View, row: LineRow, asked: IfSlipped, answer: AnswerBrake) -> str:
    """Return the load of a line after an answer: of one of the two states, or of neither."""
    if answer.did == "held":
        return f"line {safe(row.id)} carries {force_text(row.tension_kn, view.stay.display)}"
    if answer.metres is None:
        return f"line {safe(row.id)} carries {force_text(asked.tension_kn, view.stay.display)}"
    either = sorted((row.tension_kn, asked.tension_kn), reverse=True)
    figures = " or ".join(force_text(kn, view.stay.display) for kn in either)
    return f"line {safe(row.id)} is {metres(answer.metres)} longer (expected {figures})"


def brake_answer(line: str, text: str, by: str = "") -> AnswerBrake:
    """Return the answer that a text such as `held`, `slipped` or `slipped 0.30` gives for a line. Raise
    Refused with what was expected."""
    word, _, number = text.strip().lower().partition(" ")
    number = number.strip().removesuffix("m").strip().replace(",", ".")
    if word == "held" and not number:
        return AnswerBrake(line, "held", by=by)
    if word == "slipped" and not number:
        return AnswerBrake(line, "slipped", by=by)
    try:
        slipped = float(number)
    except ValueError:
        slipped = -1.0
    if word != "slipped" or not 0.0 <= slipped <= MOST_METRES:
        raise Refused(f"expected {WORDS}")
    return AnswerBrake(line, "slipped", slipped, by)


def _meant(view: View) -> LineRow | None:
    """Return the line whose brake is in question: the chosen one, else the first; else the chosen line."""
    chosen = chosen_line(view)
    asked = [row for row in view.watch.lines if row.asked is not None]
    if chosen is not None and any(row.id == chosen.id for row in asked):
        return next(row for row in asked if row.id == chosen.id)
    return asked[0] if asked else chosen


def _line(view: View, name: str) -> LineRow:
    row = next((row for row in view.watch.lines if row.id == name), None)
    if row is None:
        raise Refused(f"no line {safe(name)!r}")
    line = next(line for line in view.stay.lines if line.id == row.id)
    if line.winch is None:
        raise Refused(f"line {safe(name)} is on no winch")
    return row
