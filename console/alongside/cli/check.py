"""`alongside check`: every fault of a stay file; without one, what can hardly be meant and is not watched."""

import argparse
import time
from pathlib import Path

from alongside.cli.standard_output import print_error, print_rows
from alongside.errors import WrongInput
from alongside.stay import read
from alongside.units import utc_day


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("stays", nargs="+", type=Path, metavar="STAY", help="stay files")
    parser.add_argument("--strict", action="store_true", help="a remark is a fault: exit status 2")


def run(options: argparse.Namespace) -> int:
    worst = 0
    for path in options.stays:
        try:
            worst = max(worst, _check(path, options.strict))
        except WrongInput as error:
            print_error(error)
            worst = error.exit_status
    return worst


def _check(path: Path, strict: bool) -> int:
    """Print what a file without faults holds; returns the exit status. Raises WrongInput with its faults."""
    stay = read.read_stay(path)
    # numpy is loaded here, not before: a file with faults of form is answered at once.
    from alongside.reports.remarks.text import check_rows, counted_remarks

    rows, remarks = check_rows(stay, utc_day(time.time()))
    print_rows(f"{path}: {read.describe(stay)}; {counted_remarks(remarks)}", *rows)
    return WrongInput.exit_status if strict and remarks else 0
