"""What was read by hand: how far off each reading may be, and how table and plan carry it on until the next.

One sigma when it is read (common practice, no source): from a boat in a calm 1 cm, from the quay 2.5 cm, in
waves a tenth of their height. Later sigma^2 = s0^2 + (0.15 rate x age)^2, where rate x age is what plan or
table moved it by since; what is known of neither grows as beside `carried_on`.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from alongside.actions import Action, Correct, JudgeChannel, ReadByHand
from alongside.cycle.plausibility.sigmas import (
    BAND_90,
    LEAST_M_PER_H,
    NO_PLAN_M_PER_H,
    RATE_SHARE,
    REFERENCE_M,
    WEATHER_M,
)
from alongside.forecast.expected.witnesses import DRAUGHTS, Witnesses
from alongside.forecast.tide.residual import band_to_begin_with, faded
from alongside.readings import Floats

UNDER_KEEL: Final = "under_keel"
LEVELS: Final = ("tide", *DRAUGHTS)
WAY_M: Final[Mapping[str, float]] = {"boat": 0.01, "quay": 0.025, "waves": 0.025}
"""One sigma of a level by how it was read."""
WAVE_SHARE: Final = 0.1
"""Of the height of the waves at the marks."""
OTHERS: Final[Mapping[str, tuple[float, float]]] = {
    "heel": (0.1, 0.25),
    "wind_speed": (1.5, 2.0),
    "wind_from": (10.0, 10.0),
    UNDER_KEEL: (0.1, 0.2),
}
"""One sigma when read, and what may be added to it an hour; common practice, no source."""
NO_TABLE_M_PER_H: Final = 0.5
"""One sigma an hour of a tide that no table predicts."""
NO_TABLE_S: Final = 3600.0
"""So long it serves."""
FARTHEST_S: Final[Mapping[str, float]] = {
    "heel": 4 * 3600.0,
    "wind_speed": 3600.0,
    "wind_from": 3600.0,
    UNDER_KEEL: 3600.0,
}
LEVEL_FARTHEST_S: Final = 24 * 3600.0
"""A reading this old says nothing any more."""
PAIRS: Final[Mapping[str, str]] = {
    "wind_speed": "wind_from",
    "wind_from": "wind_speed",
    "draught_mid_port": "draught_mid_stbd",
    "draught_mid_stbd": "draught_mid_port",
}
"""Channels that are read together, and mean little alone."""
LEAST_APART_S: Final = 900.0
"""Readings nearer to each other say nothing of how fast a draught moves."""
STATED: Final = "stated"
"""`way` of a draught that the stay file states."""
KEPT: Final = 200
"""Readings kept, the newest."""


@dataclass(frozen=True, slots=True)
class HandReading:
    """One value read by hand; `at` when it was read, UNIX seconds, `sigma` by how much it may be off then."""

    channel: str
    at: float
    value: float
    sigma: float
    way: str = "quay"
    by: str = ""
    waves_m: float = 0.0


HandReadings = tuple[HandReading, ...]
"""In order of the time of reading."""


@dataclass(frozen=True, slots=True, eq=False)
class CarriedByHand:
    """A channel by its last reading at n instants: value, one sigma, seconds since it was read; NaN before it
    was read and once it is too old."""

    level: Floats
    sigma: Floats
    age: Floats


def sigma_of(channel: str, way: str, waves_m: float) -> float:
    """Return one sigma of a reading when it is made, in the channel's unit."""
    if channel in OTHERS:
        return OTHERS[channel][0]
    return max(WAY_M[way], WAVE_SHARE * waves_m) if way != "waves" else max(0.01, WAVE_SHARE * waves_m)


def readings_after(readings: HandReadings, actions: Sequence[Action]) -> HandReadings:
    """Return the readings by hand once the watch has read, taken back, or found the gauge right."""
    for action in actions:
        if isinstance(action, ReadByHand):
            readings = _with(readings, action)
        elif isinstance(action, Correct):
            back = taken_back(readings, action.channel)
            readings = tuple(each for each in readings if each not in back)
        elif isinstance(action, JudgeChannel) and action.right == "gauge":
            readings = tuple(each for each in readings if each.channel != action.channel)
    return readings


def new_readings(readings: HandReadings, action: ReadByHand) -> HandReadings:
    """Return those values of an action that are not among the readings already."""
    made = (
        HandReading(
            channel,
            action.at,
            value,
            sigma_of(channel, action.way, action.waves_m),
            action.way,
            action.by,
            action.waves_m,
        )
        for channel, value in action.values
    )
    return tuple(each for each in made if each not in readings)


def _with(readings: HandReadings, action: ReadByHand) -> HandReadings:
    """The readings with those of one action; one of the same channel and time is replaced."""
    new = new_readings(readings, action)
    places = {(each.channel, each.at) for each in new}
    kept = [each for each in readings if (each.channel, each.at) not in places]
    return tuple(sorted((*kept, *new), key=lambda each: each.at))[-KEPT:]


def serves_s(channel: str, has_table: bool) -> float:
    """Return for how long a reading serves, seconds; `has_table`: whether a table carries the tide on."""
    if channel == "tide" and not has_table:
        return NO_TABLE_S
    return FARTHEST_S.get(channel, LEVEL_FARTHEST_S)


def last_reading(readings: HandReadings, channel: str) -> HandReading | None:
    """Return the newest reading of a channel; None where there is none."""
    return next((each for each in reversed(readings) if each.channel == channel), None)


def taken_back(readings: HandReadings, channel: str) -> HandReadings:
    """Return what goes when the last reading of a channel is taken back: it, and what was read with it of the
    channel that makes a pair with it; nothing where nothing was read."""
    last = last_reading(readings, channel)
    if last is None:
        return ()
    pair = PAIRS.get(channel)
    return tuple(each for each in readings if each is last or (each.channel == pair and each.at == last.at))


def with_stated(witnesses: Witnesses, readings: HandReadings) -> HandReadings:
    """Return the readings with the draughts at making fast that the stay file states, as the first of all."""
    if witnesses.reference is None:
        return readings
    at, *draughts = witnesses.reference
    stated = (
        HandReading(channel, at, value, REFERENCE_M, STATED)
        for channel, value in zip(DRAUGHTS[:2], draughts, strict=True)
    )
    return tuple(sorted((*stated, *readings), key=lambda each: each.at))


def carried_by_hand(
    witnesses: Witnesses, readings: HandReadings, channel: str, time: Floats
) -> CarriedByHand:
    """Return a channel at n rising instants, each by the last reading made up to it; NaN before the first."""
    of = [each for each in readings if each.channel == channel]
    level, sigma, age = (np.full(time.size, np.nan) for _ in range(3))
    bounds = [np.searchsorted(time, each.at, side="left") for each in of] + [time.size]
    for at, reading in enumerate(of):
        rows = slice(int(bounds[at]), int(bounds[at + 1]))
        if rows.start >= rows.stop:
            continue
        before = of[at - 1] if at else None
        age[rows] = time[rows] - reading.at
        level[rows], sigma[rows] = _on_from(witnesses, reading, before, time[rows])
    known = age <= FARTHEST_S.get(channel, LEVEL_FARTHEST_S)
    return CarriedByHand(*(np.where(known, each, np.nan) for each in (level, sigma, age)))


def _on_from(
    witnesses: Witnesses, last: HandReading, before: HandReading | None, time: Floats
) -> tuple[Floats, Floats]:
    """Return value and one sigma (n,) of one reading carried on."""
    hours = (time - last.at) / 3600.0
    if last.channel == UNDER_KEEL:
        risen = _risen(witnesses, last.at, time)
        return np.asarray(last.value + risen), np.hypot(last.sigma, OTHERS[UNDER_KEEL][1] * hours)
    if last.channel in OTHERS:
        return np.full(time.size, last.value), np.hypot(last.sigma, OTHERS[last.channel][1] * hours)
    if last.channel == "tide":
        return _tide(witnesses, last, time, hours)
    planned = _planned(witnesses, last, time)
    if planned is None:
        moved = NO_PLAN_M_PER_H * hours
        return np.full(time.size, last.value), np.hypot(last.sigma, moved)
    level = last.value + planned
    moved = np.maximum(RATE_SHARE * np.abs(planned), LEAST_M_PER_H * hours)
    moved = np.hypot(moved, _off_plan(witnesses, last, before) * hours / BAND_90)
    return np.where(level >= 0.0, level, np.nan), np.hypot(last.sigma, moved)


def _risen(witnesses: Witnesses, since: float, time: Floats) -> Floats:
    """Return by how much the water under her has grown since (n,), m, by the table and the cargo plan: the
    end of her that sinks most counts."""
    table = witnesses.table(np.append(time, since))
    risen: Floats = np.nan_to_num(table[:-1] - table[-1])
    if not witnesses.plan_time.size:
        return risen
    draughts = witnesses.draughts(np.append(time, since))[:, :2]
    sunk = np.nan_to_num(draughts[:-1] - draughts[-1]).max(axis=1)
    return np.asarray(risen - sunk, dtype=np.float64)


def _tide(witnesses: Witnesses, last: HandReading, time: Floats, hours: Floats) -> tuple[Floats, Floats]:
    """By the table, and what weather added when the board was read, fading."""
    table = witnesses.table(np.append(time, last.at))
    residual = last.value - table[-1]
    level = table[:-1] + faded(residual, time - last.at)
    # What a table leaves out shows by how far it is from there to now: its own part, and the weather's.
    shape = RATE_SHARE * np.abs(table[:-1] - table[-1])
    weather = (band_to_begin_with(time - last.at) - band_to_begin_with(0.0)) / BAND_90
    sigma = np.hypot(np.hypot(last.sigma, shape), np.minimum(weather, WEATHER_M))
    by_itself = np.where(hours * 3600.0 <= NO_TABLE_S, last.value, np.nan)
    no_table = np.isnan(level)
    grown = np.hypot(last.sigma, NO_TABLE_M_PER_H * hours)
    return np.where(no_table, by_itself, level), np.where(no_table, grown, sigma)


def _planned(witnesses: Witnesses, last: HandReading, time: Floats) -> Floats | None:
    """Return what the cargo plan moves a draught by since a reading (n,), m; None without a plan."""
    if not witnesses.plan_time.size:
        return None
    by_plan = witnesses.draughts(np.append(time, last.at))[:, DRAUGHTS.index(last.channel)]
    moved: Floats = by_plan[:-1] - by_plan[-1]
    return moved


def _off_plan(witnesses: Witnesses, last: HandReading, before: HandReading | None) -> float:
    """Return by how much an hour the draught moved otherwise than planned between the last two readings, m:
    the gang may go on like that."""
    if before is None or before.way == STATED or last.at - before.at < LEAST_APART_S:
        return 0.0
    planned = _planned(witnesses, before, np.array([last.at]))
    off = 0.0 if planned is None else last.value - before.value - float(planned[0])
    noise = float(np.hypot(last.sigma, before.sigma))
    return max(abs(off) - noise, 0.0) * 3600.0 / (last.at - before.at)
