"""Runs the look-only page: a desk that looks, a server, and an end in order."""

import asyncio
import signal
import socket
from collections.abc import Callable, Mapping
from contextlib import suppress
from typing import Final

from alongside.cycle.picture import Picture
from alongside.runtime.look_only import LookDesk
from alongside.runtime.newest_parts import NewestParts, Parts
from alongside.runtime.page_door import Door
from alongside.runtime.page_server import PageServer

ENDING: Final = tuple(
    getattr(signal, name) for name in ("SIGINT", "SIGTERM", "SIGHUP") if hasattr(signal, name)
)


def serve_page(
    desk: LookDesk,
    listening: socket.socket,
    door: Door,
    files: Mapping[str, tuple[str, bytes]],
    parts_of: Callable[[Picture], Parts],
) -> None:
    """Serve what the desk looks at until a signal ends it; then readers are let go, and the desk stops."""
    try:
        asyncio.run(_serve(desk, listening, door, files, parts_of))
    finally:
        listening.close()
        desk.stop()


async def _serve(
    desk: LookDesk,
    listening: socket.socket,
    door: Door,
    files: Mapping[str, tuple[str, bytes]],
    parts_of: Callable[[Picture], Parts],
) -> None:
    newest = NewestParts(parts_of)
    end = asyncio.Event()
    loop = asyncio.get_running_loop()
    for number in ENDING:
        if signal.getsignal(number) is not signal.SIG_IGN:  # one that was ignored stays so (nohup)
            with suppress(NotImplementedError):  # Windows: there it interrupts
                loop.add_signal_handler(number, end.set)
    desk.start(newest.post)
    await PageServer(files, newest, door).serve(listening, end)
