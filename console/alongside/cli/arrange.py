"""`alongside arrange`: the best arrangement of all lines at a berth, beside the mooring plan's own."""

import argparse
from pathlib import Path

from alongside.cli.arguments import add_stay
from alongside.cli.progress import Progress
from alongside.cli.standard_output import print_rows
from alongside.forecast.instant_words import asked_rows
from alongside.forecast.other_lines.arrange import best_arrangement
from alongside.forecast.other_lines.arrange_words import CAUTION, arranged_rows
from alongside.reports.arranged_json import arranged_object
from alongside.reports.output_files import write_json
from alongside.reports.output_places import check_outputs
from alongside.reports.replaceable import ARRANGED
from alongside.stay.read import read_stay


def add_arguments(parser: argparse.ArgumentParser) -> None:
    add_stay(parser)
    parser.add_argument("--json", type=Path, metavar="FILE", help="the answer for other programs")


def run(options: argparse.Namespace) -> int:
    check_outputs([options.stay], [(options.json, ARRANGED)])
    stay = read_stay(options.stay)
    with Progress() as progress:
        found = best_arrangement(stay, progress.show)
    if options.json:
        write_json(arranged_object(found), options.json, ARRANGED)
    print_rows(*arranged_rows(found, stay), "", *asked_rows(stay, found.instant), *CAUTION)
    return 0
