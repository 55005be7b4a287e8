"""Tide stations from comma-separated tables, as text.

One row a constituent: its name (`constituent` or `con`, else `name`), amplitude (`amp…` with its unit at the
end, `amp_m` or `amp_ft`), Greenwich lag (`G_deg_utc`, `phase_gmt`, `phase`; not one of another zone, such as
`phase_local`), in headings of either case, and perhaps `station`, where one file holds
several, and `expr`, the sum of basic constituents. A line `# z0_m_nap=0.090` gives mean level above a datum.
"""

import csv
import re
from collections.abc import Mapping
from typing import Final

from alongside.errors import WrongInput
from alongside.stay.model import Constituent
from alongside.stay.station import (
    GREENWICH,
    METRES,
    Station,
    amplitude_in,
    distinct,
    greenwich_lag,
    number_in,
    terms_of,
)

_MEAN_LEVEL: Final = re.compile(r"\bz0_m_(\w+)=([-+]?[\d.]+)")
_ZONE: Final = re.compile(r"\bzone=(\w+)")
_NOT_DATUMS: Final = ("station", "name", "lat", "lon")


def stations_from_csv(text: str, where: str) -> list[Station]:
    """All stations of a table of constants, in the order in which the file first names them."""
    comments, rows = _table(text, where)
    zone = _ZONE.search(text)
    if zone and zone[1].lower() not in GREENWICH:
        raise WrongInput(f"{where}: zone={zone[1]}: expected lags at Greenwich, zone=UTC")
    constants: dict[tuple[str, str], list[Constituent]] = {}
    for line, given in rows:
        place, row = f"{where}:{line}", {key.lower(): value for key, value in given.items()}
        key = (row.get("station", ""), row.get("name", "") if "constituent" in row else "")
        constants.setdefault(key, []).append(_constituent(row, place))
    if not constants:
        raise WrongInput(f"{where}: no constituents; expected a heading and rows of name, amp_m, G_deg_utc")
    zero = _MEAN_LEVEL.search(comments)
    datum, level = (zero[1].upper(), number_in(zero[2], f"z0_m_{zero[1]}", where)) if zero else ("", None)
    return [
        Station(name or where, identity, distinct(rows_of, where), datum, level, {}, where)
        for (identity, name), rows_of in constants.items()
    ]


def _constituent(row: Mapping[str, str], place: str) -> Constituent:
    """One constant from a row; the columns' own names say their units."""
    amplitude, lag = _column(row, "amp", place), greenwich_lag(row, place)
    unit = amplitude.rsplit("_", 1)[-1] if "_" in amplitude else "m"
    if unit not in METRES:
        raise WrongInput(f"{place}: {amplitude}: unit {unit} is not known, expected m, cm, mm or ft")
    try:
        compound = terms_of(row["expr"]) if row.get("expr") else ()
    except ValueError as error:
        raise WrongInput(f"{place}: expr: {error}") from error
    name = row.get("constituent") or row.get("con") or row.get("name", "")
    height = amplitude_in(row[amplitude], amplitude, place) * METRES[unit]
    return Constituent(name, height, number_in(row[lag], lag, place), compound)


def datums_from_csv(text: str, where: str) -> dict[str, dict[str, float]]:
    """Datums by station id: every column that is a number, but its position."""
    _, rows = _table(text, where)
    found = {}
    for line, row in rows:
        named = {key: value for key, value in row.items() if key not in _NOT_DATUMS}
        place = f"{where}:{line}"
        found[row.get("station", "")] = {
            key: number_in(value, key, place) for key, value in named.items() if value
        }
    return found


def _table(text: str, where: str) -> tuple[str, list[tuple[int, dict[str, str]]]]:
    """Comment lines joined, and (line number, row by heading) of the rest."""
    numbered = [(number, line) for number, line in enumerate(text.splitlines(), 1) if line.strip()]
    comments = " ".join(line for _, line in numbered if line.startswith("#"))
    data = [(number, line) for number, line in numbered if not line.startswith("#")]
    try:
        cells = list(csv.reader(line for _, line in data))
    except csv.Error as error:
        raise WrongInput(f"{where}: {error}; expected comma-separated values") from error
    heading = [cell.strip() for cell in cells[0]] if cells else []
    rows = []
    for (number, _), row in zip(data[1:], cells[1:], strict=False):
        if len(row) != len(heading):
            raise WrongInput(
                f"{where}:{number}: {len(row)} fields, expected {len(heading)} as in the heading"
            )
        rows.append((number, dict(zip(heading, (cell.strip() for cell in row), strict=True))))
    return comments, rows


def _column(row: Mapping[str, str], prefix: str, place: str) -> str:
    found = [name for name in row if name.startswith(prefix)]
    if len(found) != 1:
        raise WrongInput(f"{place}: columns are {', '.join(row)}; expected one that begins with {prefix}")
    return found[0]
