"""`alongside leaving`: in which order the lines go, and what still holds her at each step."""

import argparse
from pathlib import Path

from alongside.cli.arguments import a_time, add_stay
from alongside.cli.interrupts import said_when_interrupted
from alongside.cli.progress import Progress
from alongside.cli.standard_output import print_rows
from alongside.errors import WrongInput
from alongside.forecast.basis import Basis
from alongside.forecast.leaving_words import ABOVE, SNAP_BACK, leaving_card, leaving_rows
from alongside.forecast.letting_go import letting_go
from alongside.forecast.what_if.changes import OtherWind
from alongside.forecast.what_if.typed import parse_change
from alongside.reports.leaving_json import leaving_object
from alongside.reports.output_files import Outputs, write_json
from alongside.reports.output_places import check_outputs
from alongside.reports.replaceable import LEAVING, LEAVING_CARD
from alongside.runtime.log_moment import present_of
from alongside.stay.model import Stay
from alongside.stay.read import read_stay


def add_arguments(parser: argparse.ArgumentParser) -> None:
    add_stay(parser)
    without = "a feed log that holds the moment; without one the plan alone is asked"
    parser.add_argument("log", type=Path, nargs="?", metavar="LOG", help=without)
    when = "the moment, such as 2026-03-02T04:10:00Z (default: when the last line is made fast)"
    parser.add_argument("--at", type=a_time, metavar="T", help=when)
    wind = "another wind than that of the moment, such as '20kn from 210'"
    parser.add_argument("--wind", metavar="WIND", help=wind)
    card = "the order as a card to hang up for leaving at once: text, one page A4"
    parser.add_argument("--card", type=Path, metavar="FILE", help=card)
    parser.add_argument("--json", type=Path, metavar="FILE", help="the answer for other programs")


@said_when_interrupted()
def run(options: argparse.Namespace) -> int:
    inputs = [path for path in (options.stay, options.log) if path]
    check_outputs(inputs, [(options.json, LEAVING), (options.card, LEAVING_CARD)])
    basis = Basis.of(read_stay(options.stay))
    wind = None if options.wind is None else typed_wind(options.wind, basis.stay)
    with Progress() as progress:
        present = present_of(basis, options.log, options.at, progress.show)
        if wind is not None:
            present = present.in_wind(wind.speed, wind.come_from)
        now, steps = letting_go(basis, present, lambda part: progress.show(part, "letting go, line by line"))
    if options.json:
        write_json(leaving_object(basis.stay, present.time, now, steps), options.json, LEAVING)
    if options.card:
        with Outputs() as outputs:
            rows = leaving_card(now, steps, basis.stay, present.time)
            outputs.text(options.card, LEAVING_CARD).write("".join(f"{row}\n" for row in rows))
    print_rows(*leaving_rows(now, steps, basis.stay), "", SNAP_BACK, ABOVE)
    return 0


def typed_wind(text: str, stay: Stay) -> OtherWind:
    """Return a wind as typed behind `--wind`. Raise WrongInput with what was expected."""
    change = parse_change(f"wind {text}", stay)
    if not isinstance(change, OtherWind):
        raise WrongInput(f"--wind {text}: no wind, expected such as: 20kn from 210")
    return change
