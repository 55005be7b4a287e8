"""A subordinate station from JSON, in the form of open tide databases: `offsets` on another station.

`offsets` has `reference`, the id of that station; `time` with `high` and `low`, minutes later; `height` with
`high` and `low`, of `type` `ratio` (times the height there) or `fixed` (added to it, in `units`).
"""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from alongside.errors import WrongInput
from alongside.stay.model import TideDifferences
from alongside.stay.model.subordinate import Rows
from alongside.stay.station import METRES, number_in


@dataclass(frozen=True, slots=True)
class Offsets:
    """Differences on the station with the id `reference`."""

    reference: str
    differences: TideDifferences


def offsets_from_json(text: str, where: str) -> Offsets | None:
    """Return the offsets of a station, None where it has constants of its own or is none: that is for others
    to say. Raises WrongInput for offsets that cannot be read."""
    try:
        content = json.loads(text)
    except (ValueError, RecursionError):
        return None
    if not isinstance(content, dict) or content.get("harmonic_constituents") or "offsets" not in content:
        return None
    place = f"{where}: offsets"
    offsets = _map(content["offsets"], place)
    time, height = (_map(offsets.get(key), f"{place}.{key}") for key in ("time", "height"))
    unit = str(content.get("units", "m")).lower()
    if unit not in METRES:
        raise WrongInput(f"{where}: units: {unit!r} is not a known unit, expected metres or feet")

    def seconds(which: str) -> Rows:
        return ((0.0, 60.0 * number_in(time.get(which), which, f"{place}.time")),)

    def metres(which: str) -> Rows:
        value = number_in(height.get(which), which, f"{place}.height")
        kind = height.get("type")
        if kind not in ("ratio", "fixed"):
            raise WrongInput(f"{place}.height.type: {kind!r}; expected ratio or fixed")
        return ((0.0, 0.0), (1.0, value - 1.0)) if kind == "ratio" else ((0.0, value * METRES[unit]),)

    differences = TideDifferences(seconds("high"), seconds("low"), metres("high"), metres("low"))
    return Offsets(str(offsets.get("reference", "")), differences)


def _map(value: Any, place: str) -> Mapping[str, Any]:
    if not isinstance(value, dict):
        raise WrongInput(f"{place}: missing or not a map; expected time and height, each with high and low")
    return value
