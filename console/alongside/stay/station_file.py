"""Reading a tide station's file: the edge where paths become text."""

from pathlib import Path
from typing import Final

from alongside.errors import WrongInput
from alongside.stay.plain_file import NotPlain, read_plain
from alongside.stay.station import Station, with_datums
from alongside.stay.station_csv import datums_from_csv, stations_from_csv
from alongside.stay.station_json import station_from_json
from alongside.stay.station_offsets import Offsets, offsets_from_json

LARGEST: Final = 2_000_000
"""Bytes. A station has some ten thousand, a table of several some hundred thousand."""
EXPECTED: Final = "a station file in UTF-8"


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


def read_offsets(path: Path) -> Offsets | None:
    """Return what a .json file of a subordinate station has on its reference station; None of others."""
    return offsets_from_json(_text(path), str(path)) if path.suffix.lower() == ".json" else None


def _text(path: Path) -> str:
    try:
        return read_plain(path, LARGEST, EXPECTED).decode("utf-8-sig")
    except NotPlain as error:
        wrong, _, expected = str(error).partition(", expected ")
        raise WrongInput(f"{path}: {wrong}; expected {expected}") from error
    except OSError as error:
        raise WrongInput(f"{path}: cannot be read: {error.strerror}; expected {EXPECTED}") from error
    except UnicodeDecodeError as error:
        wrong = f"byte {error.object[error.start]:#04x} at {error.start} is not text"
        raise WrongInput(f"{path}: {wrong}; expected {EXPECTED}") from error
