"""`alongside one-more`: which extra line adds most."""

import argparse
from dataclasses import replace
from pathlib import Path
from typing import Final

from alongside.cli.moment import add_moment, inputs_of, moment_of, typed_wind
from alongside.cli.progress import Progress
from alongside.cli.standard_output import print_rows
from alongside.errors import WrongInput
from alongside.forecast.basis import Basis
from alongside.forecast.expected.wind_forecast import WindAt
from alongside.forecast.instant_words import Instant, asked_rows
from alongside.forecast.other_lines.one_more import AIMS, one_more_line
from alongside.forecast.other_lines.one_more_words import CAUTION, one_more_rows
from alongside.forecast.what_if.changes import OtherWind
from alongside.reports.one_more_json import one_more_object
from alongside.reports.output_files import write_json
from alongside.reports.output_places import check_outputs
from alongside.reports.replaceable import ONE_MORE
from alongside.stay.model import Stay
from alongside.stay.read import read_stay
from alongside.wording.figures import force_text
from alongside.wording.safe import safe
from alongside.wording.typed_tending import load_typed

HOUR_S: Final = 3600.0


def add_arguments(parser: argparse.ArgumentParser) -> None:
    add_moment(parser, wind=True)
    aim = "what it is to add most to: weakest direction, forecast wind, or fewest rounds (default: weakest)"
    parser.add_argument("--for", dest="aim", choices=AIMS, default="weakest", help=aim)
    forecast = "the wind that is forecast for an hour from then on, such as '38kn from 200'"
    parser.add_argument("--forecast", metavar="WIND", help=forecast)
    load = "the load it is made fast with, such as 6, in the display's unit (default: that of the lines fast)"
    parser.add_argument("--load", metavar="LOAD", help=load)
    now = "leave out the rounds of the hours ahead, which take most of the time"
    parser.add_argument("--no-rounds", action="store_true", help=now)
    parser.add_argument("--json", type=Path, metavar="FILE", help="the answer for other programs")


def run(options: argparse.Namespace) -> int:
    if options.aim == "rounds" and options.no_rounds:
        raise WrongInput("--for rounds and --no-rounds: expected one of them")
    check_outputs(inputs_of(options), [(options.json, ONE_MORE)])
    basis = Basis.of(read_stay(options.stay))
    stay = basis.stay
    coming = None if options.forecast is None else typed_wind(options.forecast, stay)
    load = None if options.load is None else _load(options.load, stay)
    with Progress() as progress:
        present = moment_of(options, basis, progress)
        if coming is not None:
            present = replace(present, wind_forecast=(forecast_at(present.time + HOUR_S, coming),))
        progress.begin("trying one more line …")
        found = one_more_line(basis, present, options.aim, load, not options.no_rounds, progress.show)
    instant = Instant.of(basis.arrangement.ids, present)
    if options.json:
        write_json(one_more_object(found, instant), options.json, ONE_MORE)
    print_rows(*one_more_rows(found, stay), "", *asked_rows(stay, instant), *CAUTION)
    return 0


def forecast_at(time: float, wind: OtherWind) -> WindAt:
    """Return a wind as one that is forecast from a time on."""
    return WindAt(time, wind.speed, 0.0, wind.come_from, "", time)


def _load(text: str, stay: Stay) -> float:
    ropes = [each.rope for each in stay.spare_ropes] or [each.rope for each in stay.lines]
    kn = load_typed(text, stay, min(each.strength_kn for each in ropes))
    limit = min(each.wll_kn for each in ropes)
    if kn >= limit:
        most = force_text(limit, stay.display)
        raise WrongInput(f"--load {safe(text)}: too much, expected less than the working limit {most}")
    return kn
