"""Tables as Parquet files, by pyarrow: types, units and format stand in the file itself.

The metadata of the schema have `alongside.format`, `alongside.table` and `alongside.version`; those of each
column its `unit`, where it has one. Times are timestamps in UTC, what is not known is null.
"""

from collections.abc import Iterator, Sequence
from datetime import datetime
from itertools import islice
from math import isnan
from pathlib import Path
from typing import Any, Final

from alongside import __version__
from alongside.reports.csv_files import Cell
from alongside.reports.extras import need
from alongside.reports.output_files import FORMAT, Outputs
from alongside.reports.replaceable import PARQUET
from alongside.reports.table import Column, Table
from alongside.wording.safe import safe

ROWS: Final = 65_536
"""In a group: no more of a table is in memory at once."""


def need_parquet(command: str) -> None:
    """Raise WrongInput where the library is not installed."""
    need(command, "parquet", "pyarrow")


def write_parquet(outputs: Outputs, folder: Path, table: Table) -> None:
    """Write a table to a file of its name in a folder."""
    from pyarrow import parquet

    schema = _schema(table)
    file = outputs.binary(folder / f"{table.name}.parquet", PARQUET)
    with parquet.ParquetWriter(file, schema, compression="zstd") as writer:
        rows = iter(table.rows)
        empty = True
        while part := list(islice(rows, ROWS)):
            writer.write_batch(_batch(table.columns, part, schema))
            empty = False
        if empty:
            writer.write_batch(_batch(table.columns, [], schema))


def _schema(table: Table) -> Any:
    import pyarrow as pa

    types = {
        "text": pa.string(),
        "number": pa.float64(),
        "count": pa.int64(),
        "time": pa.timestamp("ms", tz="UTC"),
    }
    columns = [
        pa.field(each.name, types[each.kind], metadata={"unit": each.unit} if each.unit else None)
        for each in table.columns
    ]
    about = {
        "alongside.format": str(FORMAT),
        "alongside.table": table.name,
        "alongside.version": __version__,
    }
    return pa.schema(columns, metadata=about)


def _batch(columns: Sequence[Column], rows: Sequence[Sequence[Cell]], schema: Any) -> Any:
    import pyarrow as pa

    cells = zip(*rows, strict=True) if rows else ((),) * len(columns)
    arrays = [
        pa.array(list(_values(column, values)), type=field.type)
        for column, values, field in zip(columns, cells, schema, strict=True)
    ]
    return pa.record_batch(arrays, schema=schema)


def _values(column: Column, cells: Sequence[Cell]) -> Iterator[object]:
    """Yield the cells of a column as its type has them."""
    for cell in cells:
        if cell is None or (isinstance(cell, float) and isnan(cell)):
            yield None
        elif column.kind == "time":
            yield datetime.fromisoformat(str(cell))
        else:
            yield safe(cell) if isinstance(cell, str) else cell
