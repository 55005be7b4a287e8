"""Runs the console without a terminal and tells what stands on its screen."""

import os
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from pathlib import Path

from textual.pilot import Pilot
from textual.widgets import Input

from alongside.cycle.picture import Picture
from alongside.reports.remarks.text import Remarks
from alongside.screens.app import ConsoleApp
from alongside.screens.parts import OVER_ANY, PAGES, Part, page_of
from alongside.stay.model import Stay
from tests.screens.invented import Clock, FakeDesk, invented_stay

SNAPSHOTS = Path(__file__).parent / "snapshots"
RENEW = "ALONGSIDE_RENEW_SNAPSHOTS"
"""Environment variable: set to 1 to write the snapshots anew instead of comparing."""


def keys_to(part: Part) -> tuple[str, ...]:
    """The keys that lead to a part from anywhere."""
    if part in OVER_ANY:
        return ({"manual": "m", "help": "question_mark", "self_test": "c"}[part],)
    page = page_of(part)
    return str(list(PAGES).index(page) + 1), *["tab"] * PAGES[page][1].index(part)


class Shown:
    """A running console with its desk, its clock and what it shows."""

    def __init__(self, pilot: Pilot[None], app: ConsoleApp, desk: FakeDesk, clock: Clock) -> None:
        self.pilot, self.app, self.desk, self.clock = pilot, app, desk, clock

    async def press(self, *keys: str) -> None:
        await self.pilot.press(*keys)

    async def turn(self, part: Part) -> None:
        """Turn to a part: by the digit of its page, then by Tab."""
        await self.press(*keys_to(part))

    async def type(self, text: str) -> None:
        """Put text into the field that has the keyboard, quicker than key by key."""
        field = self.app.focused
        assert isinstance(field, Input)
        field.insert_text_at_cursor(text)
        await self.pilot.pause()

    async def deliver(self, picture: Picture) -> None:
        self.desk.deliver(picture)
        await self.pilot.pause()
        await self.pilot.pause()

    async def pass_time(self, seconds: float) -> None:
        """Move the clock on; the screen looks at it before and after."""
        self.app.beat()
        await self.pilot.pause()
        self.clock.seconds += seconds
        self.app.beat()
        await self.pilot.pause()

    @property
    def rows(self) -> list[str]:
        strips = self.app.screen._compositor.render_strips()
        return ["".join(segment.text for segment in strip).rstrip() for strip in strips]

    @property
    def text(self) -> str:
        return "\n".join(self.rows) + "\n"

    def styles_of(self, text: str) -> list[object]:
        """Styles of all segments that hold a text."""
        strips = self.app.screen._compositor.render_strips()
        return [segment.style for strip in strips for segment in strip if text in segment.text]


def nothing_odd(_stay: Stay) -> Remarks:
    return Remarks((), ())


@asynccontextmanager
async def console(
    *pictures: Picture,
    size: tuple[int, int] = (80, 24),
    palette: str = "day",
    look_through: Callable[[Stay], Remarks] = nothing_odd,
    plain_letters: bool = False,
) -> AsyncIterator[Shown]:
    """A console that has been given these Pictures; its clock stands still. The invented stay would be
    remarked on, at a moment that no test could know."""
    clock, desk = Clock(), FakeDesk(*pictures)
    stay = pictures[0].stay if pictures else invented_stay()
    app = ConsoleApp(desk, stay, palette, now=clock, look_through=look_through, plain_letters=plain_letters)
    async with app.run_test(size=size) as pilot:
        shown = Shown(pilot, app, desk, clock)
        await pilot.pause()
        await pilot.pause()
        yield shown


def check_snapshot(name: str, text: str) -> None:
    """Compare with the stored text, row by row; write it where RENEW is set."""
    path = SNAPSHOTS / f"{name}.txt"
    if os.environ.get(RENEW) == "1":
        path.parent.mkdir(exist_ok=True)
        path.write_text(text, encoding="utf-8")
        return
    stored = path.read_text(encoding="utf-8").splitlines()
    shown = text.splitlines()
    differing = [
        f"row {row}:\n  stored {old!r}\n  shown  {new!r}"
        for row, (old, new) in enumerate(zip(stored, shown, strict=False))
        if old != new
    ]
    assert len(stored) == len(shown), f"{name}: {len(shown)} rows, stored {len(stored)}"
    assert not differing, f"{name} (set {RENEW}=1 to renew):\n" + "\n".join(differing)
