"""The form that tells of a tended line."""

from console.actions import TendLine
from console.screens.form import Form
from console.screens.tend_words import hint, tend_line
from console.screens.view import View, chosen_line


class TendForm(Form):
    fields = (("line", "Tended line", 8), ("what", "how", 14), ("by", "initials", 6))

    def start_values(self, view: View) -> dict[str, str]:
        row = chosen_line(view)
        return {"line": row.id if row else ""}

    def hint(self, view: View) -> str:
        return hint(view.stay)

    def read(self, view: View, values: dict[str, str]) -> tuple[TendLine, str]:
        return tend_line(view.stay, values["line"], values["what"], values["by"].strip())
