"""What if: other lengths, other leads, another wind, no cargo; beside what will be as things stand.

Calculation only: nothing is changed.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from alongside.actions import MOST_METRES
from alongside.errors import WrongInput
from alongside.forecast.basis import Basis
from alongside.forecast.expected.ensemble import Expected, expected_situations
from alongside.forecast.look_ahead import Far, look_ahead
from alongside.forecast.model import Forecast
from alongside.forecast.present import Present
from alongside.mechanics.arrangement import arrangement_of
from alongside.mechanics.hold import hold
from alongside.mechanics.making_fast import unstretched_for
from alongside.mechanics.pose import in_place
from alongside.mechanics.reasons import NoLength
from alongside.mechanics.situation import Situation
from alongside.mechanics.state import LineStates
from alongside.readings import Floats
from alongside.stay.model import Stay
from alongside.units import knots


@dataclass(frozen=True, slots=True)
class PayOut:
    """Slack a line by metres of main rope; negative = heave in."""

    line: str
    metres: float

    @property
    def words(self) -> str:
        return f"{'slack' if self.metres >= 0.0 else 'heave'} {self.line} by {abs(self.metres):.2f} m"


@dataclass(frozen=True, slots=True)
class LetGo:
    """A line is let go, or parts."""

    line: str

    @property
    def words(self) -> str:
        return f"let go {self.line}"


@dataclass(frozen=True, slots=True)
class Shift:
    """A line led to another bollard, over another fairlead, or both, and made fast there with the tension it
    was made fast with."""

    line: str
    bollard: str | None = None
    fairlead: str | None = None

    @property
    def words(self) -> str:
        to = [f"bollard {self.bollard}"] if self.bollard else []
        over = [f"fairlead {self.fairlead}"] if self.fairlead else []
        return f"shift {self.line} to {' and '.join(to + over)}"


@dataclass(frozen=True, slots=True)
class OtherWind:
    """Another wind, m/s (30 s mean at 10 m) and true direction it comes from, deg."""

    speed: float
    come_from: float

    @property
    def words(self) -> str:
        return f"wind {knots(self.speed):.0f} kn from {self.come_from:03.0f}°"


@dataclass(frozen=True, slots=True)
class StopCargo:
    """Cargo and ballast stop now."""

    @property
    def words(self) -> str:
        return "stop cargo"


Change = PayOut | LetGo | Shift | OtherWind | StopCargo


@dataclass(frozen=True, slots=True, eq=False)
class WhatIf:
    """All lines now, (1, lines) each, and over the forecast: as things stand, and with the changes."""

    changes: tuple[Change, ...]
    lines: tuple[str, ...]
    now: LineStates
    then: LineStates
    as_it_stands: Forecast
    changed: Forecast

    @property
    def words(self) -> str:
        return ", ".join(change.words for change in self.changes)


def what_if(
    basis: Basis,
    present: Present,
    changes: Sequence[Change],
    far: Far | None = None,
    as_it_stands: Forecast | None = None,
) -> WhatIf:
    """Return what changes made now, in the order given, lead to. Raises WrongInput for a line, bollard or
    fairlead that is not there. `as_it_stands`: the forecast of the present where that is known already."""
    stay, other = basis.stay, present
    for change in changes:
        stay, other = _changed(stay, other, change)
    new_basis = basis if stay is basis.stay else Basis.of(stay)
    before = look_ahead(basis, present, far) if as_it_stands is None else as_it_stands
    after = look_ahead(new_basis, other, far)
    return WhatIf(
        changes=tuple(changes),
        lines=basis.arrangement.ids,
        now=_lines_now(basis, present),
        then=_lines_now(new_basis, other),
        as_it_stands=before,
        changed=after,
    )


def _changed(stay: Stay, present: Present, change: Change) -> tuple[Stay, Present]:
    if isinstance(change, OtherWind):
        return stay, present.in_wind(change.speed, change.come_from)
    if isinstance(change, StopCargo):
        return replace(stay, cargo=()), replace(present, planned=True)
    ids = [line.id for line in stay.lines]
    if change.line not in ids:
        raise WrongInput(f"there is no line {change.line}, expected one of {', '.join(ids)}")
    k = ids.index(change.line)
    if isinstance(change, Shift):
        return _shifted(stay, present, k, change)
    if isinstance(change, LetGo):
        return stay, _with_length(present, k, np.nan, NoLength.LET_GO)
    length, why = float(present.unstretched[k] + change.metres), dict(present.without(ids))
    if change.line in why:
        raise WrongInput(f"line {change.line}: {why[change.line]}, expected a line whose length is known")
    if length <= 0.0:
        raise WrongInput(f"line {change.line}: more to heave in than is out")
    return stay, _with_length(present, k, length)


def _with_length(present: Present, k: int, length: float, why: NoLength = NoLength.IMPOSSIBLE) -> Present:
    """Return the present with another main rope out in one line, m; `why` it has none where that is NaN."""
    lengths, codes = present.unstretched.copy(), present.why_no_length()
    lengths[k], codes[k] = length, why
    return replace(present, unstretched=lengths, no_length=codes)


def _shifted(stay: Stay, present: Present, k: int, change: Shift) -> tuple[Stay, Present]:
    line = stay.lines[k]
    bollard, fairlead = change.bollard or line.bollard, change.fairlead or line.fairlead
    for name, known, what in (
        (bollard, stay.berth.bollards, "bollard"),
        (fairlead, stay.ship.fairleads, "fairlead"),
    ):
        if name not in known:
            raise WrongInput(f"there is no {what} {name}, expected one of {', '.join(known)}")
    lines = tuple(
        replace(each, bollard=bollard, fairlead=fairlead) if at == k else each
        for at, each in enumerate(stay.lines)
    )
    stay = replace(stay, lines=lines)
    arrangement, here = arrangement_of(stay), _situation_now(stay, present)
    lengths = present.unstretched.copy()
    lengths[k] = np.nan  # let go of, before it is made fast anew where she then lies
    pose = hold(arrangement, here, lengths).pose if arrangement.balanced else in_place(here)
    tension = np.full(len(lengths), line.made_fast.tension_kn)
    return stay, _with_length(present, k, float(unstretched_for(arrangement, pose, tension)[0, k]))


def _lines_now(basis: Basis, present: Present) -> LineStates:
    here = _situation_now(basis.stay, present)
    return hold(basis.arrangement, here, present.unstretched).lines


def _situation_now(stay: Stay, present: Present) -> Situation:
    """Return the one instant of the present as it is expected."""
    once: Expected = expected_situations(stay, present, _just(present.time), members=1)
    return once.situation()


def _just(time: float) -> Floats:
    return np.array([time])


EXPECTED: Final = (
    "slack LINE METRES, heave LINE METRES, let go LINE, shift LINE to BOLLARD (or over FAIRLEAD), "
    "wind 40kn from 210, or stop cargo"
)


def parse_change(text: str) -> Change:
    """Return a change in words: `slack 3 0.4`, `heave 3 0.4`, `let go 5`, `shift 4 to B12`, `shift 4 over
    F3`, `wind 40kn from 210` (or `20m/s`), `stop cargo`. WrongInput says what was expected."""
    words = text.split()
    try:
        return _parsed(words)
    except ValueError as error:
        raise WrongInput(f"what if {text!r}: {error}, expected {EXPECTED}") from error


def _parsed(words: list[str]) -> Change:
    match [word.lower() for word in words]:
        case ["slack" | "heave" as way, _, metres]:
            size = _finite(metres.removesuffix("m"))
            if not 0.0 <= size <= MOST_METRES:
                raise ValueError(f"metres not from 0 to {MOST_METRES:g}")
            return PayOut(words[1], size if way == "slack" else -size)
        case ["let", "go", _]:
            return LetGo(words[2])
        case ["shift", _, "to", _]:
            return Shift(words[1], bollard=words[3])
        case ["shift", _, "over", _]:
            return Shift(words[1], fairlead=words[3])
        case ["shift", _, "to", _, "over", _]:
            return Shift(words[1], words[3], words[5])
        case ["wind", speed, "from", come_from]:
            return OtherWind(_speed(speed), _finite(come_from.rstrip("°")) % 360.0)
        case ["stop", "cargo"]:
            return StopCargo()
    raise ValueError("not a change")


def _speed(text: str) -> float:
    for unit, ms in (("kn", 1852.0 / 3600.0), ("m/s", 1.0), ("ms", 1.0)):
        if text.endswith(unit):
            speed = _finite(text.removesuffix(unit)) * ms
            if not 0.0 <= speed <= 100.0:
                raise ValueError("a wind not from 0 to 100 m/s")
            return speed
    raise ValueError("a wind without a unit")


def _finite(text: str) -> float:
    value = float(text)
    if not np.isfinite(value):
        raise ValueError("not a number")
    return value
