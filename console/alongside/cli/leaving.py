"""`alongside leaving`: in which order the lines go, and what still holds her at each step."""

import argparse
from pathlib import Path

from alongside.cli.moment import add_moment, inputs_of, moment_of
from alongside.cli.progress import Progress
from alongside.cli.standard_output import print_rows
from alongside.forecast.basis import Basis
from alongside.forecast.instant_words import Instant
from alongside.forecast.leaving_words import ABOVE, SNAP_BACK, leaving_card, leaving_rows
from alongside.forecast.letting_go import letting_go
from alongside.reports.leaving_json import leaving_object
from alongside.reports.output_files import Outputs, write_json
from alongside.reports.output_places import check_outputs
from alongside.reports.replaceable import LEAVING, LEAVING_CARD
from alongside.stay.read import read_stay


def add_arguments(parser: argparse.ArgumentParser) -> None:
    add_moment(parser, wind=True)
    card = "the order as a card to hang up for leaving at once: text, one page A4"
    parser.add_argument("--card", type=Path, metavar="FILE", help=card)
    parser.add_argument("--json", type=Path, metavar="FILE", help="the answer for other programs")


def run(options: argparse.Namespace) -> int:
    inputs = inputs_of(options)
    check_outputs(inputs, [(options.json, LEAVING), (options.card, LEAVING_CARD)])
    basis = Basis.of(read_stay(options.stay))
    with Progress() as progress:
        present = moment_of(options, basis, progress)
        now, steps = letting_go(basis, present, lambda part: progress.show(part, "letting go, line by line"))
    instant = Instant.of(basis.arrangement.ids, present)
    if options.json:
        write_json(leaving_object(basis.stay, instant, now, steps), options.json, LEAVING)
    if options.card:
        with Outputs() as outputs:
            rows = leaving_card(now, steps, basis.stay, instant)
            outputs.text(options.card, LEAVING_CARD).write("".join(f"{row}\n" for row in rows))
    print_rows(*leaving_rows(now, steps, basis.stay, instant), "", SNAP_BACK, ABOVE)
    return 0
