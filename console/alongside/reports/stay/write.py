"""Write the report of a record to disk."""

from pathlib import Path

from alongside.record.opening import open_record
from alongside.reports.extras import need
from alongside.reports.output_files import Outputs
from alongside.reports.output_places import check_folder, check_outputs
from alongside.reports.replaceable import PAGE
from alongside.reports.stay.record_arrays import read_arrays


def need_libraries() -> None:
    """Raise WrongInput where a library of the report is not installed."""
    need("report", "report", "jinja2", "matplotlib")


def write_report(
    record: Path, out: Path | None = None, tables: Path | None = None, *, all_lines: bool = False
) -> Path:
    """Write the page, and the tables into a folder where one is named. Return where the page is. `all_lines`:
    with a chart of every line, not of those alone that mattered.

    Without `out` the page takes the name of the record's folder and lies in the current one. Raises
    WrongInput for what is no record, a library that is not installed, or a place that cannot be written.
    """
    check_outputs([record], [(out, PAGE)])
    if tables is not None:
        check_folder(tables)
    need_libraries()
    from alongside.reports.stay.holding_history import holding_history
    from alongside.reports.stay.line_figures import line_figures
    from alongside.reports.stay.page import page
    from alongside.reports.stay.tables import write_tables

    with open_record(record) as reader:
        arrays = read_arrays(reader)
    path = Path(f"{arrays.folder.resolve().name}.html") if out is None else out
    check_outputs([record], [(path, PAGE)])
    lines = line_figures(arrays)
    text = page(arrays, lines, holding_history(arrays), all_lines=all_lines)
    with Outputs() as outputs:
        if tables is not None:
            write_tables(outputs, tables, arrays, lines)
        outputs.text(path, PAGE).write(text)
    return path
