"""The part of the app that changes what is in sight: pages and parts, scrolling, pausing, colours, mouse."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from textual import events
from textual.driver import Driver

from alongside.screens import pages
from alongside.screens.copied import text_to_copy
from alongside.screens.guard import guarded
from alongside.screens.idle import PAUSED_FOR_S, Idle
from alongside.screens.in_sight import followed
from alongside.screens.key_app import KeyApp
from alongside.screens.key_effects import LOOKS
from alongside.screens.messages import Clicked, Scrolled, ViewWritten
from alongside.screens.palettes import next_palette
from alongside.screens.parts import HOME, STATION, Part, next_part
from alongside.screens.terminal_mouse import switch_mouse
from alongside.screens.view import View, stepped_back, turned_to
from alongside.screens.view_files import free_place, written
from alongside.screens.view_svg import svg_of
from alongside.wording.safe import safe


class ViewApp(KeyApp, inherit_bindings=False):
    """What it changes is in the View alone: nothing here reaches the desk."""

    def __init__(self, now: Callable[[], float], driver: type[Driver] | None) -> None:
        super().__init__(now, driver)
        self._idle = Idle(now())
        self._paused_since = now()

    def unfrozen(self, view: View) -> View:
        """Return the View with the newest figures."""
        raise NotImplementedError

    async def on_event(self, event: events.Event) -> None:
        if isinstance(event, events.InputEvent):
            self._idle.used(self.now())
        await super().on_event(event)

    def not_left_alone(self, view: View) -> View:
        """Return the View that whoever comes shall find: home after a while without keys, and not frozen."""
        now = self.now()
        if self._idle.goes_home(view, self.form.name, now):
            view = turned_to(view, HOME)
        if view.paused_at is not None and now - self._paused_since >= PAUSED_FOR_S:
            view = self.unfrozen(replace(view, paused_at=None))
        return view

    @guarded
    def action_page(self, part: Part) -> None:
        """Turn to a part: the first of a page by its digit; the keys of manual and help lead back, too."""
        if not self.form.name and (part != STATION or self.view.watch.instructing is not None):
            self._turn(part)

    @guarded
    def action_follow(self) -> None:
        """Show what the trainee has in sight."""
        if self.view.watch.instructing is not None:
            self.show(followed(replace(self.view, follows=True)))

    @guarded
    def action_part(self, step: int) -> None:
        """Turn to the next part of the page, or the one before."""
        if not self.form.name:
            self._turn(next_part(self.view.part, self.view.behind, step))

    def _turn(self, part: Part) -> None:
        notice = "" if part == "remarks" else self.view.notice
        self.show(replace(turned_to(self.view, part), notice=notice, follows=False))

    @guarded
    def action_step_back(self) -> None:
        if self.form.name:
            self.close_form()
        else:
            self.show(replace(stepped_back(self.view), follows=False))

    @guarded
    def action_move(self, step: int) -> None:
        if not self.form.name:
            moved = pages.board_of(self.screen_stack[0], self.view).move(self.view, step)
            self.show(replace(moved, follows=False))

    @guarded
    def action_look(self, name: str, step: int = 1) -> None:
        """Change what is shown."""
        self.show(LOOKS[name](self.view, step))

    @guarded
    def action_pause(self) -> None:
        """Freeze the figures or let them go on; alerts and advice are never frozen."""
        self._paused_since = self.now()
        paused_at = self.view.figures.time if self.view.paused_at is None else None
        self.show(self.unfrozen(replace(self.view, paused_at=paused_at)))

    @guarded
    def action_palette(self) -> None:
        palette = next_palette(self.view.palette.name)
        self.theme = palette.name
        self.reply(replace(self.view, palette=palette), f"Colours: {palette.name}")

    # Out of the screen

    @guarded
    def action_copy(self) -> None:
        """Put alert and line into the terminal's clipboard, where it lets programs do that."""
        if text := text_to_copy(self.view):
            self.copy_to_clipboard(text)
            self.reply(self.view, f"Copied, where the terminal allows it: {text.splitlines()[1]}")
        else:
            self.reply(self.view, "Nothing to copy")

    @guarded
    def action_save_view(self) -> None:
        """Write what is in sight to two files in the present folder, in a thread of its own."""
        strips = self.screen._compositor.render_strips()
        rows = ["".join(each.text for each in row).rstrip() for row in strips]
        text, svg = "\n".join([*rows, ""]), svg_of(strips, safe(self.view.stay.ship.name))
        place = free_place(Path.cwd(), self.view.watch, self.view.part)

        def write() -> None:
            self.post_message(ViewWritten(written(place, svg, text)))

        self.run_worker(write, thread=True, group="view")

    @guarded
    def on_view_written(self, message: ViewWritten) -> None:
        self.reply(self.view, message.words)

    # The mouse

    @guarded
    def action_mouse(self) -> None:
        """Let the mouse choose, or leave it to the terminal, which selects text with it."""
        on = switch_mouse(self._driver)
        self.reply(self.view, "Mouse: chooses pages, lines, alerts" if on else "Mouse: left to the terminal")

    @guarded
    def on_clicked(self, message: Clicked) -> None:
        """Do what a click on a board means; an open form keeps the keyboard, and the part."""
        if not self.form.name:
            self.show(message.board.clicked(self.view, message.x, message.y))

    @guarded
    def on_scrolled(self, message: Scrolled) -> None:
        if not self.form.name:
            self.show(message.board.move(self.view, message.step))
