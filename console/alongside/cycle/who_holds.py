"""Who holds her now and at the next high and low water: the part of each role of what the lines hold."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import reduce
from math import isfinite, nan
from typing import Final, Literal

import numpy as np

from alongside.forecast.basis import Basis
from alongside.forecast.expected.ensemble import expected_situations
from alongside.forecast.model import Forecast
from alongside.forecast.present import Present
from alongside.mechanics.holding import why_not
from alongside.mechanics.holding_roles import ROLES, Against, RoleShares, shares_by_role
from alongside.mechanics.holding_search import CAP_MS
from alongside.mechanics.lesser_holding import lesser_shares
from alongside.mechanics.situation import Situation, joined
from alongside.readings import Floats
from alongside.stay.model import Display
from alongside.wording.figures import held_speed, percent
from alongside.wording.times import clock

When = Literal["now", "high_water", "low_water"]
WHEN: Final[dict[When, str]] = {"now": "now", "high_water": "HW", "low_water": "LW"}
AGAINST: Final[dict[Against, str]] = {
    "off_berth": "square off the berth",
    "ahead": "from ahead",
    "astern": "from astern",
}
WITHIN_S: Final = 13.5 * 3600.0
"""A high and a low water of a tide twice a day lie within."""
EVERY_S: Final = 600.0


@dataclass(frozen=True, slots=True, eq=False)
class HoursAhead:
    """Expected at (m,) instants, rising: tide m above chart datum, draughts m, heel deg."""

    time: Floats
    tide: Floats
    draught_fwd: Floats
    draught_aft: Floats
    heel_deg: Floats

    @classmethod
    def of(cls, forecast: Forecast) -> "HoursAhead":
        return cls(
            forecast.times,
            forecast.tide.expected,
            forecast.draught_fwd.expected,
            forecast.draught_aft.expected,
            forecast.heel_deg.expected,
        )

    @classmethod
    def asked(cls, basis: Basis, present: Present) -> "HoursAhead":
        """Return what is expected from a present on."""
        times = present.time + np.arange(0.0, WITHIN_S + 1.0, EVERY_S)
        seen = expected_situations(basis.stay, present, times, members=1)
        parts = seen.tide, seen.draught_fwd, seen.draught_aft, seen.heel_deg
        return cls(times, *(part[0] for part in parts))

    def water(self, high: bool, after: float) -> int | None:
        """Return the place of the next high or low water after an instant; None where there is none."""
        level = self.tide if high else -self.tide
        turns = np.flatnonzero((level[1:-1] > level[:-2]) & (level[1:-1] >= level[2:])) + 1
        later = turns[self.time[turns] > after]
        return int(later[0]) if later.size else None


@dataclass(frozen=True, slots=True)
class HeldBy:
    """One moment: its time, tide and draughts, NaN where not known, the parts of each role in each wind, and
    why they are not known, in words."""

    when: When
    time: float
    tide: float
    draught_fwd: float
    draught_aft: float
    winds: tuple[RoleShares, ...] = ()
    why: str = ""


def who_holds(
    basis: Basis,
    situation: Situation,
    lengths: Floats,
    ahead: HoursAhead | None,
    slipped: Floats | None = None,
) -> tuple[HeldBy, ...]:
    """Return who holds her now (`situation`, one row), and at the next high and low water, with the lengths
    of main rope of now, m (lines,); `ahead` None where nothing is known of the hours to come. `slipped`
    (lines,) the same if brakes in question slipped, None where none is: of each wind the state that holds
    less counts."""
    now = why_not(basis.arrangement, situation)
    moments: list[tuple[When, Situation | None, str]] = [("now", situation, now)]
    waters: tuple[tuple[When, bool], ...] = (("high_water", True), ("low_water", False))
    for when, high in waters:
        then, why = _then(basis, situation, ahead, high)
        moments.append((when, then, why))
    able = [here for _, here, why in moments if here is not None and not why]
    roles = tuple(line.role for line in basis.stay.lines)
    states = [each for each in (lengths, slipped) if each is not None]
    by_state = [
        shares_by_role(basis.arrangement, roles, joined(able), each, basis.criteria) if able else ()
        for each in states
    ]
    answers = iter(reduce(lambda one, other: tuple(map(lesser_shares, one, other)), by_state))
    return tuple(_held_by(when, here, why, () if why else next(answers)) for when, here, why in moments)


def _held_by(when: When, here: Situation | None, why: str, winds: tuple[RoleShares, ...]) -> HeldBy:
    if here is None:
        return HeldBy(when, nan, nan, nan, nan, why=why)
    time, tide, fwd, aft = (
        float(each[0]) for each in (here.time, here.tide, here.draught_fwd, here.draught_aft)
    )
    return HeldBy(when, time, tide, fwd, aft, winds, why)


def _then(basis: Basis, now: Situation, ahead: HoursAhead | None, high: bool) -> tuple[Situation | None, str]:
    """Return the situation at the next high or low water, with the current of now; else why not."""
    if basis.stay.tide is None:
        return None, "no tide in the stay file"
    if ahead is None:
        return None, "hours ahead not known yet"
    at = ahead.water(high, float(now.time[0]))
    if at is None:
        return None, "none expected in the hours ahead"
    then = {name: getattr(ahead, name)[[at]] for name in ("time", "tide", "draught_fwd", "draught_aft")}
    heel = ahead.heel_deg[[at]] if now.heel_measured else now.heel_deg
    here = replace(now, **then, heel_deg=heel)
    return here, why_not(basis.arrangement, here)


def held_by_rows(held: Sequence[HeldBy], display: Display) -> list[str]:
    """Return a row for each wind and moment: `wind off the berth, HW 14:20: head 22 %, breast 48 %`."""
    rows = []
    for each in held:
        if each.why:
            rows.append(f"at {WHEN[each.when]} not known: {each.why}")
            continue
        for wind in each.winds:
            parts = ", ".join(
                f"{role} {percent(share)}"
                for role, share in zip(ROLES, wind.shares, strict=True)
                if share > 0.0
            )
            holds = held_speed(wind.holds_ms, display, CAP_MS)
            rows.append(
                f"wind {AGAINST[wind.against]}, {moment(each, display)}: {parts or 'nothing'} ({holds})"
            )
    return rows


def moment(each: HeldBy, display: Display) -> str:
    """Return `now`, `HW 14:20`."""
    if each.when == "now" or not isfinite(each.time):
        return WHEN[each.when]
    return f"{WHEN[each.when]} {clock(each.time, display)}"
