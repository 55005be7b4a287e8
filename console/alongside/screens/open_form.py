"""The form at the foot of the screen: which one is open, and whose initials were typed last."""

from math import isnan
from typing import Any, Final

from textual.events import Key
from textual.screen import Screen

from alongside.screens.form import Form
from alongside.screens.outcomes import Outcome, Passed
from alongside.screens.parts import Part
from alongside.screens.quit_form import QuitForm
from alongside.screens.view import View
from alongside.wording.names import IN_EXAM, NO_ALERTS

IN_SIGHT: Final[dict[str, Part]] = {
    "take_over_form": "handover",
    "order_form": "orders",
    "self_test_form": "self_test",
    "round_form": "rounds",
    "judge_form": "gauges",
    "accept_form": "alerts",
    "wind_form": "ahead",
}
"""The part that is in sight while a form is filled in: who takes over has read the hand-over, who accepts the
alert, who judges a gauge both values."""
STAYS: Final[dict[str, Part]] = {"wind_form": "decide"}
"""Another part that serves as well, where it is in sight already."""
LOOKS_ONLY: Final = "Not done: this console only looks"
INSTRUCTS: Final = "Not done: this console instructs, orders are the trainee's"
OF_INSTRUCTORS: Final = ("inject_form", "note_form")
"""Forms that end in something an instructor does."""
ACTING: Final = (
    "tend_form",
    "round_form",
    "note_form",
    "take_over_form",
    "order_form",
    "self_test_form",
    "acknowledge_form",
    "accept_form",
    "judge_form",
    "on_deck_form",
    "reading_form",
    "wind_form",
    "inject_form",
)
"""Forms that end in an action."""


def part_for(form: str, part: Part) -> Part:
    """Return the part that is in sight while a form is filled in, where `part` is before."""
    return part if STAYS.get(form) == part else IN_SIGHT.get(form, part)


def why_closed(form: str, view: View) -> str | None:
    """Return why a form cannot be opened in this View, "" where its key does nothing; None where it can."""
    if form == "accept_form" and not view.watch.alerts:
        return NO_ALERTS
    if form in ACTING and view.watch.look_only:
        return LOOKS_ONLY
    if view.watch.instructing is not None and form in ACTING and form not in OF_INSTRUCTORS:
        return INSTRUCTS
    if form == "inject_form" and view.watch.instructing is None:
        return ""
    if form == "seek_form" and view.watch.instructing is not None:
        return INSTRUCTS
    if form == "seek_form" and view.watch.exam:
        return IN_EXAM
    if form == "seek_form" and not view.watch.replay:
        return ""
    if form == "seek_form" and isnan(view.watch.time):
        return "Not yet: the feed log is being read"
    return None


class OpenForm:
    """`name` is the id of the open form, "" while none is; `by` the initials last given in one."""

    def __init__(self) -> None:
        self.name = ""
        self.by = ""

    def open(self, screen: Screen[Any], view: View) -> None:
        """Fill in the form and give it the keyboard."""
        form = self._form(screen)
        if form is not None:
            form.open(view, self.by)

    def follow(self, screen: Screen[Any], view: View) -> None:
        """Let the open form go by the View of now, where it does."""
        form = self._form(screen)
        if form is not None:
            form.follow(view)

    def opened_on(self, screen: Screen[Any]) -> View | None:
        """Return the View in which the open form was opened."""
        form = self._form(screen)
        return form.view if isinstance(form, Form) else None

    def press(self, screen: Screen[Any], key: Key) -> Outcome:
        """Return what a key comes to in the open form; passed on while none is."""
        form = self._form(screen)
        return Passed() if form is None else form.press(key)

    def paste(self, screen: Screen[Any], text: str) -> None:
        """Put text into the open form; dropped while none is."""
        form = self._form(screen)
        if form is not None:
            form.paste(text)

    def close(self, screen: Screen[Any]) -> None:
        """Keep the initials that were typed, and give the keyboard back."""
        form = self._form(screen)
        if isinstance(form, Form) and form.entered and form.of_watch and form.by:
            self.by = form.by
        self.name = ""
        screen.set_focus(None)

    def _form(self, screen: Screen[Any]) -> Form | QuitForm | None:
        form = screen.get_widget_by_id(self.name) if self.name else None
        return form if isinstance(form, Form | QuitForm) else None
