"""Form: a few fields at the foot of the screen, with a row that says what they will do or what is wrong.

It covers neither the advice nor the lines, so that the watch sees what happens while typing.
"""

import re
from typing import ClassVar, Final

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.events import Paste
from textual.widget import Widget
from textual.widgets import Input, Static

from alongside.reports.handover import kept_by
from alongside.screens.guard import guarded
from alongside.screens.messages import Entered, FormDone, PartFailed
from alongside.screens.refusal import Refused
from alongside.screens.view import View
from alongside.wording.safe import safe

MOST_INITIALS: Final = 8
_LINE_ENDS: Final = re.compile(r"\s*[\r\n\v\f\x85\u2028\u2029]\s*")


class Field(Input):
    """One row to type into. What is pasted is taken whole, each line end as one blank. Initials are short,
    and typing replaces those that are preset."""

    def __init__(self, name: str, *, initials: bool) -> None:
        most = MOST_INITIALS if initials else 0
        super().__init__(id=name, compact=True, select_on_focus=initials, max_length=most)

    def on_paste(self, event: Paste) -> None:
        event.stop()
        event.prevent_default()
        text = _LINE_ENDS.sub(" ", event.text.strip("\r\n"))
        self.replace(text, *sorted(self.selection))


class Form(Widget):
    """Enter reads the fields, a second one confirms where `asks_first`. Escape, a key of the app, leaves."""

    fields: ClassVar[tuple[tuple[str, str, int], ...]] = ()
    """(id, label, cells; 0 takes the rest) of each field."""
    asks_first: ClassVar[bool] = True
    can_focus = False

    def __init__(self, name: str) -> None:
        super().__init__(id=name, classes="form")
        self.view: View | None = None
        self.entered = False
        """Whether it was filled in and confirmed since it was opened."""
        self._asked = False

    def compose(self) -> ComposeResult:
        with Horizontal(classes="fields"):
            for name, label, cells in self.fields:
                yield Static(f" {label} ", markup=False, classes="label")
                field = Field(f"{self.id}_{name}", initials=name == "by")
                field.styles.width = cells or "1fr"
                yield field
        yield Static("", markup=False, classes="reply")
        yield Static("", markup=False, classes="hint")

    def read(self, view: View, values: dict[str, str]) -> tuple[Entered, str]:
        """Return what the fields mean, and the same in words. Raise Refused with what was expected."""
        raise NotImplementedError

    def start_values(self, view: View) -> dict[str, str]:
        """Return what the fields hold when the form opens."""
        return {}

    def hint(self, view: View) -> str:
        return ""

    def effect(self, view: View, entered: Entered) -> str:
        """Return what would follow, shown before it is confirmed; "" for nothing to say."""
        return ""

    def open(self, view: View, by: str) -> None:
        """Show the form, filled in as far as known, and take the keyboard. While nobody has given initials at
        this console, those of who took over the watch last stand there."""
        self.view = view
        self.entered = self._asked = False
        initials = by or safe(kept_by(view.watch.log)).strip()
        start = {"by": initials[:MOST_INITIALS], **self.start_values(view)}
        for name, _label, _cells in self.fields:
            self._field(name).value = start.get(name, "")
        self._hint(self.hint(view))
        self._reply("")
        empty = [name for name, _label, _cells in self.fields if not start.get(name)]
        self._field(next(iter(empty), self.fields[0][0])).focus()

    def tell_fault(self, part: str, fault: Exception) -> None:
        self.post_message(PartFailed(f"{self.id} {part}", fault))

    @property
    def by(self) -> str:
        """Return the initials of who fills it in, if it asks for them."""
        names = [name for name, _label, _cells in self.fields]
        return self._field("by").value.strip() if "by" in names else ""

    def _field(self, name: str) -> Input:
        return self.query_one(f"#{self.id}_{name}", Input)

    def _reply(self, text: str, *, wrong: bool = False) -> None:
        reply = self.query_one(".reply", Static)
        reply.set_class(wrong, "wrong")
        reply.update(f" {text}")

    def _hint(self, text: str) -> None:
        self.query_one(".hint", Static).update(f" {text}")

    @on(Input.Changed)
    @guarded
    def _typed(self) -> None:
        if self._asked and self.view is not None:
            self._hint(self.hint(self.view))
        self._asked = False
        self._reply("")

    @on(Input.Submitted)
    @guarded
    def _entered(self) -> None:
        if self.view is None:
            return
        try:
            values = {name: self._field(name).value for name, _label, _cells in self.fields}
            entered, words = self.read(self.view, values)
        except Refused as refusal:
            self._reply(f"Not done: {refusal}", wrong=True)
            return
        if self.asks_first and not self._asked:
            self._asked = True
            self._reply(f"Will record: {words}.  Enter records it, Esc leaves")
            self._hint(self.effect(self.view, entered) or self.hint(self.view))
            return
        self.entered = True
        self.post_message(FormDone(entered, words))
