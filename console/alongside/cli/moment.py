"""What several commands ask about: a moment of a stay, from its log or by the plan alone, in its wind or
another."""

import argparse
from pathlib import Path

from alongside.cli.arguments import a_time, add_stay
from alongside.cli.progress import Progress
from alongside.errors import WrongInput
from alongside.forecast.basis import Basis
from alongside.forecast.present import Present
from alongside.forecast.what_if.changes import OtherWind
from alongside.forecast.what_if.typed import parse_change
from alongside.runtime.log_moment import present_of
from alongside.stay.model import Stay


def add_moment(parser: argparse.ArgumentParser, *, wind: bool = False) -> None:
    """Add the stay file, its log and the time; with `wind` another wind than that of the moment."""
    add_stay(parser)
    without = "a feed log that holds the moment; without one the plan alone is asked, as before arrival"
    parser.add_argument("log", type=Path, nargs="?", metavar="LOG", help=without)
    when = "the moment, such as 2026-03-02T04:10:00Z (default: when the last line is made fast)"
    parser.add_argument("--at", type=a_time, metavar="T", help=when)
    if wind:
        other = "another wind than that of the moment, such as '20kn from 210'"
        parser.add_argument("--wind", metavar="WIND", help=other)


def inputs_of(options: argparse.Namespace) -> list[Path]:
    """Return the files that a moment is read from."""
    return [path for path in (options.stay, options.log) if path]


def moment_of(options: argparse.Namespace, basis: Basis, progress: Progress) -> Present:
    """Return the moment. Raises WrongInput for a wind that is none, before the log is played, and where the
    log does not hold it."""
    asked = getattr(options, "wind", None)
    wind = None if asked is None else typed_wind(asked, basis.stay)
    present = present_of(basis, options.log, options.at, progress.show)
    return present if wind is None else present.in_wind(wind.speed, wind.come_from)


def typed_wind(text: str, stay: Stay) -> OtherWind:
    """Return a wind as typed behind `--wind`. Raise WrongInput with what was expected."""
    change = parse_change(f"wind {text}", stay)
    if not isinstance(change, OtherWind):
        raise WrongInput(f"--wind {text}: no wind, expected such as: 20kn from 210")
    return change
