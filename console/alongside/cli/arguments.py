"""The arguments of every command, and what they must be."""

import argparse
from collections.abc import Callable, Mapping
from pathlib import Path

from alongside import __version__
from alongside.units import unix_time

Run = Callable[[argparse.Namespace], int]
"""Runs a command; returns its exit status."""

Add = Callable[[str, str], argparse.ArgumentParser]
"""Adds a command by its name and what it does."""

PALETTES = ("day", "dusk", "night", "plain")
DEMO_SPEED = 60.0


def _time(text: str) -> float:
    try:
        return unix_time(text)
    except ValueError as error:
        expected = "expected ISO 8601 with a zone, such as 2026-03-02T04:10:00Z"
        raise argparse.ArgumentTypeError(f"{text!r} is no time: {expected}") from error


def _positive(text: str) -> float:
    try:
        value = float(text)
    except ValueError as error:
        raise argparse.ArgumentTypeError(f"{text!r} is no number") from error
    if not 0.0 < value < float("inf"):
        raise argparse.ArgumentTypeError(f"{text} is not above 0")
    return value


def _members(text: str) -> int:
    if not text.isdecimal() or not 2 <= int(text) <= 1000:
        raise argparse.ArgumentTypeError(f"{text!r}: expected a whole number from 2 to 1000")
    return int(text)


def _speed(text: str) -> float:
    value = _positive(text)
    if value > 3600.0:
        raise argparse.ArgumentTypeError(f"{text} is too fast to see, at most 3600")
    return value


def parser_of(commands: Mapping[str, Run]) -> argparse.ArgumentParser:
    """The parser of all commands; what is parsed names in `command` what to run."""
    parser = argparse.ArgumentParser(
        prog="alongside",
        description="Keeps watch over a moored ship's lines through a port stay. It advises; the master's "
        "judgement, the ship's line management plan, port rules and the makers' data stand above it.",
    )
    parser.add_argument("--version", action="version", version=f"alongside {__version__}")
    places = parser.add_subparsers(required=True, metavar="COMMAND")

    def add(name: str, does: str) -> argparse.ArgumentParser:
        command = places.add_parser(name, help=does, description=does)
        command.set_defaults(command=commands[name])
        return command

    _consoles(add)
    _questions(add)
    _records(add)
    _exercises(add)
    return parser


def _consoles(add: Add) -> None:
    """The consoles, and what they need to be right."""
    watch = add("watch", "the live console on the stay's feeds")
    watch.add_argument("stay", type=Path, metavar="STAY", help="the stay file")
    kept = watch.add_mutually_exclusive_group()
    where = "where the record is kept (default: the stay file's own, under $XDG_STATE_HOME/alongside/records)"
    kept.add_argument("--record", type=Path, metavar="FOLDER", help=where)
    kept.add_argument("--no-record", action="store_true", help="keep no record; nothing outlasts the console")
    _add_palette(watch)

    replay = add("replay", "the same console on a recorded feed log")
    replay.add_argument("stay", type=Path, metavar="STAY")
    replay.add_argument("log", type=Path, metavar="LOG", help="a feed log, plain or .gz")
    replay.add_argument("--speed", type=_speed, default=1.0, metavar="X", help="times real time (default 1)")
    replay.add_argument("--headless", action="store_true", help="without a screen, as fast as it goes")
    _add_headless(replay)
    _add_palette(replay)

    demo = add("demo", "replay the example that ships with the program")
    demo.add_argument("--speed", type=_speed, default=DEMO_SPEED, metavar="X")
    _add_headless(demo)
    _add_palette(demo)

    check = add("check", "every fault of a stay file, or one line saying what it holds")
    check.add_argument("stays", nargs="+", type=Path, metavar="STAY")

    listen = add("listen", "what each feed really says: rates, channels, faults")
    listen.add_argument("stay", type=Path, metavar="STAY")
    listen.add_argument("--seconds", type=_positive, metavar="S", help="stop after so long (default: Ctrl-C)")


def _questions(add: Add) -> None:
    """Questions about a moment and the hours after it."""
    holding = add("holding", "what wind from each direction the set can hold, and what gives first")
    holding.add_argument("stay", type=Path, metavar="STAY")
    without = "a feed log that holds the moment; without one the plan alone is asked, as before arrival"
    holding.add_argument("log", type=Path, nargs="?", metavar="LOG", help=without)
    when = "the moment, such as 2026-03-02T04:10:00Z"
    holding.add_argument("--at", type=_time, required=True, metavar="T", help=when)
    holding.add_argument("--json", type=Path, metavar="FILE", help="72 directions for other programs")
    standard = "standard: also 60 kn of wind with the usual currents"
    holding.add_argument("--criteria", choices=["standard"], help=standard)

    ahead = add("ahead", "what will happen to each line, and the tending rounds")
    ahead.add_argument("stay", type=Path, metavar="STAY")
    without = "a feed log that holds the moment; without one the plan alone is looked at, as before arrival"
    ahead.add_argument("log", type=Path, nargs="?", metavar="LOG", help=without)
    _add_ahead(ahead)
    ahead.add_argument("--json", type=Path, metavar="FILE", help="the forecast for other programs")
    every = "minutes between instants (default: the stay file's, else 5)"
    ahead.add_argument("--every", type=_positive, metavar="MIN", help=every)
    ahead.add_argument("--members", type=_members, metavar="N", help="of the ensemble (default 50)")
    change = "beside it with a change: 'slack 3 0.4', 'let go 5', 'shift 4 to B12', 'wind 40kn from 210', "
    change += "'stop cargo'; may be given again"
    ahead.add_argument("--what-if", action="append", default=[], metavar="CHANGE", help=change)

    compare = add("compare", "two stay files side by side: what differs over the stay")
    compare.add_argument("stays", type=Path, nargs=2, metavar="STAY")
    _add_ahead(compare)


def _records(add: Add) -> None:
    """What is made of a stay that was recorded."""
    _add_report(add("report", "a recorded stay as a page to read and print, and as tables"))
    _add_lives(add("lives", "what each rope and tail has been through, over several records"))

    handover = add("handover", "the page that a watch is handed over with, to print")
    what = "the folder of a record, or a stay file: that of its record, or with LOG"
    handover.add_argument("what", type=Path, metavar="RECORD|STAY", help=what)
    played = "a feed log of the stay, played up to the time"
    handover.add_argument("log", type=Path, nargs="?", metavar="LOG", help=played)
    handover.add_argument("--at", type=_time, metavar="T", help="at this time (default: the end)")
    began = "when the watch began (default: when it was last taken over, else 4 h before)"
    handover.add_argument("--since", type=_time, metavar="T", help=began)


def _exercises(add: Add) -> None:
    """Making stays up, and living through them."""
    simulate = add("simulate", "a seeded feed log of a stay")
    simulate.add_argument("stay", type=Path, metavar="STAY")
    simulate.add_argument("--out", type=Path, required=True, metavar="LOG", help="where to; .gz compresses")
    simulate.add_argument("--seed", type=int, metavar="N", help="instead of the stay file's")
    simulate.add_argument("--hours", type=_positive, metavar="H", help="instead of the stay file's")

    exercise = add("exercise", "a recorded stay with trouble put into it, to be lived through")
    exercise.add_argument("exercise", type=Path, metavar="FILE", help="the exercise file")
    exercise.add_argument("--check", action="store_true", help="only tell every fault of the file")
    exercise.add_argument("--speed", type=_speed, default=1.0, metavar="X", help="times real time")
    exercise.add_argument("--headless", action="store_true", help="no screen; as fast as it goes")
    done = "what is done, as JSON lines: read with --headless, else written at the end"
    exercise.add_argument("--actions", type=Path, metavar="FILE", help=done)
    exercise.add_argument("--states", type=Path, metavar="FILE", help="states as JSON lines (headless)")
    exercise.add_argument("--events", type=Path, metavar="FILE", help="events as JSON lines (headless)")
    every = "seconds of log time between states (default: every cycle)"
    exercise.add_argument("--every", type=_positive, default=1.0, metavar="SECONDS", help=every)
    _add_palette(exercise)

    debrief = add("debrief", "how an exercise was met, beside nothing done and the best plan")
    debrief.add_argument("exercise", type=Path, metavar="FILE", help="the exercise file")
    done = "what was done: actions as JSON lines, or the folder of a record"
    debrief.add_argument("done", type=Path, metavar="DONE", help=done)
    debrief.add_argument("--json", type=Path, metavar="OUT", help="the debrief for other programs")


def _add_ahead(command: argparse.ArgumentParser) -> None:
    when = "from when on, such as 2026-03-02T04:10:00Z (default: when the last line is made fast)"
    command.add_argument("--at", type=_time, metavar="T", help=when)
    hours = "how far to look (default: the stay file's, else 12)"
    command.add_argument("--hours", type=_positive, metavar="H", help=hours)


def _add_report(command: argparse.ArgumentParser) -> None:
    record = "the folder of a record, or the journal in it"
    command.add_argument("record", type=Path, metavar="RECORD", help=record)
    out = "the page (default: the record's name with .html, in this folder)"
    command.add_argument("--out", type=Path, metavar="FILE.html", help=out)
    command.add_argument(
        "--csv", type=Path, metavar="FOLDER", help="states, events, deeds and lines as tables"
    )


def _add_lives(command: argparse.ArgumentParser) -> None:
    command.add_argument("records", nargs="+", type=Path, metavar="RECORD", help="records, in any order")
    command.add_argument("--csv", type=Path, metavar="FILE", help="the same as a table for other programs")
    command.add_argument("--json", type=Path, metavar="FILE", help="the same as JSON")


def _add_palette(command: argparse.ArgumentParser) -> None:
    command.add_argument("--palette", choices=PALETTES, default="day", help="colours of the screen")


def _add_headless(command: argparse.ArgumentParser) -> None:
    command.add_argument("--states", type=Path, metavar="FILE", help="states as JSON lines (headless)")
    command.add_argument("--events", type=Path, metavar="FILE", help="events as JSON lines (headless)")
    every = "seconds of log time between states (default: every cycle)"
    command.add_argument("--every", type=_positive, default=1.0, metavar="SECONDS", help=every)
    command.add_argument("--from", dest="start", type=_time, metavar="T", help="begin at this time")
    ahead = "look ahead every ten minutes of log time, and raise what comes soon (headless; slower)"
    command.add_argument("--ahead", action="store_true", help=ahead)
    stages = "exit with 10, 11, 12 if the worst stage was caution, warning, alarm (headless)"
    command.add_argument("--stage-status", action="store_true", help=stages)
