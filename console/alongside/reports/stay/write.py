"""From a record to its report on the disk."""

import os
from pathlib import Path

from alongside.errors import WrongInput
from alongside.record.open_record import opened
from alongside.reports.extras import need
from alongside.reports.stay.record_arrays import gather


def write_report(record: Path, out: Path | None = None, tables: Path | None = None) -> Path:
    """Write the page, and the tables into a folder where one is named; returns where the page is.

    Without `out` the page takes the name of the record's folder and lies in the current one. Raises
    WrongInput for what is no record, a library that is not installed, or a place that cannot be written.
    """
    need("report", "report", "jinja2", "matplotlib")
    from alongside.reports.stay.figures import line_figures
    from alongside.reports.stay.page import page
    from alongside.reports.stay.tables import write_tables
    from alongside.reports.stay.wind_held import wind_held

    with opened(record) as reader:
        told = gather(reader)
    path = Path(f"{told.folder.resolve().name}.html") if out is None else out
    _keep_apart(path, told.folder)
    lines = line_figures(told)
    text = page(told, lines, wind_held(told))
    if tables is not None:
        write_tables(tables, told, lines)
    _write_whole(path, text)
    return path


def _keep_apart(path: Path, folder: Path) -> None:
    """Refuse to write over a part of the record."""
    if path.exists() and path.resolve().parent == folder.resolve() and path.suffix != ".html":
        raise WrongInput(f"{path}: is a part of the record, expected a file of its own")


def _write_whole(path: Path, text: str) -> None:
    """All of it or nothing: a page cut off by a full disk would look whole."""
    beside = path.with_name(f"{path.name}.part")
    try:
        beside.write_text(text, encoding="utf-8")
        os.replace(beside, path)
    except OSError as error:
        beside.unlink(missing_ok=True)
        raise WrongInput(f"{path}: {error.strerror}, expected a file that can be written") from error
