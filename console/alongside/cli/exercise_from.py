"""`alongside exercise FOLDER --from RECORD [LOG] --at T`: an exercise cut from a real stay."""

import argparse
from math import isnan
from pathlib import Path

from alongside.cli.arguments import a_time, positive
from alongside.cli.progress import Progress
from alongside.cli.standard_output import print_rows
from alongside.errors import WrongInput
from alongside.training.exercise.file import describe
from alongside.training.from_stay.text import EXERCISE
from alongside.training.from_stay.write import Asked, write_from_stay

MINUTE_S = 60.0
OF_ONE = (
    "json",
    "check",
    "speed",
    "exam",
    "vary",
    "headless",
    "station",
    "actions",
    "out",
    "states",
    "events",
)
"""Options of an exercise that is lived through."""


def add_from(parser: argparse.ArgumentParser) -> None:
    """Add the options by which an exercise is cut from a stay."""
    given = (
        "write an exercise into the new folder FILE, cut from a record (with its log where it has no feed "
    )
    given += "logs), or from a stay and its log"
    parser.add_argument("--from", dest="source", type=Path, nargs="+", metavar="STAY", help=given)
    parser.add_argument("--at", type=a_time, metavar="T", help="the moment that it is about (with --from)")
    before = "it begins so many minutes before the moment (with --from; default 60)"
    parser.add_argument("--before", type=positive, default=60.0, metavar="MIN", help=before)
    after = "it ends so many minutes after the moment (with --from; default 120)"
    parser.add_argument("--after", type=positive, default=120.0, metavar="MIN", help=after)
    others = "with other names of ship and berth (with --from)"
    parser.add_argument("--other-names", action="store_true", help=others)


def cut_exercise(options: argparse.Namespace) -> int:
    """Write the exercise, and say what is to be looked at."""
    if options.exercise is None:
        raise WrongInput("--from: no folder to write into, expected alongside exercise FOLDER --from …")
    if options.at is None or isnan(options.at):
        raise WrongInput("--from: no moment, expected --at with a time such as 2026-03-02T04:10:00Z")
    others = [name for name in OF_ONE if getattr(options, name) not in (None, False)]
    if others:
        raise WrongInput(f"--{others[0]}: for an exercise that is there, expected it without --from")
    asked = Asked(options.at, options.before * MINUTE_S, options.after * MINUTE_S, options.other_names)
    with Progress() as progress:
        exercise, unfit = write_from_stay(options.exercise, options.source, asked, progress.show)
    print_rows(
        f"{options.exercise / EXERCISE}: {describe(exercise)}",
        f"{len(exercise.injections)} injections are proposed, each with its reason: keep what serves",
        *(
            f"Not proposed: {each.keys['kind']}, as the exercise would be refused: {why}"
            for each, why in unfit
        ),
        "Look at what is marked with #: aims, story, level, expected deeds",
        "Who kept the watch, what was typed, comments and standing orders are left out; names of ship and "
        f"berth are {'others' if options.other_names else 'as they were (--other-names: others)'}",
        f"alongside exercise {options.exercise / EXERCISE} --check",
    )
    return 0
