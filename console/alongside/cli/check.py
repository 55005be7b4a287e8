"""`alongside check`: every fault of a stay file, or one line saying what it holds."""

import argparse
import sys
from pathlib import Path

from alongside.errors import WrongInput
from alongside.stay import read


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("stays", nargs="+", type=Path, metavar="STAY", help="stay files")


def run(options: argparse.Namespace) -> int:
    worst = 0
    for path in options.stays:
        try:
            print(f"{path}: {read.describe(read.read_stay(path))}")
        except WrongInput as error:
            print(error, file=sys.stderr)
            worst = error.exit_status
    return worst
