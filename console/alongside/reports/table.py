"""Tables for other programs, with the unit of each column, whatever file they go into."""

from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass
from typing import Literal

from alongside.reports.csv_files import Cell

ColumnKind = Literal["text", "number", "count", "time"]


@dataclass(frozen=True, slots=True)
class Column:
    """`unit` as on the manual's page `outputs`, "" where it has none. A `time` is ISO 8601 in UTC."""

    name: str
    kind: ColumnKind = "text"
    unit: str = ""


@dataclass(frozen=True, slots=True)
class Table:
    """`name` is that of its file, without the ending; each row has a cell a column, None for not known."""

    name: str
    columns: tuple[Column, ...]
    rows: Iterable[Sequence[Cell]]

    @property
    def head(self) -> list[str]:
        return [column.name for column in self.columns]


def columns_object(tables: Sequence[Table]) -> dict[str, object]:
    """Return what the columns of tables are, for programs that read files without units in them."""
    return {
        "tables": [
            {"table": table.name, "columns": [asdict(column) for column in table.columns]} for table in tables
        ]
    }
