"""`alongside demo`: a replay of the example that ships with the program."""

import argparse
from typing import Final

from alongside.cli import replay
from alongside.cli.arguments import add_replay, speed
from alongside.cli.examples import example_log, example_stay
from alongside.cli.terminal import has_terminal

EXAMPLE: Final = "coal_berth"
SPEED: Final = 60.0


def add_arguments(parser: argparse.ArgumentParser) -> None:
    times = f"times real time (default {SPEED:.0f})"
    parser.add_argument("--speed", type=speed, default=SPEED, metavar="X", help=times)
    add_replay(parser)


def run(options: argparse.Namespace) -> int:
    options.stay, options.log = example_stay(EXAMPLE), example_log(EXAMPLE)
    options.headless, options.record = not has_terminal(), None
    return replay.run(options)
