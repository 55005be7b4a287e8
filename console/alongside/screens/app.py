"""The console as a Textual app: hands Pictures to the boards of the screen."""

import time
from collections.abc import Callable
from dataclasses import replace

from textual.app import ComposeResult
from textual.css.query import NoMatches
from textual.driver import Driver

from alongside.actions.controls import InSight
from alongside.cycle.picture import Picture
from alongside.cycle.picture_of import blank_picture
from alongside.errors import AlongsideError
from alongside.reports.remarks.text import Remarks, counted_remarks, remarks_on
from alongside.runtime.desk import Desk
from alongside.screens import pages
from alongside.screens.board import Board
from alongside.screens.deed_app import TAKES_OVER, DeedApp
from alongside.screens.ending import INTERRUPTED
from alongside.screens.guard import guarded, log
from alongside.screens.in_sight import followed, in_sight
from alongside.screens.keys import bindings
from alongside.screens.messages import PartFailed, PictureArrived, RemarksFound
from alongside.screens.palettes import PALETTES, theme_of
from alongside.screens.remarks_page import found
from alongside.screens.view import View, chosen_alert, is_same, settled
from alongside.stay.model import Stay
from alongside.wording.times import clock

BEAT_S = 0.5
"""Half a flash, and how often the screen looks at its own clock."""
FAULT_FOR_S = 60.0
"""How long a fault of the screen stays on it after it happened last."""
NOTICE_FOR_S = 60.0
"""How long the count of remarks stays after the start, unless their page is opened."""
REPLY_FOR_S = 6.0
"""How long a reply to a key stays."""


class ConsoleApp(DeedApp, inherit_bindings=False):
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
        self._covered = False
        """A form covers the alerts, or did at the last beat: what is below it is drawn only later."""
        self._failed_at = self._noticed_at = now()
        self._told: InSight | None = None
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
        view = followed(self._incoming.shown_in(self.view, self.now()))
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
        if view.watch.stationed:
            self._tell_instructor(view)

    def _tell_instructor(self, view: View) -> None:
        """Tell the desk what is in sight, for an instructor's console to show the same."""
        size = self.screen_stack[0].size
        told = in_sight(view, self.form.name, (size.width, size.height))
        if told != self._told:
            self._told = told
            self.desk.control(told)

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

    def unfrozen(self, view: View) -> View:
        return self._incoming.shown_in(view, self.now(), at_once=True)

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
