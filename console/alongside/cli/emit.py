"""`alongside emit`: a log, or the simulation of a stay, played onto a port."""

import argparse
import time
from collections.abc import Callable, Iterator
from itertools import chain
from pathlib import Path
from typing import Final

from alongside.cli.arguments import a_time_in_a_log, positive
from alongside.cli.interrupts import Interrupted
from alongside.cli.progress import Progress
from alongside.cli.standard_output import print_aside, print_rows
from alongside.cli.start import SAID
from alongside.errors import FeedUnavailable, WrongInput
from alongside.feeds.log import FeedLog
from alongside.feeds.port_writer import writer_of
from alongside.runtime.emitter import LATE_S, Emitted, Emitter, TimedLine
from alongside.runtime.lines_ahead import LinesAhead
from alongside.stay.model import Display
from alongside.stay.out_ports import OutPort, parse_out_port
from alongside.units import iso_time
from alongside.wording.figures import counted
from alongside.wording.typed_times import TimeOfDay, spans_text, times_of_day

STAY_FILES: Final = (".yaml", ".yml")
SHOW_EVERY_S: Final = 1.0
UTC: Final = Display()


def add_arguments(parser: argparse.ArgumentParser) -> None:
    what = "a feed log, plain or .gz; or a stay file, whose simulation is played"
    parser.add_argument("log", type=Path, metavar="LOG", help=what)
    where = "serial:DEVICE?baud=N, udp:ADDRESS:PORT, tcp:HOST:PORT, or tcp-in:PORT, which waits for a caller"
    parser.add_argument("port", metavar="PORT", help=where)
    parser.add_argument(
        "--speed", type=positive, default=1.0, metavar="X", help="times real time (default 1)"
    )
    begin = "begin at this time, or at the first such time of day in the log (UTC)"
    parser.add_argument("--from", dest="start", type=a_time_in_a_log, metavar="T", help=begin)
    times = "send TAG blocks: log: as they are; now: with the time at which a line goes out (default: none)"
    parser.add_argument("--times", choices=("log", "now"), default="", help=times)
    parser.add_argument("--feed", metavar="NAME", help="only what this feed said")


def run(options: argparse.Namespace) -> int:
    port = _port(options.port)
    if options.log.suffix in STAY_FILES:
        ahead = LinesAhead(_simulated(options))
        try:
            _emit(options, port, ahead, ahead.stop)
        finally:
            ahead.stop()
        return 0
    log = FeedLog(options.log, as_written=True)
    try:
        _emit(options, port, _of_log(options, log))
    finally:
        if log.note:
            print_aside(f"{options.log}: {log.note}")
    return 0


def _emit(
    options: argparse.Namespace,
    port: OutPort,
    lines: Iterator[TimedLine],
    make_no_more: Callable[[], None] = lambda: None,
) -> None:
    """Play lines onto a port and print what came of it; `make_no_more` ends whoever makes them."""
    first = next(lines, None)  # before the port is opened: input that is wrong does nothing
    if first is None:
        of_feed = "" if options.feed is None else f" of feed {options.feed!r}"
        raise WrongInput(f"{options.log}: no line with a time{of_feed} from there on")
    emitter = Emitter(chain([first], lines), writer_of(port, wait_s=None), options.speed, options.times)
    begun = time.monotonic()
    interrupted = False
    try:
        with Progress() as progress:
            _begin(emitter, port)
            while not emitter.wait(SHOW_EVERY_S):
                progress.say(_so_far(emitter.state, options.port))
    except KeyboardInterrupt:
        interrupted = True
    finally:
        make_no_more()
        emitter.stop()
        state = emitter.state
        rows = _summary(options, state, time.monotonic() - begun)
        print_rows(*rows)
    if interrupted:
        raise Interrupted("" if rows else SAID)
    if state.fault:
        raise FeedUnavailable(state.fault)


def _begin(emitter: Emitter, port: OutPort) -> None:
    """Open the port and begin, or raise FeedUnavailable."""
    try:
        emitter.start()
    except Exception as error:
        raise FeedUnavailable(writer_of(port).in_words(error)) from error


def _port(text: str) -> OutPort:
    try:
        return parse_out_port(text)
    except ValueError as error:
        raise WrongInput(f"PORT: {error}") from error


def _of_log(options: argparse.Namespace, log: FeedLog) -> Iterator[TimedLine]:
    """Return the lines of a log, from `--from` on."""
    start = options.start
    if isinstance(start, TimeOfDay):
        from alongside.runtime.log_spans import spans_of

        spans = spans_of(options.log)
        times = times_of_day(start, UTC, spans)
        if not times:
            reach = spans_text(spans, UTC) if spans else "no line with a time"
            raise WrongInput(f"{options.log}: no {start} in it ({reach})")
        start = times[0]
    log.start = start
    wanted = None if options.feed is None else options.feed.encode()
    return (
        (at, line)
        for batch in log
        for at, source, line, _, _ in batch.rows()
        if wanted is None or source == wanted
    )


def _simulated(options: argparse.Namespace) -> Iterator[TimedLine]:
    """Return the lines that the gauges of a stay would send."""
    from alongside.feeds.sentence import split_tags
    from alongside.stay.read import read_stay
    from alongside.training.simulate.log import simulate

    if isinstance(options.start, TimeOfDay):
        raise WrongInput("--from: a time of day, expected one with its date for a simulation")
    start = -float("inf") if options.start is None else options.start
    wanted = None if options.feed is None else options.feed.encode()
    lines = simulate(read_stay(options.log))
    tagged = ((split_tags(line)[0], line.rstrip(b"\r\n")) for line in lines)
    return (
        (tag.time, line)
        for tag, line in tagged
        if tag.time >= start and (wanted is None or tag.source == wanted)
    )


def _so_far(state: Emitted, port: str) -> str:
    """Return how far it is."""
    at = "waiting for somebody to connect" if state.waits else f"{counted(state.lines, 'line')} sent"
    return f"{port}: {at}" + (f", {iso_time(state.last)}" if state.last == state.last else "")


def _summary(options: argparse.Namespace, state: Emitted, seconds: float) -> list[str]:
    """Return what came of it, in a row or two."""
    if not state.lines:
        return []
    span = f"{iso_time(state.first)} to {iso_time(state.last)}"
    rows = [f"{options.port}: {counted(state.lines, 'line')} sent, {span}, in {seconds:.0f} s"]
    if state.behind_s > LATE_S:
        made_late = state.made_late_s > 0.5 * state.behind_s
        why = "the simulation is drawn no faster" if made_late else "it took no more"
        rows.append(f"{options.port}: up to {state.behind_s:.0f} s behind: {why}")
    return rows
