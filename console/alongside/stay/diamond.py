"""A tidal diamond as plan of the current: set and rates by the hour from high water, springs and neaps."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import inf
from typing import Final

from alongside.stay.fields import TIME, Field, listed, number, rising, row
from alongside.stay.model import CurrentForecast, TidePlan
from alongside.stay.nodes import Node
from alongside.stay.records import optional, record, required
from alongside.units import KNOT, iso_time

HOUR_S: Final = 3600.0
Hour = tuple[float, float, float, float]
"""Hours from high water, direction it sets to deg true, rates at springs and at neaps kn."""
HighWater = tuple[float, float]
"""Time UNIX s, and the range of the tide about it, m."""


@dataclass(frozen=True, slots=True)
class Diamond:
    """A diamond as printed on the chart, and what is known of the berth: there the stream has `factor` of the
    rate and turns `earlier_min` minutes earlier. `high_waters` are those of the port the diamond refers to;
    empty: those of the tide table."""

    hours: tuple[Hour, ...]
    spring_range: float
    neap_range: float
    factor: float = 1.0
    earlier_min: float = 0.0
    high_waters: tuple[HighWater, ...] = ()


def rate_kn(diamond: Diamond, springs_kn: float, neaps_kn: float, tide_range: float) -> float:
    """Return the rate at a range of the tide, kn: neaps + (springs - neaps) (range - neap range) / (spring
    range - neap range), 0 at least, times the factor of the berth."""
    share = (tide_range - diamond.neap_range) / (diamond.spring_range - diamond.neap_range)
    return diamond.factor * max(neaps_kn + (springs_kn - neaps_kn) * share, 0.0)


def high_waters_of(plan: TidePlan) -> tuple[HighWater, ...]:
    """Return the high waters of a table, each with the mean of the ranges before and after it; of a
    subordinate port those of its standard port, which the diamonds of a chart refer to."""
    rows = plan.standard or plan.high_low
    found = []
    for place, (at, height) in enumerate(rows):
        around = [other for _, other in (*rows[max(place - 1, 0) : place], *rows[place + 1 : place + 2])]
        if around and all(height > other for other in around):
            found.append((at, height - sum(around) / len(around)))
    return tuple(found)


def rows_of(diamond: Diamond, high_waters: Sequence[HighWater]) -> tuple[CurrentForecast, ...]:
    """Return the current by the hour about each high water; an hour belongs to the nearest one."""
    rows: list[CurrentForecast] = []
    for place, (high, tide_range) in enumerate(high_waters):
        after = high_waters[place + 1][0] if place + 1 < len(high_waters) else inf
        before = high_waters[place - 1][0] if place else -inf
        for hour, to_deg, springs, neaps in diamond.hours:
            at = high + hour * HOUR_S
            if (before + high) / 2.0 < at <= (high + after) / 2.0:
                speed = rate_kn(diamond, springs, neaps, tide_range) * KNOT
                rows.append(CurrentForecast(at - diamond.earlier_min * 60.0, speed, to_deg))
    return tuple(rows)


def _springs_above_neaps(node: Node, diamond: Diamond) -> None:
    if diamond.spring_range <= diamond.neap_range:
        node["spring_range"].fault(
            f"{diamond.spring_range:g} m, not more than neap_range", f"more than {diamond.neap_range:g} m"
        )


DIAMOND: Final = record(
    Diamond,
    _springs_above_neaps,
    hours=required(
        listed(
            row(
                hours_from_hw=number("h", least=-7, most=7),
                to_deg=number("deg", least=0, most=360),
                springs_kn=number("kn", least=0, most=20),
                neaps_kn=number("kn", least=0, most=20),
            ),
            rising(lambda hour: hour[0], "hour"),
            least=2,
        )
    ),
    spring_range=required(number("m", above=0, most=20)),
    neap_range=required(number("m", above=0, most=20)),
    factor=optional(number(above=0, most=2)),
    earlier_min=optional(number("min", least=-180, most=180)),
    high_waters=optional(
        listed(
            row(time=TIME, range=number("m", least=0, most=20)),
            rising(lambda high: high[0], "time", iso_time),
            least=1,
        )
    ),
)


def diamond_of(tide: TidePlan | None) -> Field[tuple[CurrentForecast, ...]]:
    """Return the field of a diamond, read into a plan of the current by the hour."""

    def read(node: Node) -> tuple[CurrentForecast, ...]:
        before = len(node.faults)
        diamond = DIAMOND.read(node)
        high_waters = diamond.high_waters or (high_waters_of(tide) if tide else ())
        if len(node.faults) > before:
            return ()
        if not high_waters:
            node.fault(
                "a diamond without times of high water",
                "high_waters beside it, rows [TIME, range m], or a table of high and low waters in tide",
            )
            return ()
        rows = rows_of(diamond, high_waters)
        if any(later.at <= at.at for at, later in pairwise(rows)):
            node["high_waters"].fault("waters closer together than tides are", "every high water once")
        return rows

    return Field(DIAMOND.expected, read)
