"""The files of a new stay, written all at once or not at all, never over another."""

import re
from pathlib import Path
from typing import Final

from alongside.reports.new_stay.entry import Entry, standing
from alongside.reports.new_stay.texts import Files, files_of
from alongside.reports.output_files import Outputs
from alongside.reports.remarks.text import check_rows, counted_remarks
from alongside.reports.replaceable import Kind
from alongside.stay.read import describe, read_stay

NEW_FILE: Final = Kind("file of a stay", re.compile(rb"(?!)"))
"""None is replaced."""


def files_to_write(entry: Entry, stay: Path) -> Files:
    """Return the texts of all files of an entry that is whole."""
    return files_of(standing(entry).sheet, stay.name)


def write_files(files: Files, folder: Path) -> tuple[Path, ...]:
    """Write the files; returns where. Raises WrongInput or DiskFailed, then none is written."""
    paths = tuple(folder / name for name in files.texts)
    with Outputs() as outputs:
        for path, text in zip(paths, files.texts.values(), strict=True):
            outputs.text(path, NEW_FILE).write(text)
    return paths


def written_rows(stay: Path) -> tuple[str, ...]:
    """Return what `check` says of a stay file that was written, and what comes next."""
    made = read_stay(stay)
    rows, remarks = check_rows(made)
    first = f"{stay}: {describe(made)}; {counted_remarks(remarks)}"
    return first, *rows, f"Next: alongside check {stay}, then alongside watch {stay}"
