"""`alongside ahead`: what will happen to each line, in words and as JSON."""

import argparse
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Final

from alongside.cli.arguments import add_hours_ahead, add_stay, positive
from alongside.cli.progress import Progress
from alongside.cli.standard_output import print_rows
from alongside.errors import WrongInput
from alongside.forecast.basis import Basis
from alongside.forecast.instant_words import Instant, asked_for
from alongside.forecast.look_ahead import Far, far_of, look_ahead
from alongside.forecast.present import Present
from alongside.forecast.what_if.answer import what_if
from alongside.forecast.what_if.changes import Change
from alongside.forecast.what_if.other_leads import check_places
from alongside.forecast.what_if.typed import parse_changes
from alongside.reports.ahead_json import ahead_object
from alongside.reports.ahead_text import ahead_rows
from alongside.reports.board_sheet import board_sheet
from alongside.reports.output_files import Outputs, write_json
from alongside.reports.output_places import check_outputs
from alongside.reports.replaceable import AHEAD, BOARD
from alongside.reports.what_if_text import what_if_rows
from alongside.runtime.log_moment import present_of
from alongside.stay.read import read_stay
from alongside.units import iso_time

CAUTION: Final = (
    "Expected, not measured: computed from the stay file, the tide table and the gauges so far; no swell,\n"
    "passing ships or dynamics. Stay clear of snap-back zones. The master's judgement, the ship's line\n"
    "management plan, port rules and the makers' data stand above it."
)


def add_arguments(parser: argparse.ArgumentParser) -> None:
    add_stay(parser)
    without = "a feed log that holds the moment; without one the plan alone is looked at, as before arrival"
    parser.add_argument("log", type=Path, nargs="?", metavar="LOG", help=without)
    add_hours_ahead(parser)
    parser.add_argument("--json", type=Path, metavar="FILE", help="the forecast for other programs")
    board = "the rounds as a sheet to print and to tick off on deck: text, one page A4"
    parser.add_argument("--board", type=Path, metavar="FILE", help=board)
    every = "minutes between instants (default: the stay file's, else 5)"
    parser.add_argument("--every", type=positive, metavar="MIN", help=every)
    parser.add_argument("--members", type=_members, metavar="N", help="of the ensemble (default 50)")
    change = "beside it with a change: 'slack 3 0.4', 'let go 5', 'shift 4 to B12', 'add 11 like 4', "
    change += "'tug 30 on', 'wind 40kn from 210', 'current 1.5kn to 250', 'tide +1', 'stop cargo'; "
    change += "may be given again"
    parser.add_argument("--what-if", action="append", default=[], metavar="CHANGE", help=change)


def _members(text: str) -> int:
    if not text.isdecimal() or not 2 <= int(text) <= 1000:
        raise argparse.ArgumentTypeError(f"{text!r}: expected a whole number from 2 to 1000")
    return int(text)


def run(options: argparse.Namespace) -> int:
    outputs = [(options.json, AHEAD), (options.board, BOARD)]
    check_outputs([path for path in (options.stay, options.log) if path], outputs)
    basis = Basis.of(read_stay(options.stay))
    changes = parse_changes("; ".join(options.what_if), basis.stay) if options.what_if else ()
    check_places(basis.stay, changes)
    far = far_of(basis.stay, options.hours, options.every, options.members)
    with Progress() as progress:
        present = present_of(basis, options.log, options.at, progress.show)
        begin = progress.begin
        rows = answer(basis, present, far, changes, options.json, options.board, begin)
    print_rows(*rows)
    return 0


def unseen(words: str) -> None:
    """Show nothing."""


def answer(
    basis: Basis,
    present: Present,
    far: Far,
    changes: Sequence[Change] = (),
    json_file: Path | None = None,
    board_file: Path | None = None,
    begin: Callable[[str], None] = unseen,
) -> list[str]:
    """Return the rows to print of a forecast, with what-ifs beside it; write the files asked for. Raise
    WrongInput where there is no forecast, with the reason. `begin` is told what is worked out next."""
    begin("looking ahead …")
    forecast = look_ahead(basis, present, far)
    if forecast.reason:
        why = "; ".join((forecast.reason, *forecast.notes))
        raise WrongInput(f"{basis.stay.file}: no look ahead at {iso_time(forecast.time)}: {why}")
    begin("looking ahead with the changes …" if changes else "writing …")
    other = what_if(basis, present, changes, far, forecast) if changes else None
    if json_file is not None:
        write_json(ahead_object(forecast, other), json_file, AHEAD)
    if board_file is not None:
        with Outputs() as outputs:
            outputs.text(board_file, BOARD).write("\n".join([*board_sheet(basis.stay, forecast), ""]))
    rows = ahead_rows(basis.stay, forecast)
    asked = asked_for(basis.stay, Instant.of(basis.arrangement.ids, present))
    return [*rows, *(what_if_rows(basis.stay, other) if other else []), "", asked, *CAUTION.splitlines()]
