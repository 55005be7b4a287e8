"""`alongside farther`: which line led to which farther bollard helps most."""

import argparse
from pathlib import Path

from alongside.cli.arguments import a_time, add_stay
from alongside.cli.interrupts import said_when_interrupted
from alongside.cli.leaving import typed_wind
from alongside.cli.progress import Progress
from alongside.cli.standard_output import print_rows
from alongside.forecast.basis import Basis
from alongside.forecast.other_lines.farther import farther_bollard
from alongside.forecast.other_lines.farther_words import ROWS_LAST, farther_rows
from alongside.reports.farther_json import farther_object
from alongside.reports.output_files import write_json
from alongside.reports.output_places import check_outputs
from alongside.reports.replaceable import FARTHER
from alongside.runtime.log_moment import present_of
from alongside.stay.read import read_stay


def add_arguments(parser: argparse.ArgumentParser) -> None:
    add_stay(parser)
    without = "a feed log that holds the moment; without one the plan alone is asked"
    parser.add_argument("log", type=Path, nargs="?", metavar="LOG", help=without)
    when = "the moment, such as 2026-03-02T04:10:00Z (default: when the last line is made fast)"
    parser.add_argument("--at", type=a_time, metavar="T", help=when)
    wind = "another wind than that of the moment, such as '20kn from 210'"
    parser.add_argument("--wind", metavar="WIND", help=wind)
    now = "leave out the rounds of the hours ahead, which take most of the time"
    parser.add_argument("--no-rounds", action="store_true", help=now)
    parser.add_argument("--json", type=Path, metavar="FILE", help="the answer for other programs")


@said_when_interrupted()
def run(options: argparse.Namespace) -> int:
    check_outputs([path for path in (options.stay, options.log) if path], [(options.json, FARTHER)])
    basis = Basis.of(read_stay(options.stay))
    wind = None if options.wind is None else typed_wind(options.wind, basis.stay)
    with Progress() as progress:
        present = present_of(basis, options.log, options.at, progress.show)
        if wind is not None:
            present = present.in_wind(wind.speed, wind.come_from)
        progress.begin("trying farther bollards …")
        found = farther_bollard(basis, present, not options.no_rounds, progress.show)
    if options.json:
        write_json(farther_object(found), options.json, FARTHER)
    print_rows(*farther_rows(found, basis.stay), "", *ROWS_LAST)
    return 0
