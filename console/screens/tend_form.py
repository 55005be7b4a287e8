"""The form that tells of a tended line."""

import math

from console.actions import Action, ReplayControl, TendLine
from console.screens.form import Form
from console.screens.question import Question
from console.screens.tend_words import hint, tend_line
from console.screens.view import View, chosen_line
from console.screens.wording import force_text, percent
from console.trial import tried


class TendForm(Form):
    fields = (("line", "Tended line", 8), ("what", "how", 14), ("by", "initials", 6))

    def start_values(self, view: View) -> dict[str, str]:
        row = chosen_line(view)
        return {"line": row.id if row else ""}

    def hint(self, view: View) -> str:
        row = chosen_line(view)
        return hint(view.stay, row.measured_kn if row else math.nan)

    def read(self, view: View, values: dict[str, str]) -> tuple[TendLine, str]:
        measured = {row.id: row.measured_kn for row in view.watch.lines}
        return tend_line(view.stay, values["line"], values["what"], values["by"].strip(), measured)

    def foreseen(self, view: View, deed: Action | ReplayControl | Question) -> str:
        """The load the line would carry then."""
        if not isinstance(deed, TendLine):
            return ""
        then = tried(view.watch, deed)
        if not math.isfinite(then.tension_kn):
            return "What it would carry then is not known"
        now = next(row.tension_kn for row in view.watch.lines if row.id == deed.line)
        load = f"Then {force_text(then.tension_kn, view.stay.display)}, {percent(then.load_share)} of WLL"
        before = f" (now {force_text(now, view.stay.display)})" if math.isfinite(now) else ""
        if deed.to_tension_kn is not None:
            way = "out" if then.paid_out_m >= 0.0 else "in"
            before = f": {abs(then.paid_out_m):.2f} m {way}"
        return f"{load}{before}, if the ship stays where she lies"
