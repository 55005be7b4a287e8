"""A tide station from JSON, as text, in the form of open tide databases.

An object with `harmonic_constituents`, a list of {name, amplitude, phase} (`phase_GMT` or `phase_UTC` where
there are several), or that list alone; `datums`, a
map of heights above the station's zero; `units`, metres unless it says otherwise; `source` and `license`.
"""

import json
from collections.abc import Mapping
from typing import Any, Final

from alongside.errors import WrongInput
from alongside.stay.model import Constituent
from alongside.stay.station import (
    METRES,
    Station,
    about_mean_level,
    amplitude_in,
    distinct,
    greenwich_lag,
    number_in,
)

EXPECTED: Final = "expected a station as open tide databases publish it"


def station_from_json(text: str, where: str) -> Station:
    """One station of an open tide database."""
    try:
        content = json.loads(text)
    except json.JSONDecodeError as error:
        raise WrongInput(
            f"{where}:{error.lineno}:{error.colno}: not JSON: {error.msg}; {EXPECTED}"
        ) from error
    except RecursionError as error:
        raise WrongInput(f"{where}: nested too deep; {EXPECTED}") from error
    except ValueError as error:  # a number of some thousand digits
        raise WrongInput(f"{where}: not JSON that can be read ({error}); {EXPECTED}") from error
    items = content
    if isinstance(content, dict):
        items = content.get("harmonic_constituents", content.get("HarmonicConstituents"))
    if not isinstance(items, list) or not items:
        raise WrongInput(
            f"{where}: harmonic_constituents: missing or empty, expected a list of name, amplitude, phase"
        )
    about = content if isinstance(content, dict) else {}
    unit = str(about.get("units", "m")).lower()
    if unit not in METRES:
        raise WrongInput(f"{where}: units: {unit!r} is not a known unit, expected metres or feet")
    constants = [_json_constituent(item, METRES[unit], f"{where}: [{n}]") for n, item in enumerate(items)]
    datums = about.get("datums") or {}
    if not isinstance(datums, dict):
        raise WrongInput(f"{where}: datums: not a map, expected heights by name")
    levels = {name: number_in(level, name, where) * METRES[unit] for name, level in datums.items()}
    return about_mean_level(
        Station(
            name=str(about.get("name", where)),
            id=str(about.get("id", "")),
            constituents=distinct(constants, where),
            datums=levels,
            source=_source(about) or where,
        )
    )


def _json_constituent(item: Any, metres: float, place: str) -> Constituent:
    if not isinstance(item, dict) or not {"name", "amplitude"} <= item.keys():
        raise WrongInput(f"{place}: {item!r}: expected an object with name, amplitude and phase")
    amplitude = amplitude_in(item["amplitude"], "amplitude", place) * metres
    lag = greenwich_lag(item, place)
    return Constituent(str(item["name"]), amplitude, number_in(item[lag], lag, place))


def _source(about: Mapping[str, Any]) -> str:
    """Who published it, where, under which licence, in one line."""
    source, licence = about.get("source"), about.get("license")
    origin = [source.get("name"), source.get("url")] if isinstance(source, dict) else [source]
    terms = licence.get("type") if isinstance(licence, dict) else licence
    return ", ".join(str(part) for part in (*origin, terms) if part)
