"""`alongside report`: a stay on record as a page and as tables."""

import argparse
from pathlib import Path

from alongside.cli.standard_output import print_rows
from alongside.reports.stay.write import write_report


def add_arguments(parser: argparse.ArgumentParser) -> None:
    record = "the folder of a record, or the journal in it"
    parser.add_argument("record", type=Path, metavar="RECORD", help=record)
    out = "the page (default: the record's name with .html, in this folder)"
    parser.add_argument("--out", type=Path, metavar="FILE.html", help=out)
    tables = "states, events, actions and lines as tables"
    parser.add_argument("--csv", type=Path, metavar="FOLDER", help=tables)


def run(options: argparse.Namespace) -> int:
    print_rows(str(write_report(options.record, options.out, options.csv)))
    return 0
