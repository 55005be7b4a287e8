"""`alongside instruct`: the instructor's console on an exercise that somebody lives through."""

import argparse
from pathlib import Path
from typing import Final

from alongside.cli.arguments import add_mouse, add_palette
from alongside.cli.drawn import as_drawn
from alongside.cli.standard_output import print_rows
from alongside.cli.terminal import need_terminal
from alongside.errors import WrongInput
from alongside.record.attempt import Seat
from alongside.training.exercise.file import read_exercise
from alongside.training.station.places import (
    FOLDER,
    Place,
    kept_in,
    place_of,
    places,
    write_what_was_kept,
)

NONE: Final = "nobody lives through an exercise with a station, expected: alongside exercise FILE --station"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    which = "which attempt, by its folder or name (default: the one that runs; more are listed)"
    parser.add_argument("attempt", nargs="?", metavar="ATTEMPT", help=which)
    parser.add_argument("--list", action="store_true", help="only list attempts")
    add_palette(parser)
    add_mouse(parser)


def run(options: argparse.Namespace) -> int:
    if options.list:
        print_rows(*([each.words for each in places()] or ["No attempts"]))
        return 0
    place = _asked_for(options.attempt)
    if not place.runs:
        _say_what_was_kept(place)
        return 0
    need_terminal("instruct")
    status = _on_the_console(place, options)
    after = place_of(place.folder)
    if after.runs:
        print_rows("The trainee goes on.")
    elif after.story.ended:
        print_rows("The trainee has ended the exercise; his console wrote what was done.")
    else:
        _say_what_was_kept(after)
    return status


def _asked_for(name: str | None) -> Place:
    """Return the attempt that is meant. Raises WrongInput where that is not clear."""
    if name is not None:
        folder = Path(name)
        return place_of(folder if folder.is_dir() else kept_in() / FOLDER / name)
    running = [each for each in places() if each.runs]
    if len(running) > 1:
        raise WrongInput("several run, expected one of them by its name", *(each.words for each in running))
    if not running:
        raise WrongInput(NONE)
    return running[0]


def _on_the_console(place: Place, options: argparse.Namespace) -> int:
    from alongside.screens.run import run_console
    from alongside.training.station.instructor_desk import InstructorDesk

    attempt = place.story.attempt
    exercise = as_drawn(read_exercise(place.story.file), None, attempt)
    desk = InstructorDesk(exercise, Seat(place.folder))
    return run_console(desk, exercise.stay, options.palette, options.ascii, mouse=options.mouse)


def _say_what_was_kept(place: Place) -> None:
    given, actions = write_what_was_kept(place)
    print_rows(
        place.words,
        f"The exercise as it was given: {given}",
        f"What was done: {actions}",
        f"Debrief: alongside debrief {given} {actions}",
    )
