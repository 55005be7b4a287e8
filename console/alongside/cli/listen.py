"""`alongside listen`: what each feed really says, before a watch relies on it."""

import argparse
import os
import sys
import time
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Final

from alongside.alerts.feed_senders import caution_words
from alongside.cli.arguments import positive
from alongside.cli.interrupts import Interrupted
from alongside.cli.progress import Progress
from alongside.cli.start import SAID
from alongside.errors import FeedUnavailable, WrongInput
from alongside.feeds.listen import Listening
from alongside.feeds.log import FeedLog
from alongside.feeds.sentence import sentence, tag_name
from alongside.readings import FeedNews
from alongside.reports.heard import Heard, PortHeard, as_json, figures_page, page
from alongside.reports.output_files import write_json
from alongside.reports.replaceable import HEARD
from alongside.runtime.feed_thread import FeedThread, lines_of, stop_all
from alongside.stay.bare import bare_stay
from alongside.stay.channels import CHANNELS, TENSION
from alongside.stay.model import Stay
from alongside.stay.ports import ModbusPort, ModbusSerialPort, parse_port
from alongside.stay.read import read_stay
from alongside.wording.names import not_taken
from alongside.wording.safe import safe

SHOW_EVERY_S: Final = 2.0
OPEN_WITHIN_S: Final = 3.0
CLEAR: Final = "\x1b[H\x1b[J"


def named_figure(text: str) -> tuple[int, str]:
    """Return the number of a figure and the channel that it is, of `1=tide`."""
    number, _, channel = text.partition("=")
    is_channel = channel in CHANNELS or (channel.startswith(TENSION) and len(channel) > len(TENSION))
    if not (number.isascii() and number.isdigit() and is_channel):
        expected = f"a number and a channel such as 1=tide; channels: {', '.join(CHANNELS)}, tension.LINE"
        raise argparse.ArgumentTypeError(f"{text!r}, expected {expected}")
    return int(number), channel


def add_arguments(parser: argparse.ArgumentParser) -> None:
    what = "the stay file, or a port such as udp:10110 for a gauge that is in none yet"
    parser.add_argument("stay", metavar="STAY", help=what)
    parser.add_argument("log", nargs="?", type=Path, metavar="LOG", help="a feed log, in place of the ports")
    stops = "stop after so long (default: Ctrl-C)"
    parser.add_argument("--seconds", type=positive, metavar="S", help=stops)
    parser.add_argument("--json", type=Path, metavar="FILE", help="what was heard, as JSON, at the end")
    propose = "all figures that were heard, and channel lines for the stay file (of a port: always)"
    parser.add_argument("--propose", action="store_true", help=propose)
    name = "figure N is this channel, for the proposal; may be given several times"
    parser.add_argument(
        "--name", type=named_figure, action="append", default=[], metavar="N=CHANNEL", help=name
    )


def run(options: argparse.Namespace) -> int:
    stay, is_port = _stay_of(options.stay)
    named = dict(options.name)
    lines = None if is_port else frozenset(line.id for line in stay.lines)
    _refuse_other_lines(named, lines)
    bench = Bench(stay, named, lines, options.propose or is_port or bool(named), options.json)
    if options.log is not None:
        return bench.listen_to_log(options.log)
    return bench.listen(options.seconds)


def _refuse_other_lines(named: Mapping[int, str], lines: frozenset[str] | None) -> None:
    """Raise WrongInput for a figure that is to be the load of a line that the stay does not have."""
    if lines is None:
        return
    for number, channel in named.items():
        line = channel.removeprefix(TENSION)
        if channel.startswith(TENSION) and line not in lines:
            known = ", ".join(sorted(lines, key=lambda line: (len(line), line))) or "none"
            raise WrongInput(
                f"--name {number}={channel}: the stay has no line {line}, expected one of {known}"
            )


def _stay_of(text: str) -> tuple[Stay, bool]:
    """Return the stay to listen for, and whether it is made up round a port."""
    if not Path(text).exists():
        try:
            port = parse_port(text)
        except ValueError:
            pass  # a stay file that is not there: its reader says so
        else:
            if isinstance(port, ModbusPort | ModbusSerialPort):
                raise WrongInput(
                    f"{text}: nothing is asked without registers, expected a stay file with them"
                )
            return bare_stay(text), True
    return read_stay(Path(text)), False


class Bench:
    """One run of the command: what it listens for, and what it is to say of it."""

    def __init__(
        self,
        stay: Stay,
        named: Mapping[int, str],
        lines: frozenset[str] | None,
        proposes: bool,
        json: Path | None,
    ) -> None:
        self._stay = stay
        self._named, self._lines = named, lines
        self._proposes, self._json = proposes, json
        self._listening = Listening(stay)

    def listen(self, seconds: float | None) -> int:
        """Listen until interrupted, for so many seconds, or until all that is read has ended, and print what
        came; on a terminal it is shown anew every two seconds. Raises FeedUnavailable when not one port opens
        within three seconds, and at the end for ports that never did."""
        readers = [FeedThread(feed, Path(self._stay.file)) for feed in self._stay.feeds]
        for reader in readers:
            reader.start()
        begun = time.monotonic()
        ends = float("inf") if seconds is None else begun + seconds
        shown = begun
        opened: set[str] = set()
        try:
            while time.monotonic() < ends:
                self._hear(readers)
                opened |= {reader.feed for reader in readers if reader.status.open or reader.status.ended}
                if readers and all(reader.status.ended and not reader.inbox.wait(0.0) for reader in readers):
                    break
                if not opened and time.monotonic() > begun + min(OPEN_WITHIN_S, seconds or OPEN_WITHIN_S):
                    ports = [_state_of_port(reader) for reader in readers]
                    raise FeedUnavailable(*(ports or ["no feeds in the stay file"]))
                if sys.stdout.isatty() and time.monotonic() - shown >= SHOW_EVERY_S:
                    shown = time.monotonic()
                    print(CLEAR + as_high(self._page(readers)), flush=True)
        except KeyboardInterrupt:
            raise Interrupted("" if opened else SAID) from None  # what was heard comes at once
        finally:
            heard, text = self._heard(readers), self._page(readers)
            news = self._listening.news(time.time())
            stop_all(readers)
            if opened:
                print((CLEAR if sys.stdout.isatty() else "") + text)
                self._end(heard, news)
        never = [reader.feed for reader in readers if reader.feed not in opened]
        if never:
            raise FeedUnavailable(f"never opened: {', '.join(never)}")
        return 0

    def listen_to_log(self, path: Path) -> int:
        """Hear a log from end to end, and print what came. Raises WrongInput for one that holds nothing."""
        log = FeedLog(path, stay=self._stay)
        feeds = {tag_name(feed.name): feed.name for feed in self._stay.feeds}
        only = self._stay.feeds[0].name if self._lines is None else ""
        size, now = max(log.size, 1), None
        with Progress() as progress:
            for batch in log:
                for at, source, line, sound, sender in batch.rows():
                    name = feeds.get(source or b"", only)
                    self._listening.hear(at, name, sentence(line) if sound else line, sender)
                    now = at
                progress.show(log.bytes_read / size)
        if now is None:
            raise WrongInput(f"{path}: no line with a time, expected a feed log")
        heard = Heard(self._listening, {}, now, self._named, self._lines)
        notes = [f"The log {log.note}"] if log.note else []
        notes += [f"Faults of the log: {log.faults}"] if log.faults else []
        print("\n".join([page(heard), *notes]))
        self._end(heard, self._listening.news(now))
        return 0

    def _end(self, heard: Heard, news: FeedNews) -> None:
        if self._proposes:
            print(f"\n{figures_page(heard)}")
        if self._json is not None:
            write_json(as_json(heard, news), self._json, HEARD, indent=1)

    def _hear(self, readers: Sequence[FeedThread]) -> None:
        """Take what comes within a fifth of a second."""
        until = time.monotonic() + 0.2
        for reader in readers:
            reader.inbox.wait(max(0.0, until - time.monotonic()))
        for line in lines_of(readers):
            self._listening.hear(line.time, line.feed, line.line, line.sender)
        time.sleep(max(0.0, until - time.monotonic()))

    def _heard(self, readers: Sequence[FeedThread]) -> Heard:
        ports = {reader.feed: _port_heard(reader) for reader in readers}
        return Heard(self._listening, ports, time.time(), self._named, self._lines)

    def _page(self, readers: Sequence[FeedThread]) -> str:
        heard = self._heard(readers)
        closed = [
            _state_of_port(reader)
            for reader in readers
            if not reader.status.open and reader.status.note != "stopped"
        ]
        news = self._listening.news(heard.now)
        of_feeds = [line for reader in readers for line in _of_feed(reader, news, heard.now)]
        return "\n".join([page(heard), *map(safe, (*of_feeds, *closed))])


def as_high(text: str) -> str:
    """Return as many rows of a text as the terminal has, so that its beginning stays in sight."""
    try:
        columns, height = os.get_terminal_size(sys.stdout.fileno())
    except (OSError, ValueError):
        return text
    rows = [row[: columns or None] for row in text.splitlines()]
    if not height or len(rows) < height:
        return "\n".join(rows)
    kept = rows[: max(height - 2, 1)]
    return "\n".join([*kept, f"… {len(rows) - len(kept)} rows more: they come at the end, by Ctrl-C"])


def _port_heard(reader: FeedThread) -> PortHeard:
    status = reader.status
    begun = reader.rest
    return PortHeard(status.open, status.note, reader.bytes_heard, status.dropped, status.others, begun)


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
