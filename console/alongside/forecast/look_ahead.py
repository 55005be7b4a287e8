"""The look ahead: expected situations through the mechanics, held against the rules of the stay."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from alongside.alerts.assess import NOT_KNOWN
from alongside.errors import WrongInput
from alongside.forecast.basis import Basis
from alongside.forecast.expected.ensemble import Expected, expected_situations
from alongside.forecast.first_times import EARLY, LATE, quantile
from alongside.forecast.limits import CAUSES, Reached, reached
from alongside.forecast.members import Members
from alongside.forecast.model import Forecast, HeldAhead, RoundAhead, Spread, Tending
from alongside.forecast.partial_tending import with_partial_deeds
from alongside.forecast.present import Present
from alongside.forecast.rounds_into_the_wind import without_slips
from alongside.forecast.tending_plan import crew_of, plan_tending
from alongside.forecast.wind_held import limit_share
from alongside.forecast.wind_not_heard import not_heard
from alongside.mechanics.reasons import REASONS
from alongside.mechanics.state import Hold
from alongside.readings import Floats
from alongside.stay.model import Stay
from alongside.wording.names import without
from alongside.wording.times import DayClock

MOST_INSTANTS: Final = 200_000
"""Members times instants: 16 lines at so many take some hundred MB."""


@dataclass(frozen=True, slots=True)
class Far:
    """How far and how finely to look: hours, seconds between instants, members."""

    hours: float
    every_s: float
    members: int

    @classmethod
    def of(cls, stay: Stay) -> "Far":
        return cls(stay.outlook.hours, stay.outlook.every_min * 60.0, stay.outlook.members)

    def times(self, now: float) -> Floats:
        """Return (m,) instants from now on, the end included."""
        steps = int(np.floor(self.hours * 3600.0 / self.every_s + 1e-9))
        return np.asarray(now + self.every_s * np.arange(steps + 1), dtype=np.float64)


def far_of(
    stay: Stay, hours: float | None = None, every_min: float | None = None, members: int | None = None
) -> Far:
    """Return how far to look: as asked, else as the stay file says. Raise WrongInput for more instants than
    memory and patience have room for."""
    own = Far.of(stay)
    far = Far(
        hours or own.hours, own.every_s if every_min is None else every_min * 60.0, members or own.members
    )
    asked = far.hours * 3600.0 / far.every_s * far.members
    if asked > MOST_INSTANTS:
        raise WrongInput(
            f"{far.hours:g} h every {far.every_s / 60.0:g} min with {far.members} cases: {asked:.0f} "
            f"instants, expected at most {MOST_INSTANTS}"
        )
    return far


def look_ahead(basis: Basis, present: Present, far: Far | None = None, tend: bool = True) -> Forecast:
    """Return what will happen to each line from the present on, with the lengths as they are; and, with
    `tend`, the rounds that keep every line within its limits."""
    forecast = _looked_ahead(basis, present, far or Far.of(basis.stay), tend)
    return replace(forecast, tending=forecast.tending.waiting_for(present.asked))


def _looked_ahead(basis: Basis, present: Present, far: Far, tend: bool) -> Forecast:
    times = far.times(present.time)
    expected = expected_situations(basis.stay, present, times, far.members)
    held = Members(basis, expected, present.unstretched)
    found = reached(basis, present, held, present.unstretched)
    forecast = _found(basis, present, expected, held, found)
    if not tend or forecast.reason:
        return forecast
    if present.in_doubt:
        return replace(forecast, tending=replace(forecast.tending, waits_for=present.in_doubt))
    plan = plan_tending(basis, present, expected, held)
    if basis.arrangement.balanced:
        plan = without_slips(basis, present, expected, held, plan)
    crew = crew_of(basis.stay.outlook)
    helped = with_partial_deeds(basis, present, expected, crew, plan)
    plan = replace(plan, tending=_as_far_as_known(helped, forecast))
    if not plan.tending.rounds:
        return replace(forecast, tending=plan.tending)
    then = reached(basis, present, plan.run, plan.lengths)
    rounds = tuple(_with_holds(each, expected, found, then) for each in plan.tending.rounds)
    return replace(forecast, tending=replace(plan.tending, rounds=rounds), followed=then.limits)


def _as_far_as_known(tending: Tending, forecast: Forecast) -> Tending:
    """Return the plan verified, and its lengths and those of each round good, no farther than is known."""
    known = forecast.known_until
    if known >= forecast.times[-1]:
        return tending
    rounds = tuple(replace(each, serves_until=min(each.serves_until, known)) for each in tending.rounds)
    return replace(tending, verified=False, good_until=min(tending.good_until, known), rounds=rounds)


def _known_until(time: Floats, held: Hold, unstretched: Floats) -> float:
    """Return the last instant up to which the loads of all lines made fast are known, as expected."""
    unknown = np.isnan(held.lines.tension_kn[: time.size, ~np.isnan(unstretched)]).any(axis=1)
    first = int(unknown.argmax()) if unknown.any() else time.size
    return float(time[first - 1]) if first else -np.inf


def _with_holds(each: RoundAhead, expected: Expected, found: Reached, then: Reached) -> RoundAhead:
    """Return the round with what is held about when it is done, without it and with it."""
    done = int(np.searchsorted(expected.time, each.latest, side="right"))
    row = min(done, expected.time.size - 1)
    before, after = float(found.holds[row]), float(then.holds[row])
    return replace(each, holds_before_ms=before, holds_after_ms=after)


def _found(basis: Basis, present: Present, expected: Expected, held: Members, found: Reached) -> Forecast:
    levels = found.levels
    vertical, stretch, load, surge, sway = _spreads(held)
    as_expected = held.as_expected()
    return Forecast(
        time=present.time,
        times=expected.time,
        lines=basis.arrangement.ids,
        members=expected.members,
        tide=spread_of(expected.tide),
        draught_fwd=spread_of(expected.draught_fwd),
        draught_aft=spread_of(expected.draught_aft),
        heel_deg=spread_of(expected.heel_deg),
        wind_ms=spread_of(expected.wind_speed),
        wind_from_deg=expected.wind_from[0],
        under_keel=spread_of(found.under_keel),
        rail_over_quay=spread_of(found.rail),
        surge=surge,
        sway=sway,
        holding_share=spread_of(found.holding),
        stage=levels[0],
        stage_worst=np.where(levels[0] == NOT_KNOWN, levels[0], quantile(levels, LATE)),
        cause=found.cause,
        causes=CAUSES,
        vertical_deg=vertical.expected,
        stretch_share=stretch.expected,
        load_share=load.expected,
        limits=found.limits,
        tending=Tending(within=basis.stay.outlook.keep_within),
        notes=(*expected.notes, *_without(basis, present, expected)),
        reason=_reason(as_expected, expected.time.size),
        known_until=_known_until(expected.time, as_expected, present.unstretched),
        without=present.without(basis.arrangement.ids),
        present=present,
        vertical_spread=vertical,
        stretch_spread=stretch,
        load_spread=load,
        held=_held(basis, present, expected, found),
    )


def _held(basis: Basis, present: Present, expected: Expected, found: Reached) -> HeldAhead | None:
    """Return what is held as expected; how tight the lines are in a calm by the half hour, between two of
    them as at the tighter."""
    ahead = found.ahead
    if ahead is None:
        return None
    rows = np.searchsorted(expected.time, ahead.time)
    here = expected.situation(1).at(rows)
    calm = limit_share(basis, here, present.unstretched, np.zeros(len(here)))
    instants = np.arange(expected.time.size)
    since, until = np.searchsorted(rows, instants, side="right") - 1, np.searchsorted(rows, instants)
    return HeldAhead(ahead.holds, np.fmax(calm[since], calm[until]), ahead.time, ahead.weak)


def _spreads(held: Members) -> tuple[Spread, ...]:
    """Return between what leads, stretch and load of the lines, surge and sway lie."""

    def of_block(_rows: slice, here: Expected, block: Hold) -> tuple[Spread, ...]:
        shape, lines, pose = here.tide.shape, block.lines, block.pose
        by_line = (lines.vertical_deg, lines.stretch_share, lines.load_share)
        return (
            *(spread_of(values.reshape(*shape, -1)) for values in by_line),
            *(spread_of(values.reshape(shape)) for values in (pose.surge, pose.sway)),
        )

    return tuple(_joined(parts) for parts in zip(*held.through(of_block), strict=True))


def _joined(parts: Sequence[Spread]) -> Spread:
    """Return spreads that follow on each other in time as one."""
    low, high = (np.concatenate([getattr(each, name) for each in parts]) for name in ("low", "high"))
    return Spread(np.concatenate([each.expected for each in parts]), low, high)


def spread_of(values: Floats) -> Spread:
    """Return what is expected (member 0) of (members, m), and between what 90 % lie, what is expected among
    them: where work turns from one hold to the next, most members are on the same side of it."""
    low, high = quantile(values, EARLY), quantile(values, LATE)
    expected = values[0].copy()  # a view would keep all members
    return Spread(expected, np.fmin(low, expected), np.fmax(high, expected))


def _without(basis: Basis, present: Present, expected: Expected) -> tuple[str, ...]:
    notes = []
    unknown = present.without(basis.arrangement.ids)
    if unknown:
        notes.append(f"without {without(unknown)}")
    if basis.arrangement.balanced and np.isnan(expected.wind_speed[0]).all():
        notes.append("wind not known: calculated without wind")
    elif basis.arrangement.balanced:
        notes += not_heard(present, DayClock(basis.stay.display, present.time))
    if not basis.arrangement.balanced:
        notes.append("ship kept in place: wind, current and drift left out")
    return tuple(notes)


def _reason(held: Hold, m: int) -> str:
    """Return why nothing is known at the first instant as expected."""
    code = int(held.reason[0])
    return REASONS[code] if m else "no instants"
