"""`alongside listen`: what each feed of a stay really says, before a watch relies on it."""

import argparse
import sys
import time
from collections.abc import Sequence
from pathlib import Path
from typing import Final

from alongside.alerts.feed_senders import caution_words
from alongside.cli.arguments import add_stay, positive
from alongside.errors import FeedUnavailable
from alongside.feeds.listen import Listening, table
from alongside.readings import FeedNews
from alongside.runtime.feed_thread import FeedThread, lines_of, stop_all
from alongside.stay.model import Stay
from alongside.stay.read import read_stay
from alongside.wording.names import not_taken
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
    """Listen until interrupted, for so many seconds, or until all that is read has ended, and print what
    came; on a terminal it is shown anew every two seconds. Raises FeedUnavailable when not one port opens
    within three seconds, and at the end for ports that never did."""
    readers = [FeedThread(feed, Path(stay.file)) for feed in stay.feeds]
    listening = Listening(stay)
    for reader in readers:
        reader.start()
    begun = time.monotonic()
    ends = float("inf") if seconds is None else begun + seconds
    shown = begun
    opened: set[str] = set()
    try:
        while time.monotonic() < ends:
            _hear(listening, readers)
            opened |= {reader.feed for reader in readers if reader.status.open or reader.status.ended}
            if readers and all(reader.status.ended and not reader.inbox.wait(0.0) for reader in readers):
                break
            if not opened and time.monotonic() > begun + min(OPEN_WITHIN_S, seconds or OPEN_WITHIN_S):
                ports = [_state_of_port(reader) for reader in readers]
                raise FeedUnavailable(*(ports or ["no feeds in the stay file"]))
            if sys.stdout.isatty() and time.monotonic() - shown >= SHOW_EVERY_S:
                shown = time.monotonic()
                print(CLEAR + _page(listening, readers), flush=True)
    finally:
        page = _page(listening, readers)
        stop_all(readers)
        if opened:
            print((CLEAR if sys.stdout.isatty() else "") + page)
    never = [reader.feed for reader in readers if reader.feed not in opened]
    if never:
        raise FeedUnavailable(f"never opened: {', '.join(never)}")
    return 0


def _hear(listening: Listening, readers: Sequence[FeedThread]) -> None:
    """Take what comes within a fifth of a second."""
    until = time.monotonic() + 0.2
    for reader in readers:
        reader.inbox.wait(max(0.0, until - time.monotonic()))
    for line in lines_of(readers):
        listening.hear(line.time, line.feed, line.line, line.sender)
    time.sleep(max(0.0, until - time.monotonic()))


def _page(listening: Listening, readers: Sequence[FeedThread]) -> str:
    closed = [
        _state_of_port(reader)
        for reader in readers
        if not reader.status.open and reader.status.note != "stopped"
    ]
    now = time.time()
    said = [line for reader in readers for line in _of_feed(reader, listening.news(now), now)]
    text = "\n".join([table(listening, now), *said, *closed])
    return "\n".join(safe(line) for line in text.split("\n"))


def _of_feed(reader: FeedThread, news: FeedNews, now: float) -> list[str]:
    """Return who sends what, what is to be said of it, and what was not taken."""
    channels: dict[str, list[str]] = {}
    in_use = {use.channel: use.sender for use in news.memory.senders if use.feed == reader.feed}
    for channel, sender in in_use.items():
        channels.setdefault(sender, []).append(channel)
    lines = [f"{reader.feed}: {', '.join(those)} from {sender}" for sender, those in channels.items()]
    if words := caution_words(news.at(now), reader.feed):
        lines.append(f"{reader.feed}: {words}")
    if words := not_taken(reader.status.dropped, reader.status.others, reader.port):
        lines.append(f"{reader.feed}: {words}")
    return lines


def _state_of_port(reader: FeedThread) -> str:
    return f"{reader.feed}: {reader.status.note}"
