"""The form for a command by its name."""

from typing import Final

from alongside.screens.commands import Command, named
from alongside.screens.form import Form
from alongside.screens.refusal import Refused
from alongside.screens.view import View
from alongside.wording.safe import safe

MOST: Final = 3
"""Commands shown beside the first that fits."""


class CommandForm(Form):
    fields = (("name", "Command", 0),)
    asks_first = False

    def hint(self, view: View) -> str:
        return "part of its name, such as: silence, note, ahead; Enter does it, Esc leaves"

    def typed(self, view: View, values: dict[str, str]) -> str:
        fitting = named(values["name"], view.watch) if values["name"].strip() else []
        if not fitting:
            return ""
        more = f"   ({len(fitting) - 1} more fit)" if len(fitting) > 1 else ""
        return f"{fitting[0].words}  (key {fitting[0].key}){more}"

    def read(self, view: View, values: dict[str, str]) -> tuple[Command, str]:
        if not values["name"].strip():
            raise Refused("no command; expected part of its name")
        fitting = named(values["name"], view.watch)
        if not fitting:
            raise Refused(f"no command is named {safe(values['name'])!r}")
        return fitting[0], ""
