"""The form of `alongside new`: question, answer and help on the left, plan and section as they grow on the
right."""

from collections.abc import Sequence
from functools import partial
from pathlib import Path
from typing import Final

from textual import events
from textual.app import App, ComposeResult
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.driver import Driver
from textual.filter import LineFilter
from textual.message import Message
from textual.widgets import Static

from alongside.errors import AlongsideError
from alongside.reports.new_stay.doubted import given_by, question_words
from alongside.reports.new_stay.drawing import Drawn, drawn
from alongside.reports.new_stay.entry import At, Entry, back, count, forward, standing
from alongside.reports.new_stay.kept import keep
from alongside.reports.new_stay.taken import taken
from alongside.reports.new_stay.texts import Files
from alongside.reports.new_stay.trials import doubts, final_faults, matters, open_remarks
from alongside.reports.new_stay.values import Refused
from alongside.reports.new_stay.words import prompt_words
from alongside.reports.new_stay.written import files_to_write, write_files
from alongside.screens.ending import INTERRUPTED
from alongside.screens.form import Field
from alongside.screens.guard import log
from alongside.screens.new_stay_drawing import plan_text, section_text
from alongside.screens.new_stay_words import files_text, question_text
from alongside.screens.palettes import PALETTES, theme_of
from alongside.screens.plain_letters import with_plain_letters
from alongside.wording.safe import safe

KEYS: Final = "Enter takes   ↑ back   ↓ forward   PgUp PgDn scroll   Esc stops, all kept"
PLAN_SHARE: Final = 0.6
"""Of the rows beside the question, once there is a section too."""


class Known(Message):
    """What was worked out of an entry: how much its question matters, what can hardly be meant of the answer
    before, and which prompts that one filled."""

    def __init__(self, entry: Entry, matter: str, doubt: str, doubted: tuple[At, ...] = ()) -> None:
        super().__init__()
        self.entry, self.matter, self.doubt, self.doubted = entry, matter, doubt, doubted


class NewStayApp(App[None], inherit_bindings=False):
    """Puts the questions of one entry until its files are written, or it is stopped."""

    TITLE = "alongside new"
    CSS_PATH = "new_stay.tcss"
    AUTO_FOCUS = None
    ENABLE_COMMAND_PALETTE = False

    def __init__(
        self,
        stay: Path,
        entry: Entry,
        palette: str = "day",
        driver: type[Driver] | None = None,
        plain_letters: bool = False,
    ) -> None:
        super().__init__(driver_class=driver)
        for each in PALETTES.values():
            self.register_theme(theme_of(each))
        self.theme = palette
        self.palette = PALETTES[palette]
        self.stay, self.entry = stay, entry
        self.plain_letters = plain_letters
        self.written = False
        self.failure: AlongsideError | None = None
        self.interrupted = False
        self._files: Files | None = None
        self._what: Drawn | None = None
        self._doubted: tuple[At, ...] = ()
        self._odd: tuple[str, ...] = ()

    def get_line_filters(self) -> Sequence[LineFilter]:
        return with_plain_letters(super().get_line_filters(), self.plain_letters)

    def compose(self) -> ComposeResult:
        with Horizontal(id="new_body"):
            with VerticalScroll(id="new_left", can_focus=False):
                yield Static("", id="new_question", markup=False)
            with Vertical(id="new_right"):
                yield Static("", id="new_plan", markup=False)
                yield Static("", id="new_section", markup=False)
        yield Static("", id="new_reply", markup=False)
        with Horizontal(id="new_row"):
            yield Static("", id="new_prompt", markup=False)
            yield Field("new_answer", initials=False)
        yield Static(KEYS, id="new_keys", markup=False)

    def on_mount(self) -> None:
        self._show()

    def on_resize(self) -> None:
        self.call_after_refresh(self._draw)

    # --- keys

    async def on_event(self, event: events.Event) -> None:
        """Handle a key to its end before the next one is looked at, as the console does: keys typed ahead
        belong to the question that stands when they are looked at."""
        if isinstance(event, events.Paste) and not event.is_forwarded:
            self._field.put(" ".join(event.text.split()))
        elif isinstance(event, events.Key) and not event.is_forwarded:
            await self._pressed(event)
        else:
            await super().on_event(event)

    async def _pressed(self, event: events.Key) -> None:
        try:
            match event.key:
                case "enter":
                    self._enter(self._field.value)
                case "up" | "down":
                    self._go(back(self.entry) if event.key == "up" else forward(self.entry))
                case "pageup" | "pagedown":
                    left = self.query_one("#new_left", VerticalScroll)
                    left.scroll_relative(y=-8 if event.key == "pageup" else 8, animate=False)
                case "escape":
                    self._stop()
                case _ if event.is_printable and event.character is not None:
                    self._field.put(event.character)
                case _:
                    bound = self.screen.active_bindings.get(event.key)
                    if bound is not None:
                        await self.run_action(bound.binding.action, bound.node)
        except AlongsideError as failure:
            self.failure = failure
            self.exit()
        except Exception as fault:  # guards what was answered: a key that fails must not end the form
            log.exception("%r failed", event)
            self._reply(f"Failed: {fault!r}", wrong=True)

    def interrupt(self) -> None:
        """End the form, as by a signal."""
        self.interrupted = True
        self.exit(return_code=INTERRUPTED)

    def terminal_gone(self) -> None:
        """The terminal gives and takes nothing any more."""
        log.warning("the terminal is gone, the form ends")
        self.interrupt()

    def action_repaint(self) -> None:
        """Send the whole screen again: the process was stopped meanwhile, or its terminal hangs up."""
        self.refresh(layout=True)

    @property
    def _field(self) -> Field:
        return self.query_one("#new_answer", Field)

    def _enter(self, text: str) -> None:
        here = standing(self.entry)
        if here.at is None:
            self._write(text)
            return
        before = self.entry
        try:
            self.entry = taken(before, text, self.stay, self._doubted)
        except Refused as refusal:
            self._reply(f"Not taken: {refusal}", wrong=True)
            return
        self._doubted = ()
        self._reply("")
        self._show(before)

    def _go(self, entry: Entry) -> None:
        self.entry = entry
        keep(entry, self.stay)
        self._reply("")
        self._show()

    def _write(self, text: str) -> None:
        if self._files is None:
            self._reply("Not written: go back with ↑ and answer otherwise", wrong=True)
            return
        if self._odd and text.strip().lower() != "y":
            self._reply(f"Is it so? {self._odd[0]}  (y and Enter writes it so, ↑ goes back)", wrong=True)
            return
        write_files(self._files, self.stay.parent)
        self.written = True
        self.exit()

    def _stop(self) -> None:
        keep(self.entry, self.stay)
        self.exit()

    # --- what is shown

    def _show(self, before: Entry | None = None) -> None:
        """Show the prompt that stands; `before` is the entry before an answer was given."""
        here = standing(self.entry)
        field = self._field
        field.value = here.typed or ""
        field.take_keyboard()
        self.query_one("#new_prompt", Static).update(f" {prompt_words(here) or 'Enter writes'}> ")
        if here.refusal:
            self._reply(f"No longer fits: {here.refusal}", wrong=True)
        self._text(None)
        self.query_one("#new_left", VerticalScroll).scroll_home(animate=False)
        self._what = drawn(self.entry, self.stay)
        self.call_after_refresh(self._draw)
        if here.at is not None:
            work = partial(self._work_out, self.entry, before)
            self.run_worker(work, thread=True, exclusive=True, group="matters")

    def _text(self, matter: str | None) -> None:
        here, answers = standing(self.entry), count(self.entry)
        question = self.query_one("#new_question", Static)
        if here.at is not None:
            question.update(question_text(here, matter, answers, self.palette))
            return
        faults = list(final_faults(here.sheet, self.stay))
        self._files = None if faults else files_to_write(self.entry, self.stay)
        self._odd = () if faults else open_remarks(here.sheet, self.stay)
        question.update(files_text(self._files, faults, self._odd, answers, self.palette))

    def _work_out(self, entry: Entry, before: Entry | None) -> None:
        """Post how much the question matters, and what is odd of the answer before; in a thread of its
        own."""
        try:
            odd = doubts(before, entry, self.stay) if before is not None else ()
            doubted = given_by(before, entry) if before is not None and odd else ()
            words = question_words(odd[0], doubted[0].question, "↑") if doubted else ""
            self.post_message(Known(entry, matters(entry, self.stay), words, doubted))
        except Exception:  # guards the form: it goes on without these words
            log.exception("what matters failed")
            self.post_message(Known(entry, "could not be worked out, see the log", ""))

    def on_known(self, known: Known) -> None:
        if known.entry is not self.entry:
            return
        self._text(known.matter)
        if known.doubt and not self._replied:
            self._doubted = known.doubted
            self._reply(known.doubt)

    _replied = False

    def _reply(self, words: str, *, wrong: bool = False) -> None:
        self._replied = bool(words)
        reply = self.query_one("#new_reply", Static)
        reply.set_class(wrong, "wrong")
        reply.update(f" {safe(words)}")

    def _draw(self) -> None:
        """Draw plan and section into the room that they have."""
        right = self.query_one("#new_right", Vertical).size
        has_section = self._what is not None and self._what.present is not None
        upper = int(right.height * PLAN_SHARE) if has_section else right.height
        plan, section = self.query_one("#new_plan", Static), self.query_one("#new_section", Static)
        plan.styles.height = upper
        plan.update(plan_text(self._what, right.width, upper, self.palette))
        section.update(section_text(self._what, right.width, right.height - upper, self.palette))
