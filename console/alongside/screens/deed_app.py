"""The part of the app that leads from keys to the desk: what the watch does, with the forms that ask for it,
is handed in, and what becomes of it is said."""

from collections.abc import Callable
from dataclasses import replace

from textual.driver import Driver

from alongside.actions import Action, Silence
from alongside.actions.controls import KeepWatch, TryRecord
from alongside.alerts.deeds import SILENCE_S
from alongside.reports.handover import kept_by
from alongside.runtime.desk import Desk
from alongside.runtime.freed_memory import give_back
from alongside.screens.commands import Command
from alongside.screens.guard import guarded
from alongside.screens.handed_in import HandedIn
from alongside.screens.incoming import Incoming
from alongside.screens.key_effects import REPLAY, acknowledgement, has_changed
from alongside.screens.messages import Answered
from alongside.screens.open_form import LOOKS_ONLY
from alongside.screens.outcomes import FormDone, RoundDone, Several
from alongside.screens.question import Question, answer_or_fault
from alongside.screens.round_form import tended_meanwhile, tended_words
from alongside.screens.sight import NOT_IN_SIGHT, Sight
from alongside.screens.view import View, chosen_alert, stepped_back, turned_to
from alongside.screens.view_app import ViewApp
from alongside.wording.names import IN_EXAM

TAKES_OVER = "Taking over the watch: reading the record"


class DeedApp(ViewApp, inherit_bindings=False):
    """Every deed goes through `_hand_in`: a console that looks only does none of them."""

    desk: Desk

    def __init__(self, now: Callable[[], float], driver: type[Driver] | None) -> None:
        super().__init__(now, driver)
        self._incoming = Incoming(now())
        self._handed_in = HandedIn()
        self._sight = Sight()
        self._replied_at = now()

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
            if self.view.watch.exam:
                self.reply(self.view, IN_EXAM)

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
        elif isinstance(entered, Several):
            for deed in entered.deeds:
                self._hand_in(self.view, deed, done.words)
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
