"""A tide station: harmonic constants of one place, its datums, and where they come from."""

import math
import re
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any, Final

from alongside.errors import WrongInput
from alongside.stay.model import Constituent, TidePlan

_LAG: Final = re.compile(r"(?:g_deg|phase|pha$)", re.IGNORECASE)
GREENWICH: Final = ("utc", "gmt", "greenwich", "z")
METRES: Final = {
    **dict.fromkeys(("m", "metre", "metres", "meter", "meters", "metric"), 1.0),
    **dict.fromkeys(("ft", "foot", "feet"), 0.3048),
    "cm": 0.01,
    "mm": 0.001,
}
"""Metres in one of each unit that station files use."""

MOST_CONSTITUENTS: Final = 1000
"""The longest published lists have some six hundred."""
_TERM: Final = re.compile(r"([-+]?)(?:(\d+)\*)?([A-Z0-9]+)")


@dataclass(frozen=True, slots=True)
class Station:
    """Harmonic constants of one place. `datums`: metres above the station's own zero, by name; the level
    that the constants swing about is `mean_level` above `datum`."""

    name: str
    id: str
    constituents: tuple[Constituent, ...]
    datum: str = ""
    mean_level: float | None = None
    datums: Mapping[str, float] = field(default_factory=dict)
    source: str = ""

    def between(self, lower: str, upper: str) -> float:
        """Metres from datum `lower` up to datum `upper`; WrongInput names what is missing."""
        missing = [name for name in (lower, upper) if name not in self.datums]
        if missing and lower != upper:
            known = ", ".join(self.datums) or "none"
            raise WrongInput(
                f"station {self.name}: from {lower} to {upper} needs {' and '.join(missing)}; known: {known}"
            )
        return 0.0 if lower == upper else self.datums[upper] - self.datums[lower]


def terms_of(expression: str) -> tuple[tuple[str, int], ...]:
    """A sum of constituents as written, `2*M2-N2` or `+1*S2 -1*M2`, as ((name, times), ...).

    ValueError where it is not such a sum. Whether the names are known is not asked here.
    """
    packed = "".join(expression.upper().split())
    terms = [(name, int(f"{sign}{times or 1}")) for sign, times, name in _TERM.findall(packed)]
    if not packed or "".join(match.group() for match in _TERM.finditer(packed)) != packed:
        raise ValueError(f"{expression!r} is not a sum of constituents such as 2*M2-N2")
    return tuple(terms)


def plan_of(station: Station, chart_datum: str | None = None) -> TidePlan:
    """The station as the tide of a stay, heights brought to `chart_datum` (a name in `datums`, or None:
    left above the station's own datum).

    WrongInput where mean level is not known, or the way to chart datum is not: a level of unlike datum is
    never passed on as if it were one.
    """
    if station.mean_level is None:
        raise WrongInput(
            f"station {station.name}: mean level is not known: no datum MSL and no z0; expected one of them"
        )
    down = 0.0 if chart_datum is None else station.between(chart_datum, station.datum)
    return TidePlan(
        constituents=station.constituents,
        mean_level=station.mean_level,
        to_chart_datum=down,
        datum=chart_datum or station.datum,
        source=station.source,
    )


def with_datums(station: Station, datums: Mapping[str, Mapping[str, float]]) -> Station:
    """The station with its datums from a table, its constants swinging about mean sea level of that table."""
    own = datums.get(station.id)
    return station if own is None else about_mean_level(replace(station, datums=dict(own)))


def about_mean_level(station: Station) -> Station:
    """Mean level from the datum MSL, above the station's zero, which some tables name STND."""
    if station.mean_level is not None or "MSL" not in station.datums:
        return station
    datums = {"STND": 0.0, **station.datums}
    level = datums["MSL"] - datums["STND"]
    return replace(station, datum="STND", mean_level=level, datums=datums)


def greenwich_lag(keys: Iterable[str], place: str) -> str:
    """The one key that bears the lag at Greenwich. A lag of another zone is none, however it is called."""
    found = [key for key in keys if _LAG.match(key)]
    named = [key for key in found if _LAG.sub("", key).strip("_").lower() in GREENWICH]
    plain = [key for key in found if not _LAG.sub("", key)]
    best = named or plain
    if len(best) == 1:
        return best[0]
    said = ", ".join(found) if found else "no lag"
    raise WrongInput(f"{place}: {said}; expected one lag at Greenwich: G_deg_utc, phase_gmt or phase")


def amplitude_in(value: object, name: str, place: str) -> float:
    """A number from 0 up."""
    amplitude = number_in(value, name, place)
    if amplitude < 0.0:
        raise WrongInput(f"{place}: {name}: {amplitude:g}, expected 0 or more (turn its lag by 180 instead)")
    return amplitude


def number_in(value: Any, what: str, place: str) -> float:
    """A finite number from text or JSON; WrongInput says where and what it was instead."""
    try:
        number = math.nan if isinstance(value, bool) else float(value)
    except (TypeError, ValueError, OverflowError):
        number = math.nan
    if not math.isfinite(number):
        raise WrongInput(f"{place}: {what}: {value!r} is not a number, expected one such as 1.234")
    return number


def distinct(constants: list[Constituent], where: str) -> tuple[Constituent, ...]:
    """The constants, once it is sure that none is given twice."""
    if len(constants) > MOST_CONSTITUENTS:
        raise WrongInput(f"{where}: {len(constants)} constituents; expected at most {MOST_CONSTITUENTS}")
    names = Counter(constant.name for constant in constants)
    twice = sorted(name for name, count in names.items() if count > 1)
    if twice:
        raise WrongInput(f"{where}: {', '.join(twice)} given more than once, expected each once")
    return tuple(constants)
