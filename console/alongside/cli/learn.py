"""`alongside learn`: what measured loads show of ropes and lengths, offered, never taken by itself."""

import argparse
from pathlib import Path

from alongside.cli.progress import Progress
from alongside.cli.standard_output import print_rows
from alongside.errors import WrongInput
from alongside.forecast.basis import Basis
from alongside.forecast.learning.found import found_in
from alongside.forecast.learning.line_found import LineFound, as_of_now
from alongside.forecast.learning.then import then_of
from alongside.forecast.learning_words import CAUTION, learning_rows
from alongside.reports.learn_json import learn_object
from alongside.reports.learnt_file import with_learnt_keys
from alongside.reports.output_files import Outputs, write_json
from alongside.reports.output_places import check_outputs
from alongside.reports.replaceable import LEARN, STAY
from alongside.runtime.loads_of_stay import LoadsOfStay, loads_of_log, loads_of_record
from alongside.stay.read import read_stay


def add_arguments(parser: argparse.ArgumentParser) -> None:
    record = "the folder of a record; or the stay file of a log"
    parser.add_argument("record", type=Path, metavar="RECORD", help=record)
    log = "a feed log that is played through; RECORD is then the stay file"
    parser.add_argument("log", type=Path, nargs="?", metavar="LOG", help=log)
    lines = "accept of these lines only, such as 4,7 (with --out; default: all that is offered)"
    parser.add_argument("--lines", metavar="LINES", help=lines)
    out = "write a new stay file with what is offered"
    parser.add_argument("--out", type=Path, metavar="NEW.yaml", help=out)
    parser.add_argument("--json", type=Path, metavar="FILE", help="the answer for other programs")


def run(options: argparse.Namespace) -> int:
    inputs = [path for path in (options.record, options.log) if path]
    check_outputs(inputs, [(options.json, LEARN), (options.out, STAY)])
    with Progress() as progress:
        loads = _loads(options, progress)
        progress.begin("weighing what was measured …")
        found = found_in(loads.stay, loads.measured.observed(loads.stay, loads.read))
        found = as_of_now(loads.stay, found, loads.unstretched)
        chosen = _chosen(found, options.lines)
        offered = any(each.learnt is not None for each in chosen)
        then = then_of(Basis.of(loads.stay), loads.here, loads.unstretched, chosen) if offered else None
    if options.json:
        write_json(learn_object(float(loads.here.time[0]), found, then), options.json, LEARN)
    rows = learning_rows(loads.stay, chosen, then)
    if options.out:
        rows += [*_written(options, loads, chosen), ""]
    print_rows(*rows, *CAUTION)
    return 0


def _loads(options: argparse.Namespace, progress: Progress) -> LoadsOfStay:
    if options.log is None:
        progress.begin("reading the record …")
        return loads_of_record(options.record)
    return loads_of_log(read_stay(options.record), options.log, progress.show)


def _chosen(found: tuple[LineFound, ...], lines: str | None) -> tuple[LineFound, ...]:
    """Return what was found of the lines that are asked for. Raises WrongInput for one that has no load."""
    if lines is None:
        return found
    names = [name.strip() for name in lines.split(",")]
    known = {each.line for each in found}
    for name in names:
        if name not in known:
            raise WrongInput(f"--lines {name}: no load of it was measured, expected of {', '.join(known)}")
    return tuple(each for each in found if each.line in names)


def _written(options: argparse.Namespace, loads: LoadsOfStay, found: tuple[LineFound, ...]) -> list[str]:
    """Write the new stay file; return what is said of it."""
    learnt = {each.line: each.learnt for each in found if each.learnt is not None}
    if not learnt:
        return ["Nothing is offered: no stay file was written."]
    text = loads.stay_text if options.log is None else options.record.read_text(encoding="utf-8")
    if not text:
        raise WrongInput(f"{options.record}: the record has no text of its stay file, expected STAY LOG")
    new = with_learnt_keys(text, learnt, options.out)
    with Outputs() as outputs:
        outputs.text(options.out, STAY).write(new)
    return [f"{options.out}: with key learnt at line {', '.join(learnt)}; alongside check {options.out}"]
