"""Section `decide:`, limits of wind agreed with the terminal and lead times.

Limits are those of one berth and one ship: none has a default, and what is not given is not compared.
"""

from typing import Any, Final

from alongside.stay.fields import Field, choice, known, listed, number, row
from alongside.stay.model import (
    DEEDS,
    WITHOUT_TRANSFER,
    CargoOperation,
    DecideBy,
    LeadTimes,
    WindLimit,
)
from alongside.stay.nodes import Node
from alongside.stay.records import exactly_one, optional, record, required
from alongside.stay.wind_fields import in_ms

MS: Final = number("m/s", above=0, most=75)
KN: Final = number("kn", above=0, most=145)
DEG: Final = number("deg", least=0, most=360)
MINUTES: Final = number("min", least=0, most=2880).then(lambda minutes: minutes * 60.0)
NO_LEAD: Final = LeadTimes()


def _limit(
    do: Any,
    mean_ms: float | None = None,
    mean_kn: float | None = None,
    gust_ms: float | None = None,
    gust_kn: float = 0.0,
    sector: tuple[float, float] | None = None,
) -> WindLimit:
    gust = mean_ms is None and mean_kn is None
    return WindLimit(do, in_ms(gust_ms, gust_kn) if gust else in_ms(mean_ms, mean_kn), gust, sector)


def _limits(*deeds: str) -> Field[tuple[WindLimit, ...]]:
    return listed(
        record(
            _limit,
            exactly_one("mean_kn", "mean_ms", "gust_kn", "gust_ms"),
            _is_a_sector,
            do=required(choice(*deeds)),
            mean_kn=optional(KN),
            mean_ms=optional(MS),
            gust_kn=optional(KN),
            gust_ms=optional(MS),
            sector=optional(row(from_deg=DEG, to_deg=DEG)),
        ),
        least=1,
    )


def _is_a_sector(node: Node, limit: WindLimit) -> None:
    if limit.sector is not None and limit.sector[0] == limit.sector[1]:
        node["sector"].fault("from and to are the same", "two directions, clockwise; none for any direction")


def _something_agreed(node: Node, decide: DecideBy) -> None:
    if not (decide.with_transfer or decide.without_transfer or decide.lead.tugs >= 0.0):
        node.fault("nothing agreed", "limits, or a lead time of tugs at least")


def _decide_by(lead_min: LeadTimes = NO_LEAD, **parts: Any) -> DecideBy:
    return DecideBy(lead=lead_min, **parts)


LEAD: Final = record(
    LeadTimes,
    stop_cargo=optional(MINUTES),
    gang=optional(MINUTES),
    disconnect=optional(MINUTES),
    tugs=optional(MINUTES),
    pilot=optional(MINUTES),
    leave=optional(MINUTES),
)


def decide_of(cargo: tuple[CargoOperation, ...] | None) -> Field[DecideBy]:
    """Return the field of the section; its transfer names operations of the cargo plan."""
    names = {operation.name for operation in cargo or ()}
    return record(
        _decide_by,
        _something_agreed,
        with_transfer=optional(_limits(*DEEDS)),
        without_transfer=optional(_limits(*WITHOUT_TRANSFER)),
        lead_min=optional(LEAD),
        transfer=optional(listed(known(names, "cargo operation"), least=1)),
    )
