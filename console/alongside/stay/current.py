"""Section `current:` of the stay, what is known beforehand of the current at the berth: speed and set by the
hour, from an atlas or the pilot."""

from typing import Final

from alongside.stay.fields import TIME, listed, number, rising
from alongside.stay.model import CurrentForecast
from alongside.stay.records import exactly_one, optional, record, required
from alongside.units import KNOT, iso_time


def _forecast(
    at: float, to_deg: float, speed_ms: float | None = None, speed_kn: float = 0.0
) -> CurrentForecast:
    return CurrentForecast(at, speed_kn * KNOT if speed_ms is None else speed_ms, to_deg)


CURRENT: Final = listed(
    record(
        _forecast,
        exactly_one("speed_ms", "speed_kn"),
        at=required(TIME),
        speed_ms=optional(number("m/s", least=0, most=10)),
        speed_kn=optional(number("kn", least=0, most=20)),
        to_deg=required(number("deg", least=0, most=360)),
    ),
    rising(lambda row: row.at, "time", iso_time),
    least=1,
)
