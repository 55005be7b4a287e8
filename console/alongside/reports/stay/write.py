"""Write the report of a record to disk."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from alongside.errors import WrongInput
from alongside.record.opening import open_record
from alongside.reports.extras import need
from alongside.reports.output_files import Outputs
from alongside.reports.output_places import check_folder, check_outputs
from alongside.reports.parquet_files import need_parquet
from alongside.reports.replaceable import PAGE
from alongside.reports.stay.record_arrays import read_arrays


def need_libraries() -> None:
    """Raise WrongInput where a library of the report is not installed."""
    need("report", "report", "jinja2", "matplotlib")


@dataclass(frozen=True, slots=True)
class MoreTables:
    """Tables beside those as CSV: a folder for the same as Parquet, and a file for the long form."""

    parquet: Path | None = None
    long: Path | None = None


def write_report(
    record: Path,
    out: Path | None = None,
    tables: Path | None = None,
    *,
    all_lines: bool = False,
    more: MoreTables = MoreTables(),
    begin: Callable[[str], None] = lambda _words: None,
) -> Path:
    """Write the page, and the tables into a folder where one is named. Return where the page is. `all_lines`:
    with a chart of every line, not of those alone that mattered. `begin` is told what is done from then on.

    Without `out` the page takes the name of the record's folder and lies in the current one. Raises
    WrongInput for what is no record, a library that is not installed, or a place that cannot be written.
    """
    check_outputs([record], [(out, PAGE)])
    check_tables([record], tables, more)
    need_libraries()
    from alongside.reports.stay.holding_history import holding_history
    from alongside.reports.stay.line_figures import line_figures
    from alongside.reports.stay.long_table import write_long
    from alongside.reports.stay.page import page
    from alongside.reports.stay.tables import write_tables

    begin("Reading the record")
    with open_record(record) as reader:
        arrays = read_arrays(reader)
    path = Path(f"{arrays.folder.resolve().name}.html") if out is None else out
    check_outputs([record], [(path, PAGE)])
    lines = line_figures(arrays)
    text = page(arrays, lines, holding_history(arrays), all_lines=all_lines, begin=begin)
    begin("Writing")
    with Outputs() as outputs:
        if tables is not None:
            write_tables(outputs, tables, arrays, lines)
        if more.parquet is not None:
            write_tables(outputs, more.parquet, arrays, lines, parquet=True)
        if more.long is not None:
            write_long(outputs, more.long, arrays)
        outputs.text(path, PAGE).write(text)
    return path


def check_tables(inputs: Sequence[Path], tables: Path | None, more: MoreTables) -> None:
    """Raise WrongInput for tables that cannot be written, before anything is worked out."""
    from alongside.reports.stay.long_table import kind_of_long

    for folder in (tables, more.parquet):
        if folder is not None:
            check_folder(folder)
    if more.parquet is not None:
        need_parquet("report")
        if tables is not None and tables.resolve() == more.parquet.resolve():
            raise WrongInput(f"{tables}: given twice, expected a folder each for CSV and Parquet")
    if more.long is not None:
        check_outputs(inputs, [(more.long, kind_of_long(more.long))])
