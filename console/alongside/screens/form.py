"""Form: a few fields at the foot of the screen, with a row that says what they will do or what is wrong.

It covers neither the advice nor the lines, so that the watch sees what happens while typing.
"""

import re
from typing import ClassVar, Final

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.events import Key
from textual.widget import Widget
from textual.widgets import Input, Static
from textual.widgets.input import Selection

from alongside.reports.handover import kept_by
from alongside.screens.form_rows import FORM_ROWS, form_rows
from alongside.screens.guard import guarded
from alongside.screens.messages import PartFailed
from alongside.screens.outcomes import Entered, FormDone, Outcome, Passed, Taken, will_words
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
        super().__init__(id=name, compact=True, select_on_focus=False, max_length=most)
        self.cursor_blink = False
        self.initials = initials

    def take_keyboard(self) -> None:
        """Get the next key. Done at once: Textual's own `focus` waits in a queue, behind keys typed ahead."""
        self.screen.set_focus(self, scroll_visible=False)
        self.selection = Selection(0 if self.initials else len(self.value), len(self.value))

    def put(self, text: str) -> None:
        """Put text where the cursor is, in place of what is chosen."""
        self.replace(text, *sorted(self.selection))


class Form(Widget):
    """Enter reads the fields, a second one confirms where `asks_first`. Escape, a key of the app, leaves."""

    fields: ClassVar[tuple[tuple[str, str, int], ...]] = ()
    """(id, label, cells; 0 takes the rest) of each field."""
    asks_first: ClassVar[bool] = True
    follows: ClassVar[bool] = False
    """Whether it goes by the View of now, and not by that in which it was opened."""
    of_watch: ClassVar[bool] = True
    """Whether its initials are those of the watch: preset, and kept for the next form."""
    can_focus = False

    def __init__(self, name: str) -> None:
        super().__init__(id=name, classes="form")
        self.view: View | None = None
        self.entered = False
        """Whether it was filled in and confirmed since it was opened."""
        self._asked: dict[str, str] | None = None
        """What the fields held when it asked; another Enter confirms only that."""
        self._asked_of: tuple[Entered, str] | None = None
        """What that meant then, and in words."""
        self._answered: dict[str, str] | None = None
        """What they held when the reply in sight was given."""
        self._at = 0
        """The field that has the keyboard."""
        self._words = {"reply": "", "hint": ""}
        """The reply and the hint, whole."""
        self._drawn: tuple[list[str], ...] = ()
        """Their rows as they stand on the screen."""
        self._least = FORM_ROWS

    def compose(self) -> ComposeResult:
        with Horizontal(classes="fields"):
            for name, label, cells in self.fields:
                yield Static(f" {label} ", markup=False, classes="label")
                field = Field(f"{self.id}_{name}", initials=name.endswith("by"))
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

    def typed(self, view: View, values: dict[str, str]) -> str:
        """Return what is said of the fields while they are typed; "" for nothing."""
        return ""

    def means_as_asked(self, entered: Entered, words: str, asked: tuple[Entered, str]) -> bool:
        """Return whether the fields still mean what was asked."""
        return words == asked[1]

    def effect(self, view: View, entered: Entered) -> str:
        """Return what would follow, shown before it is confirmed; "" for nothing to say."""
        return ""

    def open(self, view: View, by: str) -> None:
        """Show the form, filled in as far as known, and take the keyboard. While nobody has given initials at
        this console, those of who took over the watch last stand there."""
        self.view = view
        self.entered = False
        self._asked = self._answered = None
        initials = (by or safe(kept_by(view.watch.log)).strip()) if self.of_watch else ""
        start = {"by": initials[:MOST_INITIALS], **self.start_values(view)}
        for name, _label, _cells in self.fields:
            self._field(name).value = start.get(name, "")
        self._hint(self.hint(view))
        self._reply("")
        empty = [at for at, (name, _label, _cells) in enumerate(self.fields) if not start.get(name)]
        self._go_to(next(iter(empty), 0))

    def follow(self, view: View) -> None:
        """Take the View of now."""
        if self.follows and self.view is not None:
            self.view = view

    def press(self, key: Key) -> Outcome:
        """Do what a key does here, to its end; a key that only moves in the field is passed on to it."""
        if key.key == "enter":
            return self._entered()
        if key.key in ("tab", "shift+tab"):
            self._go_to((self._at + (1 if key.key == "tab" else -1)) % len(self.fields))
            return Taken()
        field = self._field(self.fields[self._at][0])
        if key.is_printable and key.character is not None:
            field.put(key.character)
            return Taken()
        if self.screen.focused is not field:
            self.screen.set_focus(field, scroll_visible=False)
        return Passed()

    def paste(self, text: str) -> None:
        """Take what is pasted whole, each line end as one blank."""
        self._field(self.fields[self._at][0]).put(_LINE_ENDS.sub(" ", text.strip("\r\n")))

    def _go_to(self, at: int) -> None:
        self._at = at
        self._field(self.fields[at][0]).take_keyboard()

    def tell_fault(self, part: str, fault: Exception) -> None:
        self.post_message(PartFailed(f"{self.id} {part}", fault))

    @property
    def by(self) -> str:
        """Return the initials of who fills it in, if it asks for them."""
        names = [name for name, _label, _cells in self.fields]
        return self._field("by").value.strip() if "by" in names else ""

    def _field(self, name: str) -> Field:
        return self.query_one(f"#{self.id}_{name}", Field)

    def _values(self) -> dict[str, str]:
        return {name: self._field(name).value for name, _label, _cells in self.fields}

    def _reply(self, text: str, *, wrong: bool = False) -> None:
        self.query_one(".reply", Static).set_class(wrong, "wrong")
        self._words["reply"] = text
        self.fit(self._least)

    def _hint(self, text: str) -> None:
        self._words["hint"] = text
        self.fit(self._least)

    def fit(self, least: int) -> None:
        """Be as high as reply and hint need, `least` rows at least: what is to be recorded is read whole
        before it is confirmed."""
        self._least = least
        width, height = self.screen.size
        most = max(height // 3, FORM_ROWS)
        rows = form_rows(self._words["reply"], self._words["hint"], width=width - 2, most=most - 1)
        high = max(1 + sum(map(len, rows)), least)
        if rows != self._drawn:
            self._drawn = rows
            for name, texts in zip((".reply", ".hint"), rows, strict=True):
                static = self.query_one(name, Static)
                static.update("\n".join(f" {text}" for text in texts))
                static.styles.height = len(texts)
        if self.styles.height is None or self.styles.height.value != high:
            self.styles.height = high

    @on(Input.Changed)
    @guarded
    def _typed(self) -> None:
        """Take back the reply to what was typed before. Comes late, after keys typed ahead."""
        if self._values() == self._answered:
            return
        if self._asked is not None and self.view is not None:
            self._hint(self.hint(self.view))
        self._asked = self._answered = None
        self._reply(self.typed(self.view, self._values()) if self.view is not None else "")

    def _entered(self) -> Outcome:
        if self.view is None:
            return Taken()
        values = self._answered = self._values()
        try:
            entered, words = self.read(self.view, values)
        except Refused as refusal:
            self._asked = None
            self._reply(f"Not done: {refusal}", wrong=True)
            return Taken()
        asked = self._asked_of if self._asked == values else None
        if self.asks_first and (asked is None or not self.means_as_asked(entered, words, asked)):
            self._asked, self._asked_of = values, (entered, words)
            changed = "" if asked is None else "It is another now. "
            will = will_words(entered, words, exercise=self.view.watch.exercise)
            self._reply(f"{changed}{will}", wrong=bool(changed))
            self._hint(self.effect(self.view, entered) or self.hint(self.view))
            return Taken()
        self.entered = True
        return FormDone(entered if asked is None else asked[0], words)
