"""The form at the foot of the screen: which one is open, and whose initials were typed last."""

from typing import Any

from textual.screen import Screen

from alongside.screens.form import Form
from alongside.screens.quit_form import QuitForm
from alongside.screens.view import View


class OpenForm:
    """`name` is the id of the open form, "" while none is; `by` the initials last given in one."""

    def __init__(self) -> None:
        self.name = ""
        self.by = ""

    def open(self, screen: Screen[Any], view: View) -> None:
        """Fill in the form and give it the keyboard."""
        form = screen.get_widget_by_id(self.name)
        if isinstance(form, Form | QuitForm):
            form.open(view, self.by)

    def close(self, screen: Screen[Any]) -> None:
        """Keep the initials that were typed, and give the keyboard back."""
        form = screen.get_widget_by_id(self.name) if self.name else None
        if isinstance(form, Form) and form.entered and form.by:
            self.by = form.by
        self.name = ""
        screen.set_focus(None)
