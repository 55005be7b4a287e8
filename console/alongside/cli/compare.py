"""`alongside compare`: two arrangements side by side, before arrival."""

import argparse
import sys
from pathlib import Path

from alongside.cli.ahead import CAUTION
from alongside.cli.arguments import add_hours_ahead
from alongside.cli.progress import Progress
from alongside.cli.standard_output import columns_of_terminal, print_wrapped
from alongside.forecast.basis import Basis
from alongside.forecast.before_arrival import when_fast
from alongside.forecast.look_ahead import far_of
from alongside.reports.compared_sides import side_of
from alongside.reports.comparison import comparison_rows
from alongside.reports.comparison_json import comparison_object
from alongside.reports.output_files import write_json
from alongside.reports.output_places import check_outputs
from alongside.reports.replaceable import COMPARED
from alongside.stay.read import read_stay


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("stays", type=Path, nargs=2, metavar="STAY", help="two stay files")
    add_hours_ahead(parser)
    parser.add_argument("--json", type=Path, metavar="FILE", help="the comparison for other programs")


def run(options: argparse.Namespace) -> int:
    check_outputs(options.stays, [(options.json, COMPARED)])
    bases = [Basis.of(read_stay(path)) for path in options.stays]
    at = max(when_fast(basis.stay) for basis in bases) if options.at is None else options.at
    with Progress() as progress:
        sides = []
        for basis, path in zip(bases, options.stays, strict=True):
            progress.begin(f"looking ahead of {path} …")
            sides.append(side_of(basis, at, far_of(basis.stay, options.hours)))
    one, other = sides
    if options.json is not None:
        write_json(comparison_object(one, other), options.json, COMPARED)
    columns = columns_of_terminal() if sys.stdout.isatty() else None
    caution = CAUTION.splitlines() if columns is None else [CAUTION.replace("\n", " ")]
    print_wrapped(*comparison_rows(one, other, columns), "", *caution)
    return 0
