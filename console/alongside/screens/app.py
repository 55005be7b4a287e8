"""The console: wires Pictures to the boards of the screen and keys to the desk."""

import time
from collections.abc import Callable, Iterable
from dataclasses import replace
from math import isnan

from textual.app import App, ComposeResult, SystemCommand
from textual.css.query import NoMatches
from textual.driver import Driver
from textual.screen import Screen

from alongside.actions import Action, Pause, Silence, Step, ToAlert, ToTend
from alongside.alerts.step import SILENCE_S
from alongside.cycle.picture import Picture
from alongside.cycle.picture_of import blank_picture
from alongside.errors import AlongsideError
from alongside.reports.handover import kept_by
from alongside.runtime.desk import Desk
from alongside.screens import key_effects, pages
from alongside.screens.board import Board
from alongside.screens.chart import other_hours, other_series
from alongside.screens.commands import system_commands
from alongside.screens.ending import INTERRUPTED, ended_by_signals
from alongside.screens.form import Form
from alongside.screens.guard import guarded, log
from alongside.screens.keys import bindings
from alongside.screens.messages import Answered, FormDone, FormLeft, PartFailed, PictureArrived, QuitConfirmed
from alongside.screens.palettes import PALETTES, next_palette, theme_of
from alongside.screens.question import Answer, Question, answered
from alongside.screens.quit_form import QuitForm
from alongside.screens.refresh_rate import EVERY_S, refreshed
from alongside.screens.sound import Sounder
from alongside.screens.view import Page, View, turned_to
from alongside.stay.model import Stay
from alongside.wording.times import clock

BEAT_S = 0.5
"""Half a flash, and how often the screen looks at its own clock."""
SILENT_AFTER_S = 10.0
"""Without a new Picture for so long the screen says that its figures are old."""
FAULT_FOR_S = 60.0
"""How long a fault of the screen is told after it happened last."""
LOOKS_ONLY = "Not done: this console only looks"
SAID_FOR_S = 6.0
"""How long a word back to the watch stays."""


class ConsoleApp(App[None], inherit_bindings=False):
    """`now` is a clock in seconds for the pace of the screen; Pictures bring their own time."""

    TITLE = "alongside"
    CSS_PATH = "console.tcss"
    AUTO_FOCUS = None
    BINDINGS = bindings()

    def __init__(
        self, desk: Desk, stay: Stay, palette: str = "day", now: Callable[[], float] = time.monotonic
    ) -> None:
        super().__init__(driver_class=_driver())
        for each in PALETTES.values():
            self.register_theme(theme_of(each))
        self.theme = palette
        self.desk = desk
        self.now = now
        blank = blank_picture(stay)
        self.view = View(stay, PALETTES[palette], blank, blank)
        self.form = ""
        """Id of the open form."""
        self.by = ""
        """Initials last given in a form."""
        self.failure: AlongsideError | None = None
        self.interrupted = False
        self._newest: Picture | None = None
        self._sounder = Sounder()
        self._heard_at = self._shown_at = self._said_at = self._failed_at = now()

    # From the watch to the screen

    def compose(self) -> ComposeResult:
        yield from pages.all_boards()

    def on_mount(self) -> None:
        self.set_interval(BEAT_S, self.beat)
        self.show(self.view)
        try:
            self.desk.start(self._deliver)
        except AlongsideError as error:
            self.failure = error
            self.exit(return_code=error.exit_status)
        if self.interrupted:
            self._end_interrupted()

    def _deliver(self, picture: Picture) -> None:
        """Called by the desk from a thread of its own."""
        self._sounder.hear(picture)
        self.post_message(PictureArrived(picture))

    @guarded
    def on_picture_arrived(self, message: PictureArrived) -> None:
        self._newest, self._heard_at = message.picture, self.now()
        self._sounder.ring(self._bell_after)
        self._take_in()

    def _bell_after(self, seconds: float) -> None:
        if seconds:
            self.set_timer(seconds, self.bell)
        else:
            self.bell()

    def _take_in(self) -> None:
        if self._newest is None:
            return
        due = self.now() - self._shown_at >= EVERY_S - BEAT_S / 2
        if due:
            self._shown_at = self.now()
        self.show(refreshed(self.view, self._newest, due))

    @guarded
    def beat(self) -> None:
        """Twice a second: flash, notice silence, take back what was said, show what has waited."""
        now = self.now()
        silent = now - self._heard_at
        stopped = self._newest is not None and self._newest.replay and self._newest.paused
        said = self.view.said if now - self._said_at < SAID_FOR_S else ""
        self.view = replace(
            self.view,
            lit=int(now / BEAT_S) % 2 == 1,
            silent_s=silent if silent >= SILENT_AFTER_S and not stopped else None,
            said=said,
            fault=self.view.fault if now - self._failed_at < FAULT_FOR_S else "",
        )
        if self.view.silent_s is not None:
            self._sounder.no_figures(now)
            self._sounder.ring(self._bell_after)
        if self._newest is None or self._newest is self.view.watch is self.view.figures:
            self.show(self.view)
        else:
            self._take_in()

    def show(self, view: View) -> None:
        """Bring a View on the screen; only what changed in it is drawn and sent."""
        self.view = view
        if not self.screen_stack:
            return
        screen = self.screen_stack[0]
        try:
            pages.arrange(screen, view, self.form)
        except NoMatches:
            return  # the screen is not built yet, or is being taken down
        for board in screen.query(Board):
            board.show(view)

    @guarded
    def on_resize(self) -> None:
        self.show(self.view)

    def on_part_failed(self, message: PartFailed) -> None:
        self.tell_fault(message.part, message.fault)

    def tell_fault(self, part: str, fault: Exception) -> None:
        """A fault of the screen itself: told on the rule above the page from then on."""
        self._failed_at = self.now()
        since = clock(self.view.watch.time, self.view.stay.display, "%H:%M:%S")
        told = f"Screen fault since {since} in {part}: {type(fault).__name__}, see the log"
        if not self.view.fault:
            self.call_later(self.show, replace(self.view, fault=told))

    # From the keys to the desk

    def say(self, view: View, words: str) -> None:
        self._said_at = self.now()
        self.show(replace(view, said=words))

    @guarded
    def _act(self, action: Action, words: str) -> None:
        self.say(replace(self.view, alert=None), self._hand_in(action, words))

    def _by(self) -> str:
        """Initials of who acts: those typed last, else of whoever took over the watch."""
        return self.by or kept_by(self.view.watch.log)

    def _hand_in(self, action: Action, words: str) -> str:
        """Hand the desk what the watch did; returns what to say to it."""
        self.desk.act(action)
        return LOOKS_ONLY if self.view.watch.look_only else words

    @guarded
    def action_acknowledge(self) -> None:
        deed, words = key_effects.acknowledgement(self.view, self._by())
        if deed is None:
            self.say(self.view, words)
        else:
            self._act(deed, words)

    @guarded
    def action_silence(self) -> None:
        self._sounder.silence(self.now(), SILENCE_S)
        self.say(self.view, self._hand_in(Silence(self._by()), "Sound silenced for 30 s"))

    @guarded
    def action_next_alert(self) -> None:
        self.show(key_effects.next_alert(self.view))

    @guarded
    def action_page(self, page: Page) -> None:
        """Turn to a page; the key of the open page leads back."""
        if self.form:
            return
        self.show(turned_to(self.view, page))

    @guarded
    def action_step_back(self) -> None:
        if self.form:
            self._close_form()
        else:
            self.show(turned_to(self.view, self.view.page))

    @guarded
    def action_move(self, step: int) -> None:
        if not self.form:
            self.show(pages.page_of(self.screen_stack[0], self.view).move(self.view, step))

    @guarded
    def action_series(self, step: int) -> None:
        self.show(other_series(self.view, step))

    @guarded
    def action_hours(self, step: int) -> None:
        self.show(other_hours(self.view, step))

    @guarded
    def action_order(self) -> None:
        self.show(replace(self.view, by_position=not self.view.by_position))

    @guarded
    def action_pause(self) -> None:
        """Freeze the figures or let them go on; alerts and advice are never frozen."""
        paused_at = self.view.figures.time if self.view.paused_at is None else None
        self.show(replace(self.view, paused_at=paused_at))
        if paused_at is None and self._newest is not None:
            self.show(refreshed(self.view, self._newest, due=True))

    @guarded
    def action_palette(self) -> None:
        palette = next_palette(self.view.palette.name)
        self.theme = palette.name
        self.say(replace(self.view, palette=palette), f"Colours: {palette.name}")

    @guarded
    def action_replay_stop(self) -> None:
        if self.view.watch.replay:
            self.desk.control(Pause(not self.view.watch.paused))

    @guarded
    def action_pace(self, step: int) -> None:
        if self.view.watch.replay:
            self.desk.control(key_effects.other_pace(self.view, step))

    @guarded
    def action_step(self) -> None:
        if self.view.watch.replay:
            self.desk.control(Step())

    @guarded
    def action_to_alert(self, way: int) -> None:
        if self.view.watch.replay:
            self.desk.control(ToAlert(way))

    @guarded
    def action_to_tend(self, way: int) -> None:
        if self.view.watch.replay:
            self.desk.control(ToTend(way))

    @guarded
    def action_take_over(self) -> None:
        """From the hand-over page only: who takes over has it before them."""
        if self.view.page == "handover":
            self._open_to_act("take_over_form")

    @guarded
    def action_tend(self) -> None:
        self._open_to_act("tend_form")

    @guarded
    def action_note(self) -> None:
        self._open_to_act("note_form")

    @guarded
    def action_seek(self) -> None:
        if self.view.watch.replay and isnan(self.view.watch.time):
            self.say(self.view, "Not yet: the log is being read")
        elif self.view.watch.replay:
            self._open_form("seek_form")

    @guarded
    def action_what_if(self) -> None:
        self._open_form("what_if_form")

    def _ask(self, asked: Question) -> None:
        """Reckon it in a thread of its own, so that the screen goes on."""
        stay, forecast = self.view.stay, self.view.watch.forecast
        if forecast is None:
            self.say(self.view, "Not answered: there is no forecast to ask of yet")
            return
        self.show(replace(self.view, page="what_if", asked=asked, answer=None, scroll=0))

        def reckon() -> None:
            try:
                self.post_message(Answered(answered(asked, stay, forecast)))
            except Exception as fault:  # guards the watch: a question that fails is told, the console goes on
                log.exception("what if: %s", asked.words)
                self.post_message(Answered(Answer(asked, None, f"it failed: {fault!r}, see the log")))

        self.run_worker(reckon, thread=True, group="what_if")

    @guarded
    def on_answered(self, message: Answered) -> None:
        """An answer to a question that is no longer asked is dropped."""
        if message.answer.question is self.view.asked:
            self.show(replace(self.view, answer=message.answer))

    @guarded
    def action_leave(self) -> None:
        self._open_form("quit_form")

    def _open_to_act(self, form: str) -> None:
        """Open a form that ends in an action, where one can be done at this console."""
        if self.view.watch.look_only:
            self.say(self.view, LOOKS_ONLY)
        else:
            self._open_form(form)

    def _open_form(self, form: str) -> None:
        self.form = form
        self.show(self.view)
        opened = self.screen_stack[0].get_widget_by_id(form)
        if isinstance(opened, Form | QuitForm):
            opened.open(self.view, self.by)

    def _close_form(self) -> None:
        self.form = ""
        self.screen_stack[0].set_focus(None)
        self.show(self.view)

    @guarded
    def on_form_done(self, message: FormDone) -> None:
        opened = self.screen_stack[0].get_widget_by_id(self.form) if self.form else None
        if isinstance(opened, Form) and opened.by:
            self.by = opened.by
        self._close_form()
        if isinstance(message.deed, Question):
            self._ask(message.deed)
            return
        words = f"{message.said[0].upper()}{message.said[1:]}"
        if isinstance(message.deed, Action):
            words = self._hand_in(message.deed, words)
        else:
            self.desk.control(message.deed)
        self.say(self.view, words)

    @guarded
    def on_form_left(self, message: FormLeft) -> None:
        self._close_form()

    def on_quit_confirmed(self, message: QuitConfirmed) -> None:
        self.exit(return_code=0)

    def get_system_commands(self, screen: Screen[object]) -> Iterable[SystemCommand]:
        def run(action: str) -> None:
            self.call_later(self.run_action, action)

        return system_commands(run, self.view.watch.replay)

    # The end

    def interrupt(self) -> None:
        """End in order, from any thread and from a signal handler."""
        self.interrupted = True
        if self._loop is not None:
            self._loop.call_soon_threadsafe(self._end_interrupted)

    def _end_interrupted(self) -> None:
        self.exit(return_code=INTERRUPTED)

    def terminal_gone(self) -> None:
        """The terminal takes no more output."""
        log.warning("the terminal is gone, the console ends")
        self.interrupt()


def _driver() -> type[Driver] | None:
    """Our driver where there is a POSIX terminal, Textual's own choice elsewhere."""
    try:
        from alongside.screens.terminal import TerminalDriver
    except ImportError:
        return None
    return TerminalDriver


def run_console(desk: Desk, stay: Stay, palette: str = "day") -> int:
    """Run the console on the terminal until the watch ends it; returns the exit status of the process.

    Raises what kept the desk from starting. The desk is stopped in every case.
    """
    app = ConsoleApp(desk, stay, palette)
    with ended_by_signals(app.interrupt, desk.stop):
        try:
            app.run(mouse=False)
        finally:
            desk.stop()
    if app.failure is not None:
        raise app.failure
    return INTERRUPTED if app.interrupted else (app.return_code or 0)
