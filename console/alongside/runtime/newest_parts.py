"""The newest Picture for all who look, part by part, and what each of them has not had yet."""

import asyncio
import time
from collections.abc import Callable, Mapping
from math import isnan

from alongside.cycle.picture import Picture

Parts = Mapping[str, str]
"""JSON texts of one row each, by name."""


class NewestParts:
    """Keeps one Picture, the newest: whoever is slow misses those between. It becomes text for who looks.

    `post` may be called from any thread, all else in the loop's own.
    """

    def __init__(self, parts_of: Callable[[Picture], Parts]) -> None:
        self._parts_of = parts_of
        self._loop = asyncio.get_running_loop()
        self._come = asyncio.Event()
        self._newest: Picture | None = None
        self._shown: Picture | None = None
        self._parts: Parts = {}
        self._time = float("nan")
        self._new_at: float | None = None
        self.count = 0

    def post(self, picture: Picture) -> None:
        """Take a Picture; nothing happens once the loop has ended."""
        self._newest = picture
        try:
            self._loop.call_soon_threadsafe(self._take)
        except RuntimeError:
            self._newest = None

    def _take(self) -> None:
        picture = self._newest
        if picture is None or picture is self._shown:
            return
        # The first instant may be of long ago: only one that follows another says that somebody keeps watch.
        if not isnan(picture.time) and picture.time != self._time:
            if not isnan(self._time):
                self._new_at = time.monotonic()
            self._time = picture.time
        self._shown, self._parts = picture, {}
        self.count += 1
        come, self._come = self._come, asyncio.Event()
        come.set()

    async def after(self, count: int) -> None:
        """Return when more Pictures than so many have come."""
        while self.count <= count:
            await self._come.wait()

    def event(self, had: dict[str, str]) -> bytes:
        """Return the newest as a server-sent event, without the parts that a reader `had` already, which are
        put right; `age_s` is how old its instant is, null where that is not known, `sent_s` a clock of the
        sender's own."""
        if self._shown is not None and not self._parts:
            self._parts = self._parts_of(self._shown)
        changed = [name for name, text in self._parts.items() if had.get(name) != text]
        had |= self._parts
        now = time.monotonic()
        age = "null" if self._new_at is None else f"{now - self._new_at:.2f}"
        parts = ",".join(f'"{name}":{self._parts[name]}' for name in changed if name != "format")
        form = self._parts.get("format", "null")
        text = f'{{"format":{form},"age_s":{age},"sent_s":{now:.3f},"parts":{{{parts}}}}}'
        return f"data: {text}\n\n".encode()
