"""Section `simulate:`, what a simulated log of the stay shows beyond tide and cargo plan."""

import math
from typing import Any, Final

from alongside.stay.fields import TIME, Field, choice, known, listed, number, rising, whole
from alongside.stay.gauge_faults import FAULTS_OF_A_LOG, gauge_fault_of
from alongside.stay.model import (
    Feed,
    LateEntry,
    Line,
    LongWave,
    PassingShip,
    Scenario,
    SwellSpell,
    WindChange,
)
from alongside.stay.nodes import Node
from alongside.stay.records import exactly_one, optional, record, required
from alongside.stay.wind_fields import gust_at_least, in_ms, wind_keys
from alongside.units import G, iso_time

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
    return WindChange(at, in_ms(mean_ms, mean_kn), in_ms(gust_ms, gust_kn), from_deg, over_min)


def _gusts_above_mean(node: Node, wind: WindChange) -> None:
    gust_at_least(node, wind.gust_ms, wind.mean_ms)


WIND: Final = record(
    _wind,
    exactly_one("mean_ms", "mean_kn"),
    exactly_one("gust_ms", "gust_kn"),
    _gusts_above_mean,
    **wind_keys(MS, KN),
    over_min=optional(number("min", above=0, most=1440)),
)


def _not_before_its_end(node: Node, spell: LongWave | SwellSpell) -> None:
    if spell.until <= spell.at:
        node["until"].fault("the end is not after the beginning", f"later than {iso_time(spell.at)}")


def _long_wave(
    at: float,
    until: float,
    period_s: float,
    slope_mm_m: float | None = None,
    flow_ms: float = 0.0,
    axis_deg: float | None = None,
    level_m: float = 0.0,
) -> LongWave:
    """A flow and back has the slope that drives it: u' = -g slope."""
    slope = 2.0 * math.pi / period_s * flow_ms / G if slope_mm_m is None else slope_mm_m / 1000.0
    return LongWave(at, until, period_s, slope, axis_deg, level_m)


LONG_WAVE: Final = record(
    _long_wave,
    exactly_one("slope_mm_m", "flow_ms"),
    _not_before_its_end,
    at=required(TIME),
    until=required(TIME),
    period_s=required(number("s", least=20, most=3600)),
    slope_mm_m=optional(number("mm in a metre", above=0, most=20)),
    flow_ms=optional(number("m/s", above=0, most=5)),
    axis_deg=optional(number("deg", least=0, most=360)),
    level_m=optional(number("m", least=0, most=3)),
)
SWELL: Final = record(
    SwellSpell,
    _not_before_its_end,
    at=required(TIME),
    until=required(TIME),
    height=required(number("m", above=0, most=10)),
    period_s=required(number("s", least=3, most=30)),
    from_deg=required(number("deg", least=0, most=360)),
)


def _passing_ship(
    at: float,
    length: float,
    breadth: float,
    draught: float,
    distance_m: float,
    speed_ms: float | None = None,
    speed_kn: float = 0.0,
    goes: Any = "ahead",
) -> PassingShip:
    speed = in_ms(speed_ms, speed_kn)
    return PassingShip(at, length, breadth, draught, distance_m, speed, goes)


PASSING_SHIP: Final = record(
    _passing_ship,
    exactly_one("speed_ms", "speed_kn"),
    at=required(TIME),
    length=required(number("m", above=5, most=500)),
    breadth=required(number("m", above=1, most=100)),
    draught=required(number("m", above=0, most=40)),
    distance_m=required(number("m", above=0, most=5000)),
    speed_ms=optional(number("m/s", above=0, most=20)),
    speed_kn=optional(number("kn", above=0, most=40)),
    goes=optional(choice("ahead", "astern")),
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
    names = [feed.name for feed in feeds or ()]
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
        faults=optional(listed(gauge_fault_of(FAULTS_OF_A_LOG, channels, names))),
        entered_late=optional(listed(late_entry_of(lines or ()))),
        swell=optional(listed(SWELL)),
        long_waves=optional(listed(LONG_WAVE)),
        passing_ships=optional(listed(PASSING_SHIP)),
    )
