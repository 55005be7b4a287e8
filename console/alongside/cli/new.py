"""`alongside new`: writes a stay file by asking, in a form on the screen or with plain questions."""

import argparse
import sys
import time
from pathlib import Path
from typing import TYPE_CHECKING

from alongside.cli.arguments import add_palette
from alongside.cli.standard_output import give_up_output, print_rows
from alongside.cli.terminal import has_terminal, need_terminal
from alongside.errors import WrongInput

if TYPE_CHECKING:
    from alongside.reports.new_stay.entry import Entry


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("file", type=Path, metavar="FILE", help="the stay file to write, a new one")
    plain = "plain questions, one after the other, instead of the form; reads answers from a pipe too"
    parser.add_argument("--plain", action="store_true", help=plain)
    add_palette(parser)


def run(options: argparse.Namespace) -> int:
    path: Path = options.file
    check_new(path)
    if not options.plain:
        need_terminal("new", "or plain questions with --plain")
    from alongside.reports.new_stay.kept import kept
    from alongside.reports.new_stay.shelf_files import shelf_of

    try:
        shelf = shelf_of(path.parent)
    except OSError as error:
        raise WrongInput(f"{path.parent}: cannot be read ({error.strerror}), expected a folder") from error
    entry = kept(path, shelf, time.time())
    if options.plain:
        from alongside.cli.plain_questions import PlainQuestions

        return PlainQuestions(path, entry, quick=not has_terminal()).run()
    return _form(path, entry, options)


def _form(path: Path, entry: "Entry", options: argparse.Namespace) -> int:
    from alongside.reports.new_stay.kept import answers_file
    from alongside.reports.new_stay.written import written_rows
    from alongside.screens.run import run_new_stay

    status, is_written = run_new_stay(path, entry, options.palette, options.ascii)
    rows = written_rows(path) if is_written else _go_on(path, answers_file(path))
    try:
        print_rows(*rows)
        sys.stdout.flush()
    except OSError:
        give_up_output()  # the form ended with its terminal
    return status


def _go_on(path: Path, answers: Path) -> tuple[str, ...]:
    return f"Nothing written; answers are in {answers}", f"Go on with: alongside new {path}"


def check_new(path: Path) -> None:
    """Raise WrongInput where a stay file cannot be written there."""
    if path.suffix not in (".yaml", ".yml"):
        raise WrongInput(f"{path}: expected a name that ends in .yaml")
    if not path.parent.is_dir():
        raise WrongInput(f"{path}: there is no folder {path.parent}, expected one")
    if path.exists() or path.is_symlink():
        names = (path.with_name(f"{path.stem}-{number}{path.suffix}") for number in range(2, 1000))
        free = next((each.name for each in names if not each.exists()), "another name")
        raise WrongInput(
            f"{path}: is there already; it is not written over, expected a new name such as {free}"
        )
