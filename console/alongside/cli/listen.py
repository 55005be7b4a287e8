"""`alongside listen`: what each feed of a stay really says, before a watch relies on it."""

import argparse
import sys
import time
from collections.abc import Sequence
from queue import Empty, SimpleQueue
from typing import Final

from alongside.cli.arguments import add_stay, positive
from alongside.errors import FeedUnavailable
from alongside.feeds.listen import Listening, table
from alongside.runtime.feed_thread import FeedThread
from alongside.stay.model import Stay
from alongside.stay.read import read_stay
from alongside.wording.safe import safe

SHOW_EVERY_S: Final = 2.0
OPEN_WITHIN_S: Final = 3.0
CLEAR: Final = "\x1b[H\x1b[J"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    add_stay(parser)
    stops = "stop after so long (default: Ctrl-C)"
    parser.add_argument("--seconds", type=positive, metavar="S", help=stops)


def run(options: argparse.Namespace) -> int:
    return listen(read_stay(options.stay), seconds=options.seconds)


def listen(stay: Stay, seconds: float | None = None) -> int:
    """Listen until interrupted, or for so many seconds, and print what came; on a terminal it is shown anew
    every two seconds. Raises FeedUnavailable when not one port opens within three seconds, and at the end for
    ports that never did."""
    lines: SimpleQueue[tuple[float, str, bytes]] = SimpleQueue()
    readers = [FeedThread(feed, lambda at, feed, line: lines.put((at, feed, line))) for feed in stay.feeds]
    listening = Listening(stay)
    for reader in readers:
        reader.start()
    begun = time.monotonic()
    ends = float("inf") if seconds is None else begun + seconds
    shown = begun
    opened: set[str] = set()
    try:
        while time.monotonic() < ends:
            _hear(listening, lines)
            opened |= {reader.feed for reader in readers if reader.status.open}
            if not opened and time.monotonic() > begun + min(OPEN_WITHIN_S, seconds or OPEN_WITHIN_S):
                raise FeedUnavailable(
                    "\n".join(_state_of_port(reader) for reader in readers) or "no feeds in the stay file"
                )
            if sys.stdout.isatty() and time.monotonic() - shown >= SHOW_EVERY_S:
                shown = time.monotonic()
                print(CLEAR + _page(listening, readers), flush=True)
    finally:
        page = _page(listening, readers)
        for reader in readers:
            reader.stop()
        if opened:
            print((CLEAR if sys.stdout.isatty() else "") + page)
    never = [reader.feed for reader in readers if reader.feed not in opened]
    if never:
        raise FeedUnavailable(f"never opened: {', '.join(never)}")
    return 0


def _hear(listening: Listening, lines: "SimpleQueue[tuple[float, str, bytes]]") -> None:
    """Take what comes within a fifth of a second."""
    until = time.monotonic() + 0.2
    while (left := until - time.monotonic()) > 0.0:
        try:
            listening.hear(*lines.get(timeout=left))
        except Empty:
            return


def _page(listening: Listening, readers: Sequence[FeedThread]) -> str:
    closed = [
        _state_of_port(reader)
        for reader in readers
        if not reader.status.open and reader.status.note != "stopped"
    ]
    text = "\n".join([table(listening, time.time()), *closed])
    return "\n".join(safe(line) for line in text.split("\n"))


def _state_of_port(reader: FeedThread) -> str:
    return f"{reader.feed}: {reader.status.note}"
