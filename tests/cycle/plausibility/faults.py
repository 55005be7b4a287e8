"""Faults of gauges, each with the channel it must be held against and when a witness could tell, written down
beforehand from what the witness needs (3 sigma of it, see `alongside.cycle.plausibility.sigmas`)."""

from collections.abc import Callable
from dataclasses import dataclass
from math import inf

import numpy as np

from alongside.forecast.expected.witnesses import Witnesses
from alongside.readings import Floats, Readings
from tests.cycle.plausibility.heard import Fault

FEET = 3.2808
RNG = np.random.default_rng(7)


@dataclass(frozen=True)
class World:
    """The stay as it is when nothing is wrong, and what its file says of it."""

    witnesses: Witnesses
    good: Readings

    def column(self, channel: str, time: Floats) -> Floats:
        return np.interp(time, self.good.time, self.good.column(channel))

    def table(self, time: float) -> float:
        return float(self.witnesses.table(np.array([time]))[0])

    def table_at(self, time: Floats) -> Floats:
        return self.witnesses.table(time)

    def turns(self) -> list[float]:
        return [float(at) for at in self.witnesses.high_low[:, 0]]


Make = Callable[[World, float], dict[str, Fault]]
"""Faults by channel, from a time on."""
Tells = Callable[[World, float], float]
"""When a witness could tell of a fault that begins at a time; infinite where none ever does."""


@dataclass(frozen=True)
class Case:
    name: str
    channel: str
    make: Make
    tells: Tells
    why: str
    likely: str = ""
    since_start: bool = False
    """It is there from the first line of the log on."""
    where: Callable[[World, float], bool] = lambda _world, _at: True
    """Whether the fault does anything at all when it begins at that time."""


def from_on(at: float, change: Callable[[Floats, Floats], Floats]) -> Fault:
    def fault(time: Floats, value: Floats) -> Floats:
        return np.where(time >= at, change(time, value), value)

    return fault


def stuck(channel: str, jitter: float) -> Make:
    def make(world: World, at: float) -> dict[str, Fault]:
        here = float(world.column(channel, np.array([at]))[0])
        return {channel: from_on(at, lambda t, _v: here + jitter * RNG.integers(0, 2, t.size))}

    return make


def changed(channel: str, change: Callable[[Floats], Floats]) -> Make:
    return lambda _world, at: {channel: from_on(at, lambda _t, v: change(v))}


def swapped(one: str, other: str) -> Make:
    def make(world: World, at: float) -> dict[str, Fault]:
        def by(mine: str, theirs: str) -> Fault:
            return from_on(at, lambda t, v: v - world.column(mine, t) + world.column(theirs, t))

        return {one: by(one, other), other: by(other, one)}

    return make


def drifting(channel: str, per_h: float) -> Make:
    return lambda _world, at: {channel: from_on(at, lambda t, v: v + per_h * (t - at) / 3600.0)}


def zone(hours: float) -> Make:
    """The table an hour off: as good as a gauge that comes after it."""
    return lambda world, at: {
        "tide": from_on(at, lambda t, v: v - world.table_at(t) + world.table_at(t - hours * 3600.0))
    }


def at_once(_world: World, at: float) -> float:
    """A jump shows in the means over the four minutes after it."""
    return at + 240.0


def after(seconds: float) -> Tells:
    return lambda _world, at: at + seconds


def never(_world: World, _at: float) -> float:
    return inf


def table_moved(metres: float) -> Tells:
    """Once the table has moved so far while the gauge stood, and the sample after it has come."""

    def tells(world: World, at: float) -> float:
        time = np.arange(at, at + 12 * 3600.0, 60.0)
        level = world.witnesses.table(time)
        span = np.maximum.accumulate(level) - np.minimum.accumulate(level)
        return float(time[np.argmax(span >= metres)]) + 600.0

    return tells


def turns_later(count: int) -> Tells:
    """Once so many high and low waters have passed: a fit needs flood and ebb."""

    def tells(world: World, at: float) -> float:
        return [turn for turn in world.turns() if turn > at][count - 1] + 3600.0

    return tells


def plan_moved(world: World, at: float, channel: str, other: str) -> float:
    time = np.arange(at, at + 12 * 3600.0, 60.0)
    moved = np.ones(time.size, dtype=bool)
    by_plan = world.witnesses.draughts(time)[:, 0 if channel == "draught_fwd" else 1]
    for values in (by_plan, world.column(other, time)):
        moved &= np.maximum.accumulate(values) - np.minimum.accumulate(values) >= 0.18
    return float(time[np.argmax(moved)]) + 600.0 if moved.any() else inf


def heeled(least: float) -> Callable[[World, float], bool]:
    """Whether she is heeled so much within the ten minutes after."""
    return lambda world, at: abs(float(world.column("heel", np.array([at]))[0])) > least


def once_heeled(degrees: float) -> Tells:
    """Once she has been heeled by so much for three minutes."""

    def tells(world: World, at: float) -> float:
        time = np.arange(at, world.good.time[-1], 60.0)
        wide = np.abs(world.column("heel", time)) > degrees
        return float(time[wide.argmax()]) + 240.0 if wide.any() else inf

    return tells


def at_least(metres: float, channel: str = "tide") -> Callable[[World, float], bool]:
    return lambda world, at: abs(float(world.column(channel, np.array([at]))[0])) >= metres


def a_tide_later(_world: World, at: float) -> float:
    """Eighteen hours of samples a quarter of an hour apart."""
    return at + 18.5 * 3600.0


JUMP = "a mean moves by more than 3 x 0.08 m and what a table may be steeper, in four minutes"
CASES = (
    Case(
        "stuck tide, 1 mm of jitter",
        "tide",
        stuck("tide", 0.001),
        table_moved(0.75),
        "the table moved by 0.5 m and a twentieth of the range of 4.65 m while the gauge kept within 2 cm",
    ),
    Case("stuck tide, 1 cm of jitter", "tide", stuck("tide", 0.01), table_moved(0.75), "the same"),
    Case("tide 1.5 m higher", "tide", changed("tide", lambda v: v + 1.5), at_once, JUMP),
    Case("tide 0.6 m lower", "tide", changed("tide", lambda v: v - 0.6), at_once, JUMP),
    Case(
        "tide in feet",
        "tide",
        changed("tide", lambda v: v * FEET),
        at_once,
        JUMP + " (out of range above)",
        "",
        where=lambda world, at: 0.6 < float(world.column("tide", np.array([at]))[0]) < 2.2,
    ),
    Case("tide half", "tide", changed("tide", lambda v: v / 2.0), at_once, JUMP, "half", where=at_least(1.2)),
    Case(
        "tide of the other sign",
        "tide",
        changed("tide", lambda v: -v),
        at_once,
        JUMP,
        where=lambda w, at: at_least(0.4)(w, at) and not at_least(0.9)(w, at),
    ),
    Case(
        "tide 5 cm/h off",
        "tide",
        drifting("tide", 0.05),
        never,
        "slower than a surge grows; after 40 h it would be 2 m off, more than a surge",
    ),
    Case(
        "tide 2.4 m off from the start",
        "tide",
        changed("tide", lambda v: v + 2.4),
        after(600.0),
        "3 sigma of weather and cosine, 2 m at most here",
        "datum",
        since_start=True,
    ),
    Case(
        "tide 0.6 m off from the start",
        "tide",
        changed("tide", lambda v: v + 0.6),
        a_tide_later,
        "less than 3 sigma of weather, 1.1 m; but none stands within 0.08 m for 18 h",
        "datum",
        since_start=True,
    ),
    Case(
        "table one hour off, from the start",
        "tide",
        zone(1.0),
        turns_later(3),
        "a lag fits flood and ebb, a surge does not",
        "zone",
        since_start=True,
    ),
    Case(
        "half the range, from the start",
        "tide",
        changed("tide", lambda v: v / 2.0),
        turns_later(2),
        "2.5 m below the table at the first high water: more than a surge",
        "",
        since_start=True,
    ),
    Case(
        "half the range about mean level",
        "tide",
        changed("tide", lambda v: 2.8 + (v - 2.8) / 2.0),
        turns_later(3),
        "scale fits flood and ebb, a surge does not",
        "half",
        since_start=True,
    ),
    Case(
        "another port",
        "tide",
        lambda world, at: {
            "tide": from_on(
                at, lambda t, v: v - world.table_at(t) + 2.0 + 0.6 * (world.table_at(t - 7200.0) - 2.8)
            )
        },
        turns_later(3),
        "lag and scale fit flood and ebb",
        "",
        since_start=True,
    ),
    Case(
        "draughts swapped",
        "draught_fwd",
        swapped("draught_fwd", "draught_aft"),
        at_once,
        "a mean moves by more than 3 x 0.07 m in four minutes",
        where=lambda w, at: (
            abs(float((w.column("draught_fwd", np.array([at])) - w.column("draught_aft", np.array([at])))[0]))
            > 0.3
        ),
    ),
    Case(
        "draught forward 0.7 m deeper",
        "draught_fwd",
        changed("draught_fwd", lambda v: v + 0.7),
        at_once,
        JUMP,
    ),
    Case(
        "draught aft in feet",
        "draught_aft",
        changed("draught_aft", lambda v: v * FEET),
        after(60.0),
        "out of range",
    ),
    Case(
        "draught forward stuck",
        "draught_fwd",
        stuck("draught_fwd", 0.001),
        lambda w, at: plan_moved(w, at, "draught_fwd", "draught_aft"),
        "plan and the other end moved by 0.15 m",
    ),
    Case(
        "draught aft 5 cm/h off",
        "draught_aft",
        drifting("draught_aft", 0.05),
        after(15.5 * 3600.0),
        "ends and midship apart by 3 x 0.12 m, of which the drift of one end is half",
    ),
    Case(
        "midship draughts exchanged",
        "heel",
        swapped("draught_mid_port", "draught_mid_stbd"),
        once_heeled(0.5),
        "twice the heel is 3 x 0.3 deg",
    ),
    Case("heel of the wrong sign", "heel", changed("heel", lambda v: -v), once_heeled(0.5), "the same"),
    Case(
        "midship draught port 0.4 m off",
        "draught_mid_port",
        changed("draught_mid_port", lambda v: v + 0.4),
        at_once,
        JUMP,
    ),
    Case(
        "sounder in feet",
        "depth",
        changed("depth", lambda v: v * FEET),
        after(240.0),
        "1.5 m from the chart for three minutes",
    ),
    Case(
        "gyro 180 deg off",
        "heading",
        changed("heading", lambda v: (v + 180.0) % 360.0),
        after(240.0),
        "10 deg for three minutes",
    ),
    Case(
        "gyro 15 deg off",
        "wind_from",
        changed("heading", lambda v: (v + 15.0) % 360.0),
        after(240.0),
        "the same: the wind is turned with it",
    ),
    Case(
        "no wind",
        "wind_speed",
        changed("wind_speed", lambda v: 0.0 * v),
        after(3.1 * 3600.0),
        "three hours without a breath",
    ),
    Case(
        "constant wind",
        "wind_speed",
        changed("wind_speed", lambda v: 0.0 * v + 7.3),
        after(1.1 * 3600.0),
        "an hour within 0.05 m/s",
    ),
    Case(
        "vane stuck",
        "wind_from",
        changed("wind_from", lambda v: 0.0 * v + 100.0),
        after(2.1 * 3600.0),
        "two hours within a degree",
    ),
    Case(
        "wind half",
        "wind_speed",
        changed("wind_speed", lambda v: v / 2.0),
        never,
        "nothing else knows the wind",
    ),
)
