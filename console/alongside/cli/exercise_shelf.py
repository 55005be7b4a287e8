"""`alongside exercise FOLDER`: which exercises there are, and what is wrong with those that are not whole."""

from pathlib import Path

from alongside.cli.examples import example_folder
from alongside.cli.progress import Progress
from alongside.cli.standard_output import columns_of_terminal, print_rows
from alongside.reports.output_files import write_json
from alongside.reports.output_places import check_outputs
from alongside.reports.replaceable import SHELF
from alongside.training.exercise.shelf import exercise_files, shelf_json, shelf_of, shelf_rows, summed_up

SOME_WRONG = 2
"""Exit status: a file of the shelf is wrong; all are listed."""


def print_shelf(folder: Path | None, to: Path | None) -> int:
    """Print the exercises of a folder, those that ship with the program where none is named; also as JSON
    where a file is named. Return the exit status."""
    place = example_folder("configs/exercises") if folder is None else folder
    check_outputs(exercise_files(place), [(to, SHELF)])
    with Progress() as progress:
        shelf = shelf_of(place, progress.show)
    if to is not None:
        write_json(shelf_json(shelf), to, SHELF, indent=1)
    print_rows(*shelf_rows(shelf, columns_of_terminal()), f"{summed_up(shelf)} in {place}")
    if folder is None:
        print_rows("alongside exercise FILE begins one; FOLDER lists others; --help has all options")
    return SOME_WRONG if any(each.exercise is None for each in shelf) else 0
