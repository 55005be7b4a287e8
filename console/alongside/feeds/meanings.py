"""Meanings of sentences: one function for each pair of sentence and channel, fields in, value out.

`fields` are those between the commas, `fields[0]` the address (`WIMWV`). The value is in m, m/s or deg;
NaN where the gauge leaves it empty or marks it not valid (never 0); None where the sentence is not about
that channel at all. ValueError, IndexError and KeyError mean that the sentence is garbled.
Meanings after IEC 61162-1 / NMEA 0183.

They are taken of many sentences of one layout at once as well: a field in which these differ is then a
`NumberColumn`, and the value an array. A meaning that asks what can only be asked of one number raises an
error, and its sentences are read one by one.
"""

from calendar import timegm
from collections.abc import Callable, Sequence
from math import atan2, degrees, hypot, inf
from typing import Final, overload

from alongside.feeds.flaws import Flaw, Flawed
from alongside.feeds.number_column import NumberColumn
from alongside.feeds.sentence import NAN
from alongside.feeds.sentence import number as number_of
from alongside.readings import Floats
from alongside.units import KNOT, is_time

Fields = Sequence[bytes]
Meaning = Callable[[Fields, bytes | None], float | None]

FOOT: Final = 0.3048
FATHOM: Final = 1.8288
SPEED_UNIT: Final = {b"N": KNOT, b"M": 1.0, b"K": 1.0 / 3.6, b"S": 1609.344 / 3600.0}
"""m/s in one knot, metre per second, kilometre per hour, statute mile per hour."""


@overload
def number(field: bytes) -> float: ...
@overload
def number(field: NumberColumn) -> Floats: ...
def number(field: bytes | NumberColumn) -> float | Floats:
    """Return the number of a field, NaN where it is empty; of a column its numbers."""
    return field.value if isinstance(field, NumberColumn) else number_of(field)


def angle(field: bytes) -> float:
    """Return an angle from 0 to 360 deg; anything beyond is garbled."""
    return _from_0_to(360.0, field, "an angle")


def speed(field: bytes) -> float:
    """Return a speed; one below 0 is garbled."""
    return _from_0_to(inf, field, "a speed")


def _from_0_to(most: float, field: bytes, what: str) -> float:
    value = number(field)
    if isinstance(field, NumberColumn):
        field.bound(0.0, most)
    elif value < 0.0 or value > most:
        raise ValueError(f"not {what}: {field!r}")
    return value


def _expect(field: bytes, letter: bytes) -> None:
    if field != letter:
        raise ValueError(f"{field!r} where {letter!r} belongs")


def mwv_from(fields: Fields, reference: bytes | None) -> float | None:
    """Return where the wind comes from, deg OFF THE BOW, for R (relative) and T (true wind) alike."""
    if reference and fields[2] != reference:
        return None
    return angle(fields[1]) if fields[5] == b"A" else NAN


def mwv_speed(fields: Fields, reference: bytes | None) -> float | None:
    if reference and fields[2] != reference:
        return None
    return speed(fields[3]) * SPEED_UNIT[fields[4]] if fields[5] == b"A" else NAN


def mwd_from(fields: Fields, _: bytes | None) -> float:
    """Return where the wind comes from, deg true."""
    _expect(fields[2], b"T")
    return angle(fields[1])


def mwd_speed(fields: Fields, _: bytes | None) -> float:
    if fields[7]:
        _expect(fields[8], b"M")
        return speed(fields[7])
    _expect(fields[6], b"N")
    return speed(fields[5]) * KNOT


def vwr_from(fields: Fields, _: bytes | None) -> float:
    """Return where the wind comes from, deg OFF THE BOW, of an angle to the left or right of it."""
    side = {b"L": -1.0, b"R": 1.0, b"": NAN}[fields[2]]
    return side * _from_0_to(180.0, fields[1], "an angle to one side") % 360.0


def vwr_speed(fields: Fields, _: bytes | None) -> float:
    """Return the speed; metres per second first, else knots, else km/h."""
    for at, letter in ((5, b"M"), (3, b"N"), (7, b"K")):
        if fields[at]:
            _expect(fields[at + 1], letter)
            return speed(fields[at]) * SPEED_UNIT[letter]
    return NAN


def hdg_heading(fields: Fields, _: bytes | None) -> float:
    """Return the true heading of a magnetic sensor: with its deviation and the variation, both easterly +.
    Without a variation there is no true heading; a deviation left empty is none."""
    if not fields[4]:
        return NAN
    deviation = _east(fields[2], fields[3]) if fields[2] else 0.0
    return (angle(fields[1]) + deviation + _east(fields[4], fields[5])) % 360.0


def _east(field: bytes, letter: bytes) -> float:
    return number(field) * {b"E": 1.0, b"W": -1.0}[letter]


def hdt_heading(fields: Fields, _: bytes | None) -> float:
    _expect(fields[2], b"T")
    return angle(fields[1])


def ths_heading(fields: Fields, _: bytes | None) -> float:
    """Return the true heading; only mode A is measured: E is estimated, M typed in, S simulated, V void."""
    return angle(fields[1]) if fields[2] == b"A" else NAN


def vdr_to(fields: Fields, _: bytes | None) -> float:
    """Return where the current runs TO, deg true."""
    _expect(fields[2], b"T")
    return angle(fields[1])


def vdr_speed(fields: Fields, _: bytes | None) -> float:
    _expect(fields[6], b"N")
    return speed(fields[5]) * KNOT


def _through_water(fields: Fields) -> tuple[float, float]:
    """Return her way through the water, knots ahead and to starboard; NaN where the log says not valid."""
    if fields[3] != b"A":
        return NAN, NAN
    return number(fields[1]), number(fields[2])


def vbw_speed(fields: Fields, _: bytes | None) -> float:
    """Return the speed of the current at a ship that lies still: her way through the water."""
    return hypot(*_through_water(fields)) * KNOT


def vbw_to(fields: Fields, _: bytes | None) -> float:
    """Return where the current runs to, deg off the bow: against her way through the water."""
    ahead, starboard = _through_water(fields)
    return degrees(atan2(-starboard, -ahead)) % 360.0


def dpt_depth(fields: Fields, reference: bytes | None) -> float | None:
    """Return the depth, from where `reference` says: `transducer` as sounded; `waterline` needs an offset
    above 0, `keel` one not above 0; without a reference whatever the offset's sign makes of it (+ to the
    waterline, - to the keel)."""
    depth, offset = speed(fields[1]), number(fields[2])
    if reference == b"transducer":
        return depth
    if (reference == b"waterline" and not offset > 0.0) or (reference == b"keel" and not offset <= 0.0):
        return None if offset == offset else NAN
    return depth + offset


def dbt_depth(fields: Fields, _: bytes | None) -> float:
    """Return the depth below the transducer; metres first, else feet, else fathoms."""
    for at, letter, metres in ((3, b"M", 1.0), (1, b"f", FOOT), (5, b"F", FATHOM)):
        if fields[at]:
            _expect(fields[at + 1], letter)
            return speed(fields[at]) * metres
    return NAN


MEANINGS: Final[dict[str, dict[str, Meaning]]] = {
    "MWV": {"wind_from": mwv_from, "wind_speed": mwv_speed},
    "MWD": {"wind_from": mwd_from, "wind_speed": mwd_speed},
    "VWR": {"wind_from": vwr_from, "wind_speed": vwr_speed},
    "VWT": {"wind_from": vwr_from, "wind_speed": vwr_speed},
    "HDT": {"heading": hdt_heading},
    "HDG": {"heading": hdg_heading},
    "THS": {"heading": ths_heading},
    "VDR": {"current_to": vdr_to, "current_speed": vdr_speed},
    "VBW": {"current_to": vbw_to, "current_speed": vbw_speed},
    "DPT": {"depth": dpt_depth},
    "DBT": {"depth": dbt_depth},
}
"""XDR is not here: it may bear any channel, found by the name of its transducer."""

OFF_THE_BOW: Final = frozenset(
    {("MWV", "wind_from"), ("VWR", "wind_from"), ("VWT", "wind_from"), ("VBW", "current_to")}
)
"""Angles that need the ship's heading to become true."""


def quads(fields: Fields) -> list[tuple[bytes, float, bytes, bytes]]:
    """Return all (type, value, unit, name) of an XDR, values in the unit stated, NaN where empty.

    XDR has no mark for a value that is not valid. An unfinished quad at the end is left out.
    """
    whole = range(1, len(fields) - 3, 4)
    return [(fields[i], number(fields[i + 1]), fields[i + 2], fields[i + 3]) for i in whole]


def zda_time(fields: Fields) -> float:
    """Return UNIX seconds of a ZDA; NaN where any of time and date is empty. Raise ValueError for what is
    not a time, Flawed for one that is not of 1990 to 2099."""
    clock, day, month, year = fields[1:5]
    if not (clock and day and month and year):
        return NAN
    hhmmss = number(clock)
    hours, minutes, seconds = int(hhmmss // 10000), int(hhmmss // 100 % 100), hhmmss % 100.0
    date = int(number(year)), int(number(month)), int(number(day))
    if not (
        1 <= date[1] <= 12 and 1 <= date[2] <= 31 and 0 <= hours < 24 and minutes < 60 and seconds < 61.0
    ):
        raise ValueError(f"not a time: {b','.join(fields[1:5])!r}")
    time = timegm((*date, hours, minutes, 0, 0, 0, 0)) + seconds if 0 < date[0] < 10_000 else NAN
    if not is_time(time):
        raise Flawed(Flaw.WRONG_TIME)
    return time
