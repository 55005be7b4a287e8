"""Arguments that several commands share, and what they must be."""

import argparse
from pathlib import Path
from typing import Final

from alongside.units import TIME_EXPECTED, unix_time
from alongside.wording.typed_times import TimeOfDay, time_of_day

PALETTES: Final = ("day", "dusk", "night", "plain")
FASTEST: Final = 3600.0


def a_time(text: str) -> float:
    """Return the UNIX time of a text in ISO 8601."""
    try:
        return unix_time(text)
    except ValueError as error:
        raise argparse.ArgumentTypeError(f"{text!r} is no time, expected {TIME_EXPECTED}") from error


def a_time_in_a_log(text: str) -> float | TimeOfDay:
    """Return the UNIX time of a text in ISO 8601, or the time of day that it gives."""
    of_day = time_of_day(text)
    return a_time(text) if of_day is None else of_day


def positive(text: str) -> float:
    """Return a number above 0."""
    try:
        value = float(text)
    except ValueError as error:
        raise argparse.ArgumentTypeError(f"{text!r} is no number") from error
    if not 0.0 < value < float("inf"):
        raise argparse.ArgumentTypeError(f"{text} is not above 0")
    return value


def speed(text: str) -> float:
    """Return how many times faster than real time a replay runs."""
    value = positive(text)
    if value > FASTEST:
        raise argparse.ArgumentTypeError(f"{text} is too fast to see, at most {FASTEST:.0f}")
    return value


def add_stay(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("stay", type=Path, metavar="STAY", help="the stay file")


def add_palette(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--palette", choices=PALETTES, default="day", help="colours of the screen")
    plain = "plain letters only: no dots, blocks and arrows (default: where the terminal has no others)"
    parser.add_argument("--ascii", action=argparse.BooleanOptionalAction, help=plain)


def add_mouse(parser: argparse.ArgumentParser) -> None:
    mouse = "without: the mouse is left to the terminal, to select text (key M changes it)"
    parser.add_argument("--mouse", action=argparse.BooleanOptionalAction, default=True, help=mouse)


def add_json_lines(parser: argparse.ArgumentParser) -> None:
    """States and events of a run without a screen."""
    parser.add_argument("--states", type=Path, metavar="FILE", help="states as JSON lines (headless)")
    parser.add_argument("--events", type=Path, metavar="FILE", help="events as JSON lines (headless)")
    every = "seconds of log time between states (default: every cycle)"
    parser.add_argument("--every", type=positive, default=1.0, metavar="SECONDS", help=every)


def add_replay(parser: argparse.ArgumentParser) -> None:
    """Options of a replay, with a screen or without."""
    add_json_lines(parser)
    spread = "states without between what the load of each line is likely to lie (headless; faster)"
    parser.add_argument("--no-spread", dest="spread", action="store_false", help=spread)
    begin = "begin at this time, or at the first such time of day in the log, as 03:10 or 02:30+02:00"
    parser.add_argument("--from", dest="start", type=a_time_in_a_log, metavar="T", help=begin)
    ahead = "look ahead every ten minutes of log time, and alert what is expected (headless; slower)"
    parser.add_argument("--ahead", action="store_true", help=ahead)
    stages = "exit with 10, 11, 12 if the worst stage was caution, warning, alarm"
    stages += "; what stands at --from counts (headless)"
    parser.add_argument("--stage-status", action="store_true", help=stages)
    add_palette(parser)
    add_mouse(parser)


def add_hours_ahead(parser: argparse.ArgumentParser, else_at: str = "") -> None:
    """From when on, and how far, to look ahead; `else_at` is when else, where there is such a time."""
    when = "from when on, such as 2026-03-02T04:10:00Z (default: when the last line is made fast"
    when += f"{else_at})"
    parser.add_argument("--at", type=a_time, metavar="T", help=when)
    hours = "how far to look (default: the stay file's, else 12)"
    parser.add_argument("--hours", type=positive, metavar="H", help=hours)
