"""`alongside lives`: what each rope has been through, over several records."""

import argparse
from pathlib import Path

from alongside.cli.progress import Progress
from alongside.cli.standard_output import print_rows
from alongside.reports.ropes.write import write_lives


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("records", nargs="+", type=Path, metavar="RECORD", help="records, in any order")
    parser.add_argument("--csv", type=Path, metavar="FILE", help="the same as a table for other programs")
    parser.add_argument("--json", type=Path, metavar="FILE", help="the same as JSON")


def run(options: argparse.Namespace) -> int:
    with Progress() as progress:
        rows = write_lives(options.records, options.csv, options.json, progress.show)
    print_rows(*rows)
    return 0
