"""`alongside simulate`: a seeded feed log of a stay."""

import argparse
from pathlib import Path

from alongside.cli.arguments import add_stay, positive
from alongside.cli.progress import Progress
from alongside.cli.standard_output import print_rows
from alongside.stay.read import read_stay
from alongside.training.simulate.log import write_log
from alongside.units import iso_time
from alongside.wording.figures import counted


def add_arguments(parser: argparse.ArgumentParser) -> None:
    add_stay(parser)
    parser.add_argument("--out", type=Path, required=True, metavar="LOG", help="where to; .gz compresses")
    parser.add_argument("--seed", type=int, metavar="N", help="instead of the stay file's")
    parser.add_argument("--hours", type=positive, metavar="H", help="instead of the stay file's")


def run(options: argparse.Namespace) -> int:
    stay = read_stay(options.stay)
    with Progress() as progress:

        def drawn_to(time: float) -> None:
            scenario = stay.simulate
            if scenario is not None:
                hours = options.hours or scenario.hours
                progress.show((time - scenario.start) / (3600.0 * hours), iso_time(time))

        count = write_log(stay, options.out, seed=options.seed, hours=options.hours, drawn_to=drawn_to)
    print_rows(f"{options.out}: {counted(count, 'line')}")
    return 0
