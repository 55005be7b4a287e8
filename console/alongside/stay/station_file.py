"""Reading a tide station's file: the edge where paths become text."""

from pathlib import Path

from alongside.errors import WrongInput
from alongside.stay.station import Station, with_datums
from alongside.stay.station_csv import datums_from_csv, stations_from_csv
from alongside.stay.station_json import station_from_json


def read_station(path: Path, station: str | None = None, datums: Path | None = None) -> Station:
    """One station from a .json or .csv file; `station` is its name or id where the file holds several,
    `datums` a CSV of datums beside it. Raises WrongInput that says what is wrong and where."""
    text = _text(path)
    if path.suffix.lower() == ".json":
        found = [station_from_json(text, str(path))]
    else:
        levels = datums_from_csv(_text(datums), str(datums)) if datums else {}
        found = [with_datums(each, levels) for each in stations_from_csv(text, str(path))]
    wanted = [each for each in found if station is None or station in (each.name, each.id)]
    if len(wanted) != 1:
        names = ", ".join(each.name or each.id for each in found)
        raise WrongInput(f"{path}: which station? expected one of: {names}")
    return wanted[0]


def _text(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        raise WrongInput(f"{path}: cannot be read: {error}; expected a station file in UTF-8") from error
