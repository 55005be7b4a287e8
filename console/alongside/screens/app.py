"""The console as a Textual app: hands Pictures to the boards of the screen, and keys to the desk."""

import time
from collections.abc import Callable
from dataclasses import replace

from textual.app import ComposeResult
from textual.css.query import NoMatches
from textual.driver import Driver

from alongside.actions import Action, Silence
from alongside.actions.controls import KeepWatch, TryRecord
from alongside.alerts.deeds import SILENCE_S
from alongside.cycle.picture import Picture
from alongside.cycle.picture_of import blank_picture
from alongside.errors import AlongsideError
from alongside.reports.handover import kept_by
from alongside.reports.remarks.text import Remarks, counted_remarks, remarks_on
from alongside.runtime.desk import Desk
from alongside.runtime.freed_memory import give_back
from alongside.screens import pages
from alongside.screens.board import Board
from alongside.screens.commands import Command
from alongside.screens.ending import INTERRUPTED
from alongside.screens.guard import guarded, log
from alongside.screens.handed_in import HandedIn
from alongside.screens.incoming import Incoming
from alongside.screens.key_effects import REPLAY, acknowledgement, has_changed
from alongside.screens.keys import bindings
from alongside.screens.messages import Answered, PartFailed, PictureArrived, RemarksFound
from alongside.screens.open_form import LOOKS_ONLY
from alongside.screens.outcomes import FormDone, RoundDone, RowAccepted
from alongside.screens.palettes import PALETTES, theme_of
from alongside.screens.question import Question, answer_or_fault
from alongside.screens.remarks_page import found
from alongside.screens.round_form import tended_meanwhile, tended_words
from alongside.screens.sight import NOT_IN_SIGHT, Sight
from alongside.screens.view import View, chosen_alert, is_same, settled, stepped_back, turned_to
from alongside.screens.view_app import ViewApp
from alongside.stay.model import Stay
from alongside.wording.times import clock

BEAT_S = 0.5
"""Half a flash, and how often the screen looks at its own clock."""
FAULT_FOR_S = 60.0
"""How long a fault of the screen stays on it after it happened last."""
NOTICE_FOR_S = 60.0
"""How long the count of remarks stays after the start, unless their page is opened."""
TAKES_OVER = "Taking over the watch: reading the record"
REPLY_FOR_S = 6.0
"""How long a reply to a key stays."""


class ConsoleApp(ViewApp, inherit_bindings=False):
    """`now` is a clock in seconds for the pace of the screen; Pictures bring their own time."""

    TITLE = "alongside"
    CSS_PATH = "console.tcss"
    AUTO_FOCUS = None
    ENABLE_COMMAND_PALETTE = False
    ALLOW_SELECT = False
    BINDINGS = bindings()

    def __init__(
        self,
        desk: Desk,
        stay: Stay,
        palette: str = "day",
        now: Callable[[], float] = time.monotonic,
        driver: type[Driver] | None = None,
        look_through: Callable[[Stay], Remarks] = remarks_on,
        plain_letters: bool = False,
        notice: str = "",
    ) -> None:
        super().__init__(now, driver)
        for each in PALETTES.values():
            self.register_theme(theme_of(each))
        self.theme = palette
        self.desk = desk
        blank = blank_picture(stay)
        self.view = View(stay, PALETTES[palette], blank, blank, ascii=plain_letters, notice=notice)
        self.failure: AlongsideError | None = None
        """What kept the desk from starting."""
        self.interrupted = False
        self._boards: list[Board] = []
        """Every board, once all are mounted: to search for them costs more than to draw most of them."""
        self._incoming = Incoming(now())
        self._handed_in = HandedIn()
        self._sight = Sight()
        self._covered = False
        """A form covers the alerts, or did at the last beat: what is below it is drawn only later."""
        self._replied_at = self._failed_at = self._noticed_at = now()
        self._look_through, self._looked_through = look_through, False

    # From the watch to the screen

    def compose(self) -> ComposeResult:
        yield from pages.all_boards()

    def on_ready(self) -> None:
        self._boards = list(self.screen_stack[0].query(Board))

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
        self._incoming.sounder.hear(picture)
        self.post_message(PictureArrived(picture))

    @guarded
    def on_picture_arrived(self, message: PictureArrived) -> None:
        self._incoming.arrived(message.picture, self.now())
        self._incoming.sounder.ring(self._bell_after)
        view = self._incoming.shown_in(self.view, self.now())
        if not self._looked_through and message.picture.reading is None:
            self._looked_through = True
            self.run_worker(self._find_remarks, thread=True, group="remarks")
        if message.picture.keeping and view.reply == TAKES_OVER:
            view = replace(view, reply="")  # it has come to an end, and `keeping` says which
        settled = self._handed_in.heard(message.picture.acts)
        if settled:
            self.reply(view, settled)
        else:
            self._show_changed(view)

    def _find_remarks(self) -> None:
        """Look through the stay file in a thread of its own, once the first figures are there."""
        self.post_message(found(self._look_through, self.view.stay))

    @guarded
    def on_remarks_found(self, message: RemarksFound) -> None:
        count = len(message.remarks.remarks) if message.remarks else 0
        said = message.fault or (f"{counted_remarks(count)} on the stay file, page 5" if count else "")
        if self.view.part == "remarks":
            said = ""
        notice = "; ".join(each for each in (self.view.notice, said) if each)
        self._noticed_at = self.now() if said else self._noticed_at
        self.show(replace(self.view, remarks=message.remarks, remarks_fault=message.fault, notice=notice))

    def _bell_after(self, seconds: float) -> None:
        if seconds:
            self.set_timer(seconds, self.bell)
        else:
            self.bell()

    @guarded
    def beat(self) -> None:
        """Twice a second: flash, notice that no figures come, take back old replies, show what has waited."""
        now = self.now()
        covered, self._covered = self._covered, False
        before = self.not_left_alone(self.view)
        flashes = any(alert.flashes for alert in before.watch.alerts)
        view = replace(
            before,
            lit=flashes and int(now / BEAT_S) % 2 == 1,
            silent_s=self._incoming.silent_s(now),
            reply=before.reply if now - self._replied_at < REPLY_FOR_S else "",
            notice=before.notice if now - self._noticed_at < NOTICE_FOR_S else "",
            fault=before.fault if now - self._failed_at < FAULT_FOR_S else "",
        )
        if view.silent_s is not None:
            self._incoming.sounder.no_figures(now)
            self._incoming.sounder.ring(self._bell_after)
        view = self._incoming.shown_in(view, now)
        if covered:
            self.show(view)
        else:
            self._show_changed(view)

    def show(self, view: View) -> None:
        """Bring a View on the screen; only what changed in it is drawn and sent."""
        pending, overdue = self._handed_in.pending(self.now())
        self.view = view = settled(replace(view, pending=pending, overdue=overdue, form=self.form.name))
        if not self.screen_stack:
            return
        screen = self.screen_stack[0]
        try:
            pages.arrange(screen, view, self.form.name)
        except NoMatches:
            return  # the screen is not built yet, or is being taken down
        self.form.follow(screen, view)
        for board in self._boards or screen.query(Board):
            board.show(view)
        self._look(view)

    def _show_changed(self, view: View) -> None:
        """Bring a View on the screen if anything of it changed: drawing is most of what the console costs."""
        if self.view.pending or self.form.name or not is_same(view, self.view):
            self.show(view)
        else:
            self._look(view)

    def _look(self, view: View) -> None:
        """Note which alerts stand on the screen now."""
        self._covered = self._covered or bool(self.form.name)
        if self._covered:
            self._sight.covered(view.watch.alerts, chosen_alert(view), self.now())
        else:
            self._sight.look(pages.alerts_in_sight(self._boards, view), chosen_alert(view), self.now())

    @guarded
    def on_resize(self) -> None:
        """Draw all anew, even at the size of before: a window that went small and came back, or rows that
        were under way, left something else on the terminal."""
        self.show(self.view)
        self.action_repaint()

    def on_part_failed(self, message: PartFailed) -> None:
        self.tell_fault(message.part, message.fault)

    def tell_fault(self, part: str, fault: Exception) -> None:
        """Show a fault of the screen itself in the rule above the page, from now on."""
        self._failed_at = self.now()
        since = clock(self.view.watch.time, self.view.stay.display, "%H:%M:%S")
        words = f"Screen fault since {since} in {part}: {type(fault).__name__}, see the log"
        if not self.view.fault:
            self.call_later(self.show, replace(self.view, fault=words))

    # From the keys to the desk

    def unfrozen(self, view: View) -> View:
        return self._incoming.shown_in(view, self.now(), at_once=True)

    def reply(self, view: View, words: str) -> None:
        """Show what a key did."""
        self._replied_at = self.now()
        self.show(replace(view, reply=words))

    def _by(self) -> str:
        """Return the initials of who acts: of whoever took over the watch, else those typed last."""
        return kept_by(self.view.watch.log) or self.form.by

    def _hand_in(self, view: View, action: Action, words: str) -> None:
        """Hand the desk what the watch did, and say what becomes of it."""
        if self.view.watch.look_only:
            self.reply(view, LOOKS_ONLY)
            return
        self.desk.act(action)
        self._handed_in.add(words, self.now())
        self.show(replace(view, reply=""))

    @guarded
    def action_acknowledge(self) -> None:
        """Acknowledge the chosen alert, where it was in sight when the key was pressed."""
        view = self.view
        action, words = acknowledgement(view, self._by())
        alert = chosen_alert(view)
        if action is None or alert is None:
            self.reply(view, words)
            return
        if view.watch.look_only:
            self._hand_in(view, action, words)
            return
        why_not = self._sight.why_not(alert, self.pressed_at, by_hand=view.alert == alert.key)
        if why_not == NOT_IN_SIGHT and view.part != "alerts":
            self.reply(replace(turned_to(view, "alerts"), alert=alert.key), why_not)
        elif why_not:
            self.reply(view, why_not)
        elif action.by:
            self._hand_in(replace(view, alert=None), action, words)
        else:
            self.action_form("acknowledge_form")

    @guarded
    def action_silence(self) -> None:
        self._incoming.sounder.silence(self.now(), SILENCE_S)
        self._hand_in(self.view, Silence(self._by()), f"sound silenced for {SILENCE_S:.0f} s")

    @guarded
    def action_replay(self, name: str, step: int = 1) -> None:
        if self.view.watch.replay:
            self.desk.control(REPLAY[name](self.view, step))

    # Forms

    @guarded
    def action_form(self, name: str) -> None:
        """Open a form. To take over where nobody keeps the watch none is needed: it is done at once."""
        watch = self.view.watch
        if name == "take_over_form" and watch.unkept and watch.can_keep:
            self.desk.control(KeepWatch())
            self.reply(self.view, TAKES_OVER)
        else:
            super().action_form(name)

    @guarded
    def action_self_test(self) -> None:
        """Ring the bell once, let the record be tried, and ask what only a human can say."""
        self.action_form("self_test_form")
        if self.form.name == "self_test_form":
            self.desk.control(TryRecord())
            self.bell()

    def close_form(self) -> None:
        """Close the open form; the page of the self-test goes with its own."""
        leaves = self.form.name == "self_test_form" and self.view.part == "self_test"
        super().close_form()
        if leaves:
            self.show(stepped_back(self.view))

    async def form_done(self, done: FormDone) -> None:
        entered, before = done.entered, self.form.opened_on(self.screen_stack[0])
        self.close_form()
        if isinstance(entered, Question):
            self._ask(entered)
        elif isinstance(entered, Command):
            await self.run_action(entered.action)
        elif before and has_changed(entered, before, self.view):
            self.reply(self.view, "Not done: the alert has changed meanwhile")
        elif isinstance(entered, RowAccepted):
            for accept in entered.accepts:
                self._hand_in(self.view, accept, done.words)
        elif isinstance(entered, RoundDone):
            self._hand_in_round(entered, before)
        elif isinstance(entered, Action):
            self._hand_in(self.view, entered, done.words)
        else:
            self.desk.control(entered)
            self.reply(self.view, f"{done.words[0].upper()}{done.words[1:]}")

    def _hand_in_round(self, done: RoundDone, before: View | None) -> None:
        """Hand in each line of a round, unless one was tended since the form was opened."""
        if before is None or tended_meanwhile(done, before, self.view):
            self.reply(self.view, "Not done: a line of the round was tended meanwhile")
            return
        for tend in done.tends:
            self._hand_in(self.view, tend, tended_words(tend))

    def _ask(self, asked: Question) -> None:
        """Calculate the answer in a thread of its own, so that the screen goes on."""
        picture = self.view.watch
        self.show(replace(self.view, part="what_if", asked=asked, answer=None, scroll=0))

        def calculate() -> None:
            self.post_message(Answered(answer_or_fault(asked, picture)))
            give_back()

        self.run_worker(calculate, thread=True, group="what_if")

    @guarded
    def on_answered(self, message: Answered) -> None:
        """An answer to a question that is no longer asked is dropped."""
        if message.answer.question is self.view.asked:
            self.show(replace(self.view, answer=message.answer))

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
