"""Drawn variations of an exercise, so that answers cannot be learnt by heart.

Each thing has a draw of its own, by its name in the exercise, from a digest of seed and name: the same on
every machine, and one thing more in the file leaves the others as they were.

times       injections that belong together, one within the other or within a quarter of an hour, come
            earlier or later together, never past another; what is expected goes with them
who         which of some equals is hit: all of a list by so many places on
weather     height, time and range of the tide and the wind, for the whole of the stay
sizes       gusts, surges, cargo rates, brakes, and with what a forgotten line was made fast
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from hashlib import sha256
from math import inf
from typing import Any, Final

from alongside.stay.model import GaugeFault, Stay
from alongside.training.exercise.checks import REPLACING
from alongside.training.exercise.model import (
    BrakeRendering,
    CargoRate,
    Exercise,
    Expected,
    ForgottenLine,
    Gust,
    Injection,
    TideSurge,
)
from alongside.training.other_weather import OtherWeather

TOGETHER_S: Final = 900.0
"""What begins so soon after another injection belongs to it. Common practice, no source."""
STEP_S: Final = 30.0
TURN: Final = 360.0
STRONGEST_BRAKE: Final = 0.95
"""Of what it holds anyway: a brake that is to render must hold less."""


@dataclass(frozen=True, slots=True)
class Draws:
    """What is drawn for one seed; `number` counts the draws of it, `reach` is which part of its bounds each
    may use."""

    seed: int
    number: int
    reach: float = 1.0

    def part(self, name: str) -> float:
        """Return 0 to 1, without 1."""
        digest = sha256(f"{self.seed}/{self.number}/{name}".encode()).digest()
        return int.from_bytes(digest[:6], "big") / float(1 << 48)

    def within(self, name: str, most: float, step: float) -> float:
        """Return a value from -`most` to `most`, a whole number of steps."""
        drawn = (2.0 * self.part(name) - 1.0) * most * self.reach
        return round(round(drawn / step) * step, 6)

    def factor(self, name: str, share: float) -> float:
        """Return a factor about 1."""
        return 1.0 + self.within(name, share, 0.001)

    def one_of(self, name: str, count: int) -> int:
        """Return one of 0 to `count` - 1."""
        return int(self.part(name) * count)


def variation(exercise: Exercise, draws: Draws) -> Exercise:
    """Return one drawn variation. What it asks of a watch may be too much or too little: that is for whoever
    plays it to find out."""
    others = _exchanged(exercise, draws)
    shifts = _Shifts(exercise, draws)
    injections = tuple(
        _with_size(exercise, _hit(shifts.moved(each, place), others), place, draws)
        for place, each in enumerate(exercise.injections)
    )
    hit = {getattr(each, key, None) for each in exercise.injections for key in ("line", "channel")}
    expected = tuple(
        _expected(each, shifts, {k: v for k, v in others.items() if k in hit}) for each in exercise.expected
    )
    return replace(
        exercise,
        injections=(*injections, *_other_rates(exercise, draws)),
        expected=expected,
        weather=_weather(exercise, draws),
        seed=draws.seed,
    )


def _weather(exercise: Exercise, draws: Draws) -> OtherWeather:
    vary = exercise.vary
    return OtherWeather(
        tide_m=draws.within("tide height", vary.tide_m, 0.01),
        tide_s=draws.within("tide time", 60.0 * vary.tide_min, 60.0),
        tide_range=draws.factor("tide range", vary.tide_range),
        wind_factor=draws.factor("wind", vary.wind),
        wind_deg=draws.within("wind direction", vary.wind_deg, 1.0),
    )


def _other_rates(exercise: Exercise, draws: Draws) -> list[CargoRate]:
    """Return how planned cargo goes that no injection changes: faster or slower from the start on."""
    if not (exercise.vary.size and _draughts_follow(exercise.stay)):
        return []
    changed = {each.operation for each in exercise.injections if isinstance(each, CargoRate)}
    return [
        CargoRate(
            each.name, max(each.start, exercise.start), draws.factor(f"cargo {each.name}", exercise.vary.size)
        )
        for each in exercise.stay.cargo
        if each.start < exercise.end and each.end > exercise.start and each.name not in changed
    ]


def _draughts_follow(stay: Stay) -> bool:
    """Return whether draughts can be worked out for cargo that goes otherwise."""
    stated = any(None not in (line.made_fast.draught_fwd, line.made_fast.draught_aft) for line in stay.lines)
    return bool(stay.ship.hydrostatics) and (stay.simulate is not None or stated)


def _exchanged(exercise: Exercise, draws: Draws) -> dict[str, str]:
    """Return what is hit in the place of what."""
    others: dict[str, str] = {}
    for names in exercise.vary.among:
        on = draws.one_of(f"who {' '.join(names)}", len(names))
        others |= {name: names[(place + on) % len(names)] for place, name in enumerate(names)}
    return others


def _hit(injection: Injection, others: dict[str, str]) -> Injection:
    for key in ("line", "channel"):
        name = getattr(injection, key, None)
        if name in others:
            more: dict[str, Any] = {key: others[name]}
            injection = replace(injection, **more)
    return injection


def _with_size(exercise: Exercise, injection: Injection, place: int, draws: Draws) -> Injection:
    vary, name = exercise.vary, f"injection {place}"
    factor = draws.factor(name, vary.size)
    match injection:
        case Gust():
            turned = draws.within(f"{name} direction", vary.wind_deg, 1.0)
            from_deg = None if injection.from_deg is None else (injection.from_deg + turned) % TURN
            speed = round(injection.speed_ms * draws.factor(name, vary.wind), 2)
            return replace(injection, speed_ms=speed, from_deg=from_deg)
        case TideSurge():
            return replace(injection, metres=round(injection.metres * factor, 3))
        case CargoRate():
            return replace(injection, times=round(injection.times * factor, 3))
        case BrakeRendering():
            most = STRONGEST_BRAKE * _holding(exercise.stay, injection.line)
            return replace(injection, brake_kn=round(min(injection.brake_kn * factor, most), 1))
        case ForgottenLine() if injection.tension_kn is not None:
            return replace(injection, tension_kn=round(injection.tension_kn * factor, 1))
    return injection


def _holding(stay: Stay, line: str) -> float:
    winch = next((each.winch for each in stay.lines if each.id == line), None)
    holding = None if winch is None else stay.ship.winches[winch].holding_kn
    return inf if holding is None else holding


def _expected(expected: Expected, shifts: "_Shifts", others: dict[str, str]) -> Expected:
    line, channel = expected.line, expected.channel
    return replace(
        expected,
        since=shifts.at(expected.since),
        by=shifts.at(expected.by),
        line=line if line is None else others.get(line, line),
        channel=channel if channel is None else others.get(channel, channel),
    )


@dataclass(frozen=True, slots=True)
class _Group:
    """Injections that belong together, by their places; from the first to where the last has come to its
    most, and to where the last of them ends."""

    places: tuple[int, ...]
    first: float
    last: float
    end: float


class _Shifts:
    """By how much each moment of an exercise comes later."""

    def __init__(self, exercise: Exercise, draws: Draws) -> None:
        groups = _groups(exercise.injections)
        edges = [exercise.start, *(each.last for each in groups)]
        nexts = [*(each.first for each in groups[1:]), None]
        self._of_place: dict[int, float] = {}
        self._knots = [(exercise.start, 0.0)]
        for number, (group, before, after) in enumerate(zip(groups, edges, nexts, strict=False)):
            room = group.first - before if number == 0 else (group.first - before) / 2.0
            later = exercise.end - group.end
            later = later if after is None else min(later, (after - group.last) / 2.0)
            drawn = draws.within(f"time {number}", 60.0 * exercise.vary.minutes, STEP_S)
            early, late = _room_of_cargo(exercise, group)
            room, later = min(room, early), min(later, late)
            shift = float(int(min(max(drawn, -max(room, 0.0)), max(later, 0.0))))
            self._of_place |= dict.fromkeys(group.places, shift)
            self._knots += [(group.first, shift), (max(group.last, group.first), shift)]
        self._knots.append((max(exercise.end, self._knots[-1][0]), 0.0))

    def moved(self, injection: Injection, place: int) -> Injection:
        """Return the injection at its other time."""
        shift = self._of_place.get(place, 0.0)
        if not shift:
            return injection
        more: dict[str, Any] = {"at": _at(injection) + shift}
        return replace(injection, **more)

    def at(self, time: float) -> float:
        """Return when a moment comes: between two groups by how near it is to either."""
        for (begin, low), (end, high) in zip(self._knots, self._knots[1:], strict=False):
            if begin <= time <= end:
                part = (time - begin) / (end - begin) if end > begin else 0.0
                return float(round(time + low + part * (high - low)))
        return time


def _groups(injections: Sequence[Injection]) -> list[_Group]:
    """Return what belongs together, in order of time. A surge goes on for hours, and what was forgotten was
    before: neither moves."""
    timed = [
        (_at(each), place, each)
        for place, each in enumerate(injections)
        if not isinstance(each, TideSurge | ForgottenLine)
    ]
    groups: list[_Group] = []
    for at, place, each in sorted(timed, key=lambda row: row[:2]):
        lasts = each.seconds if isinstance(each, Gust | GaugeFault) else 0.0
        last = at + (lasts if isinstance(each, Gust) else min(lasts, TOGETHER_S))
        if groups and at <= max(groups[-1].last, groups[-1].first + TOGETHER_S):
            was = groups.pop()
            more = max(was.last, last), max(was.end, at + lasts)
            groups.append(_Group((*was.places, place), was.first, *more))
        else:
            groups.append(_Group((place,), at, last, at + lasts))
    return groups


def _room_of_cargo(exercise: Exercise, group: _Group) -> tuple[float, float]:
    """Return by how much a group may come earlier and later so that cargo that changes its rate is going
    on."""
    early = late = inf
    for place in group.places:
        each = exercise.injections[place]
        if isinstance(each, CargoRate):
            own = [one for one in exercise.stay.cargo if one.name == each.operation]
            spell = next((one for one in own if one.start <= each.at < one.end), None)
            early = min(early, 0.0 if spell is None else each.at - spell.start)
            late = min(late, 0.0 if spell is None else spell.end - each.at - STEP_S)
    return early, late


def overlap(injections: Sequence[Injection]) -> bool:
    """Return whether two troubles that replace the value of one gauge come at once."""
    faults = [each for each in injections if isinstance(each, GaugeFault) and each.kind in REPLACING]
    return any(
        one.channel == other.channel and one.at < other.end and other.at < one.end
        for place, one in enumerate(faults)
        for other in faults[:place]
    )


def _at(injection: Injection) -> float:
    return float(getattr(injection, "at", float("nan")))
