"""`alongside decide`: what is to be ordered by when, for the wind to come."""

import argparse
from collections.abc import Sequence
from dataclasses import replace
from math import inf
from pathlib import Path

from alongside.cli.arguments import a_time, add_hours_ahead, add_stay
from alongside.cli.progress import Progress
from alongside.cli.standard_output import print_rows
from alongside.errors import WrongInput
from alongside.forecast.basis import Basis
from alongside.forecast.before_arrival import when_fast
from alongside.forecast.decide_by import decide_by, far_of_decisions
from alongside.forecast.decide_words import agreed_rows, caution, decide_rows
from alongside.forecast.decided import Decisions
from alongside.forecast.expected.wind_forecast import WindAt
from alongside.forecast.look_ahead import far_of
from alongside.forecast.present import Present
from alongside.forecast.transfer import TransferSaid
from alongside.reports.decide_json import decide_object
from alongside.reports.output_files import write_json
from alongside.reports.output_places import check_outputs
from alongside.reports.replaceable import DECIDE
from alongside.runtime.log_moment import present_of
from alongside.stay.model import Display, Stay
from alongside.stay.read import read_stay
from alongside.units import iso_time
from alongside.wording.safe import safe
from alongside.wording.times import DayClock
from alongside.wording.typed_wind import forecast_time, typed_forecast

NONE_GIVEN = (
    "no section decide: no limit of wind is agreed and no lead time given, so that nothing can be decided by"
)


def add_arguments(parser: argparse.ArgumentParser) -> None:
    add_stay(parser)
    without = "a feed log that holds the moment; without one the plan alone is asked, as before arrival"
    parser.add_argument("log", type=Path, nargs="?", metavar="LOG", help=without)
    add_hours_ahead(parser, ", or the wind forecast of the stay file was issued, where that is later")
    wind = "a row of the wind forecast, '18:00 25 gust 35 from 210', in the place of the stay file's; "
    wind += "a mean over 10 min unless it says 'over 30 s'; may be given again"
    parser.add_argument("--wind", action="append", default=[], metavar="ROW", help=wind)
    transfer = "which limits count: with transfer or without (default: by the cargo plan)"
    parser.add_argument("--transfer", choices=("with", "without"), help=transfer)
    parser.add_argument("--json", type=Path, metavar="FILE", help="the answer for other programs")


def run(options: argparse.Namespace) -> int:
    check_outputs([path for path in (options.stay, options.log) if path], [(options.json, DECIDE)])
    basis = Basis.of(read_stay(options.stay))
    if basis.stay.decide is None:
        raise WrongInput(f"{basis.stay.file}: {NONE_GIVEN}")
    far = far_of_decisions(basis) if options.hours is None else far_of(basis.stay, options.hours)
    with Progress() as progress:
        at, issued = _default_time(basis.stay, options)
        present = present_of(basis, options.log, at, progress.show)
        present = _as_asked(present, basis.stay.display, options.wind, options.transfer)
        progress.begin("looking ahead …")
        decisions = decide_by(basis, present, far)
    assert decisions is not None, "the section is there"
    if not options.wind:
        issued = issued or _not_issued_yet(basis.stay, decisions)
    if issued:
        decisions = replace(decisions, notes=(*decisions.notes, issued))
    if options.json:
        write_json(decide_object(decisions), options.json, DECIDE)
    print_rows(*decide_rows(decisions, basis.stay.display, options.transfer is not None))
    print_rows("", *_agreed(basis.stay), "", *caution(decisions))
    return 0


def _default_time(stay: Stay, options: argparse.Namespace) -> tuple[float | None, str]:
    """Return the time asked for, UNIX s, and ""; where none is, and the forecast of the stay file was
    issued after the last line was made fast, when that was, and that it is so."""
    newest = max((each.issued for each in stay.wind_forecast), default=-inf)
    fast = when_fast(stay)
    if options.log is not None or options.at is not None or options.wind or newest <= fast:
        return options.at, ""
    clock = DayClock(stay.display, newest)
    then = f"all lines are fast {clock(fast)}, when it was not there yet"
    return newest, f"asked for {clock(newest)}, when the stay file's wind forecast is issued: {then}"


def _not_issued_yet(stay: Stay, decisions: Decisions) -> str:
    """Return that the stay file has a forecast that does not serve, as it was issued later than the time
    asked for; "" where it has none, or some of it was issued by then."""
    issues = {each.issued for each in stay.wind_forecast}
    if not issues or min(issues) <= decisions.time:
        return ""
    clock, newest = DayClock(stay.display, decisions.time), max(issues)
    late = f"the stay file's wind forecast is issued {clock(newest)}, later than the time asked for"
    return f"{late}: ask with --at {iso_time(newest)}"


def _as_asked(present: Present, display: Display, wind: Sequence[str], transfer: str | None) -> Present:
    """Return the present with the forecast and the transfer that were asked for."""
    if wind:
        present = replace(present, wind_forecast=tuple(_row(text, present.time, display) for text in wind))
    if transfer is not None:
        present = replace(present, transfer=TransferSaid(transfer == "with", present.time))
    return present


def _row(text: str, now: float, display: Display) -> WindAt:
    """Return a row of a forecast, `18:00 25 gust 35 from 210`. Raise WrongInput with what was expected."""
    at, _, rest = text.strip().partition(" ")
    if not rest.strip():
        raise WrongInput(f"--wind {safe(text)!r}, expected such as '18:00 25 gust 35 from 210'")
    try:
        time = a_time(at)
    except argparse.ArgumentTypeError:
        time = forecast_time(at, now, display)
    said = typed_forecast(rest, time, "", display)
    return WindAt(said.at, said.mean_ms, said.gust_ms, said.from_deg, "", now)


def _agreed(stay: Stay) -> list[str]:
    """Return the limits of the stay file, so that they can be compared with the paper."""
    assert stay.decide is not None, "asked before"
    return [
        "Agreed with transfer:",
        *(f"  {row}" for row in agreed_rows(stay.decide.with_transfer, stay.display)),
        "Agreed without transfer:",
        *(f"  {row}" for row in agreed_rows(stay.decide.without_transfer, stay.display)),
    ]
