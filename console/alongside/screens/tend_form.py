"""The form that records a tended line."""

import math

from alongside.actions import TendLine
from alongside.cycle.try_tending import Trial, tried
from alongside.screens.form import Form
from alongside.screens.outcomes import Entered
from alongside.screens.refusal import Refused
from alongside.screens.tend_words import hint, tend_line, tended
from alongside.screens.view import View, chosen_line
from alongside.stay.model import Stay
from alongside.wording.figures import force_text, metres, percent


class TendForm(Form):
    follows = True
    fields = (("line", "Tended line", 8), ("what", "how", 14), ("by", "initials", 6))

    def start_values(self, view: View) -> dict[str, str]:
        row = chosen_line(view)
        return {"line": row.id if row else ""}

    def hint(self, view: View) -> str:
        row = chosen_line(view)
        return hint(view.stay, row.measured_kn if row else math.nan)

    def read(self, view: View, values: dict[str, str]) -> tuple[TendLine, str]:
        measured = {row.id: row.measured_kn for row in view.watch.lines}
        tend, words = tend_line(view.stay, values["line"], values["what"], values["by"].strip(), measured)
        refuse_what_cannot_be(view, tend)
        return tend, words

    def effect(self, view: View, entered: Entered) -> str:
        """Return the load that the line would carry then."""
        if not isinstance(entered, TendLine):
            return ""
        then = tried(view.watch, entered)
        if not math.isfinite(then.tension_kn):
            return "Load then: not known"
        now = next(row.tension_kn for row in view.watch.lines if row.id == entered.line)
        carries = force_text(then.tension_kn, view.stay.display)
        load = f"{peril(view.stay, entered.line, then)}Then {carries}, {percent(then.load_share)} of WLL"
        before = f" (now {force_text(now, view.stay.display)})" if math.isfinite(now) else ""
        if entered.to_tension_kn is not None:
            before = f": {tended(then.paid_out_m)}"
        return f"{load}{before}; ship kept in place"


def refuse_what_cannot_be(view: View, tend: TendLine) -> None:
    """Raise Refused for more than the main rope there is, and for a heave that would part the line: both are
    slips of the finger."""
    row = next(row for row in view.watch.lines if row.id == tend.line)
    out = row.unstretched_m
    if tend.paid_out is not None and out + tend.paid_out <= 0.0:
        raise Refused(f"only {metres(out, 1)} of its main rope are out")
    then = tried(view.watch, tend)
    line = next(line for line in view.stay.lines if line.id == tend.line)
    if then.tension_kn >= line.smallest_mbl_kn:
        would, most = (force_text(kn, view.stay.display) for kn in (then.tension_kn, line.smallest_mbl_kn))
        raise Refused(f"it would carry {would} and part: its MBL is {most}")


def peril(stay: Stay, line_id: str, then: Trial) -> str:
    """Return what is wrong with a load to come, in capitals; "" for nothing."""
    line = next(line for line in stay.lines if line.id == line_id)
    winch = stay.ship.winches.get(line.winch or "")
    if winch is not None and winch.holding_kn is not None and then.tension_kn >= winch.holding_kn:
        return f"▲ OVER ITS BRAKE, which holds {force_text(winch.holding_kn, stay.display)}. "
    if then.load_share >= 1.0:
        return "▲ ABOVE WLL. "
    return "● LINE HANGS SLACK. " if then.tension_kn == 0.0 else ""
