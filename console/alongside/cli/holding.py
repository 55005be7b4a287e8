"""`alongside holding`: what wind the lines hold at a moment, and what gives first."""

import argparse
from pathlib import Path

from alongside.cli.arguments import a_time, add_stay
from alongside.cli.progress import Progress
from alongside.cli.standard_output import print_rows
from alongside.forecast.basis import Basis
from alongside.reports.holding_text import holding_answer, holding_object
from alongside.reports.output_files import write_json
from alongside.reports.output_places import check_outputs
from alongside.reports.replaceable import HOLDING
from alongside.runtime.log_moment import present_of
from alongside.stay.read import read_stay


def add_arguments(parser: argparse.ArgumentParser) -> None:
    add_stay(parser)
    without = "a feed log that holds the moment; without one the plan alone is asked, as before arrival"
    parser.add_argument("log", type=Path, nargs="?", metavar="LOG", help=without)
    when = "the moment, such as 2026-03-02T04:10:00Z"
    parser.add_argument("--at", type=a_time, required=True, metavar="T", help=when)
    parser.add_argument("--json", type=Path, metavar="FILE", help="72 directions for other programs")
    standard = "standard: also 60 kn of wind with the usual currents"
    parser.add_argument("--criteria", choices=["standard"], help=standard)


def run(options: argparse.Namespace) -> int:
    check_outputs([path for path in (options.stay, options.log) if path], [(options.json, HOLDING)])
    basis = Basis.of(read_stay(options.stay))
    with Progress() as progress:
        present = present_of(basis, options.log, options.at, progress.show)
        progress.begin("trying winds from all directions …")
        answer = holding_answer(basis, present, standard=options.criteria == "standard")
    if options.json:
        values = holding_object(answer.power, answer.criteria, answer.who, answer.heel_deg)
        write_json(values, options.json, HOLDING)
    print_rows(*answer.rows)
    return 0
