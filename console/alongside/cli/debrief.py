"""`alongside debrief`: how an exercise was met."""

import argparse
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from alongside.actions import Done
from alongside.cli.actions_done import actions_done
from alongside.cli.class_table import is_class, print_class
from alongside.cli.drawn import add_vary, as_drawn, attempt_in
from alongside.cli.progress import Progress
from alongside.cli.standard_output import print_rows
from alongside.errors import WrongInput
from alongside.reports.output_files import write_json
from alongside.reports.output_places import check_outputs
from alongside.reports.replaceable import DEBRIEF, DEBRIEF_PAGE
from alongside.training.exercise.conduct import Attempt
from alongside.training.exercise.debrief import debrief, is_played
from alongside.training.exercise.debrief_json import debrief_json
from alongside.training.exercise.debrief_text import debrief_text
from alongside.training.exercise.file import read_exercise
from alongside.training.exercise.kept_run import kept_run
from alongside.training.exercise.kept_yardstick import kept_yardstick
from alongside.training.exercise.model import Exercise
from alongside.training.exercise.page.write import need_libraries, write_page
from alongside.training.exercise.run import Playing
from alongside.training.exercise.yardstick import between


@dataclass(frozen=True, slots=True)
class Asked:
    """What is asked for beside the text: a file of JSON, a page to print, with curves of all lines."""

    json: Path | None = None
    page: Path | None = None
    all_lines: bool = False


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("exercise", type=Path, metavar="FILE", help="the exercise file")
    done = "what was done: actions as JSON lines, the folder of a record, or a folder of actions for a table"
    parser.add_argument("done", type=Path, metavar="DONE", help=done)
    add_vary(parser, " (default: the one that was gone through)")
    add_page(parser)
    parser.add_argument("--json", type=Path, metavar="OUT", help="the debrief, or table, for other programs")
    parser.add_argument("--csv", type=Path, metavar="OUT", help="the table of a folder of actions as CSV")


def add_page(parser: argparse.ArgumentParser) -> None:
    """Add the options of the page to print."""
    parser.add_argument("--out", type=Path, metavar="FILE.html", help="the debrief as a page to print")
    every = "a curve of every line on the page (default: of those that mattered)"
    parser.add_argument("--all-lines", action="store_true", help=every)


def run(options: argparse.Namespace) -> int:
    if is_class(options.done):
        if options.vary is not None or options.out is not None:
            name = "--vary" if options.out is None else "--out"
            raise WrongInput(f"{options.done}: {name} is for one run, expected a file of actions")
        return print_class(options.exercise, options.done, options.csv, options.json)
    if options.csv is not None:
        raise WrongInput(f"{options.done}: --csv is for a table, expected a folder of actions")
    inputs = [options.exercise, options.done]
    check_outputs(inputs, [(options.json, DEBRIEF), (options.out, DEBRIEF_PAGE)])
    if options.out is not None:
        need_libraries("debrief")
    exercise = read_exercise(options.exercise)
    done = actions_done(options.done, exercise)
    attempt = attempt_in(options.done)
    exercise = as_drawn(exercise, options.vary, attempt)
    print_debrief(exercise, done, attempt, Asked(options.json, options.out, options.all_lines))
    return 0


def print_debrief(
    exercise: Exercise,
    done: Sequence[Done],
    attempt: Attempt | None = None,
    asked: Asked = Asked(),
    playing: Playing | None = None,
) -> None:
    """Print the debrief, and write what is asked for beside it. `playing` is what was played already."""
    with Progress() as progress:
        measure = kept_yardstick(exercise, progress.show)
        played = None
        if is_played(exercise, done):
            so_far = playing or Playing(exercise, measure.beginning)
            seen = between(progress.show, 0.0, 1.0, "as it was done")
            played = kept_run(exercise, done, so_far, seen)
        outcome = debrief(exercise, done, measure, progress.show, attempt, played)
    if asked.json is not None:
        write_json(debrief_json(outcome), asked.json, DEBRIEF, indent=1)
    if asked.page is not None:
        write_page(outcome, asked.page, all_lines=asked.all_lines)
    print_rows(*debrief_text(outcome))
    if asked.page is not None:
        print_rows("", str(asked.page))
