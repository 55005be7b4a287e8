"""Section `current:` of the stay, what is known beforehand of the current at the berth: speed and set by the
hour, from an atlas or the pilot, or by a tidal diamond."""

from typing import Final

from alongside.stay.diamond import diamond_of
from alongside.stay.fields import TIME, Field, listed, number, rising
from alongside.stay.model import CurrentForecast, TidePlan
from alongside.stay.nodes import Node
from alongside.stay.records import exactly_one, optional, record, required
from alongside.units import KNOT, iso_time


def _forecast(
    at: float, to_deg: float, speed_ms: float | None = None, speed_kn: float = 0.0
) -> CurrentForecast:
    return CurrentForecast(at, speed_kn * KNOT if speed_ms is None else speed_ms, to_deg)


BY_THE_CLOCK: Final = listed(
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


def current_of(tide: TidePlan | None) -> Field[tuple[CurrentForecast, ...]]:
    """Return the field of the current: a list by the clock, or the table of a diamond."""
    diamond = diamond_of(tide)

    def read(node: Node) -> tuple[CurrentForecast, ...]:
        return diamond.read(node) if node.is_table else BY_THE_CLOCK.read(node)

    return Field(f"{BY_THE_CLOCK.expected}, or a table with hours, spring_range, neap_range", read)
