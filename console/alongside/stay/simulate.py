"""Section `simulate:`, what a simulated log of the stay shows beyond tide and cargo plan."""

import math
from collections.abc import Collection
from typing import Final

from alongside.stay.fields import TIME, Field, choice, known, listed, number, rising, whole
from alongside.stay.model import Feed, GaugeFault, LateEntry, Line, Scenario, WindChange
from alongside.stay.nodes import Node
from alongside.stay.records import exactly_one, optional, record, required
from alongside.units import KNOT, iso_time

MS: Final = number("m/s", least=0, most=100)
KN: Final = number("kn", least=0, most=200)


def _wind(
    at: float,
    from_deg: float,
    mean_ms: float | None = None,
    mean_kn: float = 0.0,
    gust_ms: float | None = None,
    gust_kn: float = 0.0,
    over_min: float = 20.0,
) -> WindChange:
    mean = mean_kn * KNOT if mean_ms is None else mean_ms
    gust = gust_kn * KNOT if gust_ms is None else gust_ms
    return WindChange(at, mean, gust, from_deg, over_min)


def _gusts_above_mean(node: Node, wind: WindChange) -> None:
    if wind.gust_ms < wind.mean_ms - 1e-9:
        given = "gust_ms" if "gust_ms" in node else "gust_kn"
        node[given].fault("a gust below the mean wind", f"at least {wind.mean_ms:.4g} m/s")


WIND: Final = record(
    _wind,
    exactly_one("mean_ms", "mean_kn"),
    exactly_one("gust_ms", "gust_kn"),
    _gusts_above_mean,
    at=required(TIME),
    mean_ms=optional(MS),
    mean_kn=optional(KN),
    gust_ms=optional(MS),
    gust_kn=optional(KN),
    from_deg=required(number("deg", least=0, most=360)),
    over_min=optional(number("min", above=0, most=1440)),
)


def gauge_fault_of(channels: Collection[str]) -> Field[GaugeFault]:
    return record(
        GaugeFault,
        channel=required(known(channels, "channel of the feeds")),
        at=required(TIME),
        seconds=required(number("s", above=0)),
        kind=required(choice("silent", "spike", "frozen", "checksum", "nonsense")),
    )


def late_entry_of(lines: tuple[Line, ...]) -> Field[LateEntry]:
    """The time of entry must be that of a tending that the line has."""
    by_id = {line.id: line for line in lines}

    def check(node: Node, entry: LateEntry) -> None:
        line = by_id.get(entry.line)
        if line is None or math.isnan(entry.entered) or math.isnan(entry.done):
            return
        entered = [tend.at for tend in line.tended]
        if entry.entered not in entered:
            known_times = ", ".join(iso_time(at) for at in entered if not math.isnan(at)) or "none"
            node["entered"].fault(f"line {line.id} is not tended then", f"one of its tendings: {known_times}")
        if entry.done <= line.made_fast.at:
            expected = f"later than {iso_time(line.made_fast.at)}"
            node["done"].fault("not after the line was made fast", expected)

    return record(
        LateEntry,
        check,
        line=required(known(by_id, "line")),
        entered=required(TIME),
        done=required(TIME),
    )


def scenario_of(feeds: tuple[Feed, ...] | None, lines: tuple[Line, ...] | None) -> Field[Scenario]:
    channels = [source.channel for feed in feeds or () for source in feed.channels]
    return record(
        Scenario,
        start=required(TIME),
        hours=required(number("h", above=0, most=1000)),
        draught_fwd=required(number("m", above=0, most=40)),
        draught_aft=required(number("m", above=0, most=40)),
        seed=optional(whole(least=0, most=999_999_999)),
        swell_height=optional(number("m", least=0, most=10)),
        swell_period=optional(number("s", above=0, most=60)),
        noise_m=optional(number("m", least=0, most=1)),
        cell_noise_kn=optional(number("kN", least=0, most=100)),
        cell_drift_kn=optional(number("kN a day", least=0, most=100)),
        surge_m=optional(number("m", least=-10, most=10)),
        interval_s=optional(number("s", above=0, most=3600)),
        gm=optional(number("m", above=0, most=50)),
        wind=optional(listed(WIND, rising(lambda wind: wind.at, "time", iso_time))),
        faults=optional(listed(gauge_fault_of(channels))),
        entered_late=optional(listed(late_entry_of(lines or ()))),
    )
