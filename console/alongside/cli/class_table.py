"""`alongside debrief EXERCISE FOLDER`: the table of a class."""

import sys
from pathlib import Path

from alongside.cli.progress import Progress
from alongside.cli.standard_output import columns_of_terminal, print_rows
from alongside.errors import WrongInput
from alongside.record.layout import journal_of
from alongside.reports.csv_files import write_csv
from alongside.reports.output_files import Outputs, json_text
from alongside.reports.output_places import check_outputs
from alongside.reports.replaceable import CLASS, csv_kind
from alongside.training.exercise.class_table import action_files, class_table
from alongside.training.exercise.class_text import COLUMNS, as_table, class_json, class_rows
from alongside.training.exercise.file import read_exercise
from alongside.training.exercise.shelf import exercise_files, shelf_of

WIDE = 1000
"""Columns where the table goes into no terminal."""


def is_class(done: Path) -> bool:
    """Return whether a folder holds runs of several, and is no record."""
    return done.is_dir() and not journal_of(done).exists()


def print_class(exercise: Path, folder: Path, csv: Path | None, json: Path | None) -> int:
    """Print the table of a folder of actions, by one exercise or all of a folder; write it where files are
    named. Return the exit status: 2 where a file is left out."""
    files = action_files(folder)
    known = exercise_files(exercise) if exercise.is_dir() else [exercise]
    check_outputs([*known, *files], [(csv, csv_kind([each.name for each in COLUMNS])), (json, CLASS)])
    with Progress() as progress:
        if exercise.is_dir():
            shelf = shelf_of(exercise, progress.show)
            exercises = [each.exercise for each in shelf if each.exercise is not None]
        else:
            exercises = [read_exercise(exercise)]
        if not exercises:
            raise WrongInput(f"{exercise}: all exercises in it are wrong, expected one that is not")
        table = class_table(exercises, files, progress.show)
    with Outputs() as outputs:
        if csv is not None:
            plain = as_table(table)
            write_csv(outputs, csv, plain.head, plain.rows)
        if json is not None:
            outputs.text(json, CLASS).write(f"{json_text(class_json(table), indent=1)}\n")
    print_rows(*class_rows(table, columns_of_terminal() if sys.stdout.isatty() else WIDE))
    return 2 if table.left_out else 0
