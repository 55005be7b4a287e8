"""`alongside farther`: which line led to which farther bollard helps most."""

import argparse
from pathlib import Path

from alongside.cli.moment import add_moment, inputs_of, moment_of
from alongside.cli.progress import Progress
from alongside.cli.standard_output import print_rows
from alongside.forecast.basis import Basis
from alongside.forecast.instant_words import Instant, asked_rows
from alongside.forecast.other_lines.farther import farther_bollard
from alongside.forecast.other_lines.farther_words import ROWS_LAST, farther_rows
from alongside.reports.farther_json import farther_object
from alongside.reports.output_files import write_json
from alongside.reports.output_places import check_outputs
from alongside.reports.replaceable import FARTHER
from alongside.stay.read import read_stay


def add_arguments(parser: argparse.ArgumentParser) -> None:
    add_moment(parser, wind=True)
    now = "leave out the rounds of the hours ahead, which take most of the time"
    parser.add_argument("--no-rounds", action="store_true", help=now)
    parser.add_argument("--json", type=Path, metavar="FILE", help="the answer for other programs")


def run(options: argparse.Namespace) -> int:
    check_outputs(inputs_of(options), [(options.json, FARTHER)])
    basis = Basis.of(read_stay(options.stay))
    with Progress() as progress:
        present = moment_of(options, basis, progress)
        progress.begin("trying farther bollards …")
        found = farther_bollard(basis, present, not options.no_rounds, progress.show)
    instant = Instant.of(basis.arrangement.ids, present)
    if options.json:
        write_json(farther_object(found, instant), options.json, FARTHER)
    print_rows(*farther_rows(found, basis.stay), "", *asked_rows(basis.stay, instant), *ROWS_LAST)
    return 0
