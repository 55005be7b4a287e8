"""The tables of the report as CSV for other programs: SI units, times ISO 8601 in UTC.

Columns and their units stand on the manual's page `report`.
"""

from collections.abc import Iterator, Mapping, Sequence
from math import isfinite
from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import NDArray

from alongside.actions import Accept, Acknowledge, Note, Silence, TendLine
from alongside.alerts.model import Event
from alongside.record.reader import Done
from alongside.reports.csv_files import Cell, write_csv
from alongside.reports.output_files import Outputs
from alongside.reports.stay.line_figures import LineFigures
from alongside.reports.stay.record_arrays import NOT_KNOWN, OF_LINES, SHIP, RecordArrays
from alongside.stay.causes import known_cause
from alongside.stay.stage import Stage
from alongside.units import iso_time
from alongside.wording.actions import action_name

EVERY_S: Final = 60.0
"""Between rows of the table of states."""
SHARE: Final = "share"
UNITS: Final[Mapping[str, str]] = {
    **dict.fromkeys(("stretch", "load", "slack", "brake", "bollard", "holding", "tension"), SHARE),
    **dict.fromkeys(("under_keel", "off_fenders", "drift", "gangway"), "m"),
    "steep": "deg",
    "ahead": "min",
    "feed": "s",
    "clock": "s",
}
"""Of value and limit, by cause; a cause without one has a plain number."""
EVENT_UNITS: Final[Mapping[str, str]] = {"gap": "s", "tended": "m", "note": "m"}
"""Of the value of events that belong to no alert."""


def write_tables(outputs: Outputs, folder: Path, arrays: RecordArrays, lines: Sequence[LineFigures]) -> None:
    """Write states.csv, events.csv, actions.csv and lines.csv to a folder, made where it is missing."""
    outputs.folder(folder)
    write_csv(outputs, folder / "states.csv", *_states(arrays))
    write_csv(outputs, folder / "events.csv", *_events(arrays))
    write_csv(outputs, folder / "actions.csv", *_actions(arrays))
    write_csv(outputs, folder / "lines.csv", *_lines(lines))


def kept_rows(arrays: RecordArrays) -> NDArray[np.intp]:
    """Return the rows of the states table: of the even states, the first of each minute."""
    even = np.flatnonzero(arrays.even)
    _, first = np.unique(arrays.time[even] // EVERY_S, return_index=True)
    return even[first]


Table = tuple[list[str], Iterator[list[Cell]]]


def _states(arrays: RecordArrays) -> Table:
    of_lines = [f"{quantity}.{line.id}" for line in arrays.lines for quantity in OF_LINES]
    names = [*SHIP, *of_lines]
    head = ["time", *names, *(f"stage.{line.id}" for line in arrays.lines)]
    rows = kept_rows(arrays)
    columns = [arrays.number[name][rows] for name in names]

    def each() -> Iterator[list[Cell]]:
        for at, row in enumerate(rows.tolist()):
            stages = [None if code == NOT_KNOWN else Stage(code).word for code in arrays.stage[row].tolist()]
            yield [iso_time(float(arrays.time[row])), *(float(column[at]) for column in columns), *stages]

    return head, each()


def _events(arrays: RecordArrays) -> Table:
    head = ["time", "event", "alert", "subject", "stage", "line", "value", "limit", "unit", "text"]
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
    return head, rows


def unit_of(event: Event) -> str | None:
    """Return the unit of an event's value and limit: `share`, `deg`, `m`, `s`, `min`; None for none."""
    if event.value is None:
        return None
    if event.alert is None:
        return EVENT_UNITS.get(event.event)
    if (event.alert, event.subject) in (("gangway", "slope"), ("drift", "yaw_range")):
        return "deg"
    return UNITS.get(known_cause(event.alert) or event.alert)


def _actions(arrays: RecordArrays) -> Table:
    head = ["time", "action", "alert", "subject", "line", "paid_out_m", "to_tension_kn", "text", "by"]
    return head, (_action(done) for done in arrays.actions)


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
    head = ["line", "role", "rope", "certificate", "wll_kn"]
    head += [name for peak in peaks for name in (peak, f"{peak}_at")]
    head += [*(f"{stage.word}_s" for stage in Stage), "unknown_s", "tendings"]
    return head, (_line(one, peaks) for one in lines)


def _line(one: LineFigures, peaks: Sequence[str]) -> list[Cell]:
    rope = one.line.rope
    row: list[Cell] = [one.line.id, one.line.role, rope.name, rope.certificate, one.line.smallest_wll_kn]
    for name in peaks:
        peak = getattr(one, name)
        row += [peak.value, iso_time(peak.time) if isfinite(peak.time) else None]
    return [*row, *one.stage_s, one.unknown_s, one.tendings]
