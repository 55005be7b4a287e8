"""States on record in a long form: a row an instant, line and quantity, whatever lines there are."""

from collections.abc import Iterator
from math import isnan
from pathlib import Path
from typing import Final

from alongside.errors import WrongInput
from alongside.reports.csv_files import Cell, write_csv
from alongside.reports.output_files import Outputs
from alongside.reports.parquet_files import need_parquet, write_parquet
from alongside.reports.replaceable import PARQUET, Kind, csv_kind
from alongside.reports.stay.record_arrays import NOT_KNOWN, OF_LINES, SHIP, RecordArrays
from alongside.reports.stay.tables import UNITS, kept_rows
from alongside.reports.table import Column, Table
from alongside.units import iso_time

STAGE: Final = "stage"
"""Quantity and unit of what a line's stage is: 0 normal, 1 caution, 2 warning, 3 alarm."""
_COLUMNS: Final = (
    Column("time", "time"),
    Column("line"),
    Column("quantity"),
    Column("value", "number", "unit"),
    Column("unit"),
)


def kind_of_long(path: Path) -> Kind:
    """Return the kind of file that a long table is by its name. Raise WrongInput for a name of another end,
    or a library that is not installed."""
    if path.suffix == ".csv":
        return csv_kind([column.name for column in _COLUMNS])
    if path.suffix == ".parquet":
        need_parquet("report")
        return PARQUET
    raise WrongInput(f"{path}: expected a name that ends in .csv or .parquet")


def long_table(arrays: RecordArrays, name: str) -> Table:
    """Return the states of the table of states, in order of time, of the ship first (no line), then line by
    line, stages last. What is not known has no row."""
    return Table(name, _COLUMNS, _rows(arrays))


def write_long(outputs: Outputs, path: Path, arrays: RecordArrays) -> None:
    """Write the long table as CSV or Parquet, by the end of its name."""
    table = long_table(arrays, path.stem)
    if path.suffix == ".csv":
        write_csv(outputs, path, table.head, table.rows)
    else:
        write_parquet(outputs, path.parent, table)


def _rows(arrays: RecordArrays) -> Iterator[list[Cell]]:
    rows = kept_rows(arrays)
    of_ship = [(None, name, arrays.number[name][rows]) for name in SHIP]
    of_lines = [(line.id, name, arrays.of(name, line.id)[rows]) for line in arrays.lines for name in OF_LINES]
    for at, row in enumerate(rows.tolist()):
        time = iso_time(float(arrays.time[row]))
        for line, quantity, values in (*of_ship, *of_lines):
            value = float(values[at])
            if not isnan(value):
                yield [time, line, quantity, value, UNITS[quantity]]
        for one, code in zip(arrays.lines, arrays.stage[row].tolist(), strict=True):
            if code != NOT_KNOWN:
                yield [time, one.id, STAGE, float(code), STAGE]
