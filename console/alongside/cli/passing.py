"""`alongside passing`: what a ship that passes does to the lines, and the speed to ask her for."""

import argparse
from pathlib import Path

from alongside.cli.moment import add_moment, inputs_of, moment_of
from alongside.cli.progress import Progress
from alongside.cli.standard_output import print_rows
from alongside.errors import WrongInput
from alongside.forecast.basis import Basis
from alongside.forecast.instant_words import Instant, asked_rows, headed
from alongside.forecast.passing_words import CAUTION, passing_rows
from alongside.forecast.ship_passes import ship_passes
from alongside.forecast.typed_passing import EXAMPLE, other_ship, seen_peak, ship_words
from alongside.reports.output_files import write_json
from alongside.reports.output_places import check_outputs
from alongside.reports.passing_json import passing_object
from alongside.reports.replaceable import PASSING
from alongside.stay.read import read_stay
from alongside.wording.typed_speed import typed_speed


def add_arguments(parser: argparse.ArgumentParser) -> None:
    add_moment(parser)
    ship = (
        f"the ship that passes, such as '{EXAMPLE.partition(' ')[2]}'; metres from centreline to centreline"
    )
    parser.add_argument("--ship", required=True, metavar="SHIP", help=ship)
    peak = "a line's load before and at the peak when the same ship passed last, such as '4=12 to 32'"
    parser.add_argument("--peak", metavar="SEEN", help=peak)
    parser.add_argument("--seen-at", metavar="SPEED", help="her speed then, such as 6kn")
    parser.add_argument("--json", type=Path, metavar="FILE", help="the answer for other programs")


def run(options: argparse.Namespace) -> int:
    ship = other_ship(options.ship)
    if (options.peak is None) is not (options.seen_at is None):
        raise WrongInput("--peak and --seen-at go together: expected both, or neither")
    check_outputs(inputs_of(options), [(options.json, PASSING)])
    basis = Basis.of(read_stay(options.stay))
    stay, seen = basis.stay, None
    if options.peak is not None:
        seen = seen_peak(options.peak, typed_speed(options.seen_at), stay)
    with Progress() as progress:
        present = moment_of(options, basis, progress)
        passed = ship_passes(basis, present, ship, seen)
    instant = Instant.of(basis.arrangement.ids, present)
    if options.json:
        write_json(passing_object(passed, instant), options.json, PASSING)
    rows = [ship_words(ship, stay.display), "", *headed(passing_rows(passed, stay), instant)]
    print_rows(*rows, "", *asked_rows(stay, instant), *CAUTION)
    return 0
