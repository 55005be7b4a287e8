"""The part of the app that takes keys: each is handled to its end, with the form that it opens or closes."""

import time
from collections.abc import Callable, Sequence
from typing import Any

from rich.console import RenderableType
from textual._compositor import CompositorUpdate
from textual.app import App
from textual.driver import Driver
from textual.events import Event, Key, Paste
from textual.filter import LineFilter
from textual.screen import Screen

from alongside.screens.guard import guarded, log
from alongside.screens.open_form import OpenForm, part_for, why_closed
from alongside.screens.outcomes import FormDone, FormLeft, Passed, QuitConfirmed
from alongside.screens.plain_letters import with_plain_letters
from alongside.screens.view import View, turned_to
from alongside.screens.written_rows import WrittenRows


class ConsoleScreen(Screen[None], inherit_bindings=False):
    """The one screen: its keys are those of the app alone. Textual's own would take Tab."""


class KeyApp(App[None], inherit_bindings=False):
    """`view` is what is shown, `now` a clock in seconds."""

    view: View

    def __init__(self, now: Callable[[], float], driver: type[Driver] | None) -> None:
        super().__init__(driver_class=driver)
        self.now = now
        self.form = OpenForm()
        self._written = WrittenRows()
        self.pressed_at = now()
        """When the key at work was pressed, by `now`."""

    def get_line_filters(self) -> Sequence[LineFilter]:
        return with_plain_letters(super().get_line_filters(), self.view.ascii)

    def get_default_screen(self) -> Screen[None]:
        return ConsoleScreen(id="_default")

    def _display(self, screen: Screen[Any], renderable: RenderableType | None) -> None:
        """Send the terminal only the rows that changed."""
        to_send = not self.is_headless and not self._batch_count and self._running
        if to_send and isinstance(renderable, CompositorUpdate):
            renderable = self._written.changed(renderable, screen._compositor)
        super()._display(screen, renderable)

    def action_repaint(self) -> None:
        """Send the whole screen again, whatever else has written on the terminal."""
        self._written.forget()
        self.refresh(layout=True)

    def show(self, view: View) -> None:
        """Bring a View on the screen."""
        raise NotImplementedError

    def reply(self, view: View, words: str) -> None:
        """Show what a key did."""
        raise NotImplementedError

    def tell_fault(self, part: str, fault: Exception) -> None:
        """Show a fault of the screen itself."""
        raise NotImplementedError

    async def form_done(self, done: FormDone) -> None:
        """Close the form and do what was entered."""
        raise NotImplementedError

    async def on_event(self, event: Event) -> None:
        """Handle a key to its end, with the form that it opens or closes, before the next one is looked at.

        By Textual's own way a key goes through the queues of several widgets and back, and those typed ahead
        still go to where the keyboard was: letters of a note became commands.
        """
        if not isinstance(event, Key | Paste) or event.is_forwarded:
            await super().on_event(event)
            return
        try:
            self.app_focus = True
            await self._typed(event)
        except Exception as fault:  # guards the watch: a key that fails must not end it
            log.exception("%r failed", event)
            self.tell_fault(f"{self.form.name or 'a key'}", fault)

    async def _typed(self, event: Key | Paste) -> None:
        screen = self.screen_stack[0]
        self.pressed_at = self.now() - max(0.0, time.monotonic() - event.time)
        if isinstance(event, Paste):
            self.form.paste(screen, event.text)
            return
        outcome = self.form.press(screen, event)
        if isinstance(outcome, Passed):
            bound = screen.active_bindings.get(event.key)
            if bound is not None:
                await self.run_action(bound.binding.action, bound.node)
        elif isinstance(outcome, FormDone):
            await self.form_done(outcome)
        elif isinstance(outcome, FormLeft):
            self.close_form()
        elif isinstance(outcome, QuitConfirmed):
            self.exit(return_code=0)

    @guarded
    def action_form(self, name: str) -> None:
        """Open a form, or reply why it cannot be opened."""
        why_not = why_closed(name, self.view)
        if why_not is None:
            self.form.name = name
            part = part_for(name, self.view.part)
            self.show(self.view if part == self.view.part else turned_to(self.view, part))
            self.form.open(self.screen_stack[0], self.view)
        elif why_not:
            self.reply(self.view, why_not)

    def close_form(self) -> None:
        """Close the open form, and give the keyboard back."""
        self.form.close(self.screen_stack[0])
        self.show(self.view)
