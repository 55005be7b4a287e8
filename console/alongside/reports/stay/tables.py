"""The tables of the report for other programs, with the unit of each column: SI, times ISO 8601 in UTC."""

from collections.abc import Iterator, Mapping, Sequence
from math import isfinite
from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import NDArray

from alongside.actions import Accept, Acknowledge, Note, Silence, TendLine
from alongside.record.reader import Done
from alongside.reports.csv_files import Cell, write_csv
from alongside.reports.event_units import unit_of
from alongside.reports.output_files import Outputs, json_text
from alongside.reports.parquet_files import write_parquet
from alongside.reports.replaceable import COLUMNS_OF_TABLES
from alongside.reports.stay.line_figures import LineFigures
from alongside.reports.stay.record_arrays import NOT_KNOWN, OF_LINES, SHIP, RecordArrays
from alongside.reports.table import Column, Table, columns_object
from alongside.stay.stage import Stage
from alongside.units import iso_time
from alongside.wording.actions import action_name

EVERY_S: Final = 60.0
"""Between rows of the table of states."""
COLUMNS: Final = "columns.json"
UNITS: Final[Mapping[str, str]] = {
    **dict.fromkeys(("tide", "draught_fwd", "draught_aft", "trim", "surge", "sway"), "m"),
    **dict.fromkeys(("wind_ms", "wind_gust_ms", "current_ms"), "m/s"),
    **dict.fromkeys(("heel_deg", "wind_from_deg", "current_to_deg", "vertical_deg"), "deg"),
    **dict.fromkeys(("tension_kn", "measured_kn", "slipped.tension_kn"), "kN"),
    **dict.fromkeys(("load_share", "stretch_share"), "1"),
    **dict.fromkeys(("unstretched_m", "slipped.paid_out_m"), "m"),
    "elongation_pct": "%",
}
"""Of the quantities of ship and lines."""


def write_tables(
    outputs: Outputs, folder: Path, arrays: RecordArrays, lines: Sequence[LineFigures], parquet: bool = False
) -> None:
    """Write states, events, actions and lines to a folder, made where it is missing: as CSV or as
    Parquet."""
    outputs.folder(folder)
    tables = (_states(arrays), _events(arrays), _actions(arrays), _lines(lines))
    for table in tables:
        if parquet:
            write_parquet(outputs, folder, table)
        else:
            write_csv(outputs, folder / f"{table.name}.csv", table.head, table.rows)
    outputs.text(folder / COLUMNS, COLUMNS_OF_TABLES).write(
        f"{json_text(columns_object(tables), indent=1)}\n"
    )


def kept_rows(arrays: RecordArrays) -> NDArray[np.intp]:
    """Return the rows of the states table: of the even states, the first of each minute."""
    even = np.flatnonzero(arrays.even)
    _, first = np.unique(arrays.time[even] // EVERY_S, return_index=True)
    return even[first]


def _states(arrays: RecordArrays) -> Table:
    columns = [Column("time", "time"), *(Column(name, "number", UNITS[name]) for name in SHIP)]
    columns += [
        Column(f"{quantity}.{line.id}", "number", UNITS[quantity])
        for line in arrays.lines
        for quantity in OF_LINES
    ]
    names = [column.name for column in columns[1:]]
    columns += [Column(f"stage.{line.id}") for line in arrays.lines]
    rows = kept_rows(arrays)
    numbers = [arrays.number[name][rows] for name in names]

    def each() -> Iterator[list[Cell]]:
        for at, row in enumerate(rows.tolist()):
            stages = [None if code == NOT_KNOWN else Stage(code).word for code in arrays.stage[row].tolist()]
            yield [iso_time(float(arrays.time[row])), *(float(column[at]) for column in numbers), *stages]

    return Table("states", tuple(columns), each())


def _events(arrays: RecordArrays) -> Table:
    columns = (
        Column("time", "time"),
        *map(Column, ("event", "alert", "subject", "stage", "line")),
        *(Column(name, "number", "unit") for name in ("value", "limit")),
        *map(Column, ("unit", "text")),
    )
    rows: Iterator[list[Cell]] = (
        [
            iso_time(event.time),
            event.event,
            event.alert,
            event.subject,
            None if event.stage is None else event.stage.word,
            event.line,
            event.value,
            event.limit,
            unit_of(event),
            event.text,
        ]
        for event in arrays.events
    )
    return Table("events", columns, rows)


def _actions(arrays: RecordArrays) -> Table:
    columns = (
        Column("time", "time"),
        *map(Column, ("action", "alert", "subject", "line")),
        Column("paid_out_m", "number", "m"),
        Column("to_tension_kn", "number", "kN"),
        *map(Column, ("text", "by")),
    )
    return Table("actions", columns, (_action(done) for done in arrays.actions))


def _action(done: Done) -> list[Cell]:
    action = done.action
    alert: tuple[Cell, Cell] = None, None
    if isinstance(action, Acknowledge | Accept | Silence) and action.cause:
        alert = action.cause, action.subject
    tend = (
        (action.line, action.paid_out, action.to_tension_kn)
        if isinstance(action, TendLine)
        else (None, None, None)
    )
    text = action.text if isinstance(action, Note) else None
    text = action.reason if isinstance(action, Accept) else text
    return [iso_time(done.time), action_name(action), *alert, *tend, text, getattr(action, "by", "")]


def _lines(lines: Sequence[LineFigures]) -> Table:
    peaks = ("tension_kn", "load_share", "stretch_share", "vertical_deg", "slackest_kn")
    columns = [*map(Column, ("line", "role", "rope", "certificate")), Column("wll_kn", "number", "kN")]
    for peak in peaks:
        columns += [Column(peak, "number", UNITS.get(peak, "kN")), Column(f"{peak}_at", "time")]
    columns += [Column(f"{name}_s", "number", "s") for name in (*(stage.word for stage in Stage), "unknown")]
    columns.append(Column("tendings", "count"))
    return Table("lines", tuple(columns), (_line(one, peaks) for one in lines))


def _line(one: LineFigures, peaks: Sequence[str]) -> list[Cell]:
    rope = one.line.rope
    row: list[Cell] = [one.line.id, one.line.role, rope.name, rope.certificate, one.line.smallest_wll_kn]
    for name in peaks:
        peak = getattr(one, name)
        row += [peak.value, iso_time(peak.time) if isfinite(peak.time) else None]
    return [*row, *one.stage_s, one.unknown_s, one.tendings]
