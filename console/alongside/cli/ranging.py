"""`alongside ranging`: the periods in which she moves at her lines, beside a wave that is reported."""

import argparse
from pathlib import Path

from alongside.cli.moment import add_moment, inputs_of, moment_of
from alongside.cli.progress import Progress
from alongside.cli.standard_output import print_rows
from alongside.forecast.basis import Basis
from alongside.forecast.instant_words import Instant, asked_rows, headed
from alongside.forecast.period_words import CAUTION, ranging_rows, typed_wave
from alongside.forecast.periods import long_waves_of, other_loads, periods_of
from alongside.reports.output_files import write_json
from alongside.reports.output_places import check_outputs
from alongside.reports.ranging_json import ranging_object
from alongside.reports.replaceable import RANGING
from alongside.stay.read import read_stay


def add_arguments(parser: argparse.ArgumentParser) -> None:
    add_moment(parser)
    wave = "periods of the wave that is reported, such as '60 to 80' (default: the stay file's)"
    parser.add_argument("--wave", metavar="SECONDS", help=wave)
    parser.add_argument("--json", type=Path, metavar="FILE", help="the answer for other programs")


def run(options: argparse.Namespace) -> int:
    asked = None if options.wave is None else typed_wave(options.wave)
    check_outputs(inputs_of(options), [(options.json, RANGING)])
    basis = Basis.of(read_stay(options.stay))
    wave = asked or long_waves_of(basis.stay)
    with Progress() as progress:
        present = moment_of(options, basis, progress)
        progress.begin("trying tighter and slacker lines …")
        periods = periods_of(basis, present)
        tried = list(other_loads(basis, present))
    instant = Instant.of(basis.arrangement.ids, present)
    if options.json:
        write_json(ranging_object(instant, periods, wave, tried), options.json, RANGING)
    rows = headed(ranging_rows(periods, wave, tried), instant)
    print_rows(*rows, "", *asked_rows(basis.stay, instant), *CAUTION)
    return 0
