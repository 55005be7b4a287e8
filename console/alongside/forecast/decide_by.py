"""Decide by: which limits of wind may be reached in the hours ahead, and by when what they call for is to be
ordered.

The wind is that of the ensemble (`forecast.expected.wind`: a spread about the forecast that opens with the
hours), its limits those agreed in the stay file and what the lines hold. Lead times count back from when the
first 5 % of the cases reach a limit, not from the peak and not from when it is expected.
"""

from collections.abc import Sequence
from dataclasses import replace
from math import ceil, inf, isfinite, isnan, nan

import numpy as np

from alongside.forecast.basis import Basis
from alongside.forecast.decide_notes import not_given, notes
from alongside.forecast.decide_orders import orders_of, rows_of
from alongside.forecast.decided import Decisions, LimitToCome
from alongside.forecast.expected.ensemble import Expected, expected_situations, wind_of_members
from alongside.forecast.expected.wind_forecast import standing
from alongside.forecast.first_times import EARLY, LATE, first_times, rank
from alongside.forecast.look_ahead import Far
from alongside.forecast.present import Present
from alongside.forecast.transfer import connected_at
from alongside.forecast.wind_held import Held, held_by_members, why_not_held
from alongside.forecast.wind_limits import Flags, in_gusts, measured_share, measured_wind, share_of
from alongside.readings import Floats
from alongside.stay.model import DecideBy, WindLimit
from alongside.stay.wind_means import GUST

BEYOND_S = 2 * 3600.0
"""So much farther than all lead times together is looked at least."""
EVERY_S = 1800.0
TOGETHER_S = 900.0
"""What is entered within so long is one forecast. Ours."""


def decide_by(basis: Basis, present: Present, far: Far | None = None) -> Decisions | None:
    """Return what is to be decided by when, with lines and lengths as they are; None where the stay file has
    no section `decide`."""
    agreed = basis.stay.decide
    if agreed is None:
        return None
    present = _of_the_plan(basis, present)
    far = far or far_of_decisions(basis)
    time = far.times(present.time)
    expected = in_gusts(present, expected_situations(basis.stay, present, time, far.members))
    held = held_by_members(basis, expected, present.unstretched)
    connected = connected_at(basis.stay, present.transfer, time)
    limits = _with_first_before(agreed, present, expected, held, connected)
    ahead = [each.at for each in standing(present.wind_forecast) if each.at > present.time]
    end = max(ahead, default=inf)
    half_hours = slice(None, None, max(1, round(EVERY_S / far.every_s)))
    return Decisions(
        time=present.time,
        until=float(time[-1]),
        members=expected.members,
        rows=rows_of(agreed.lead, limits),
        limits=tuple(sorted(limits, key=lambda limit: limit.first)),
        connected=bool(connected[0]),
        turns=tuple(time[1:][connected[1:] != connected[:-1]].tolist()),
        measured=not isnan(present.wind_speed + present.wind_from),
        newest=max((each.entered for each in present.wind_forecast), default=-inf),
        forecast_until=max(ahead, default=-inf),
        holds_ms=nan if held is None else float(held.holds[0, 0]),
        holds=() if held is None else _holds(time, held, half_hours, end),
        wind=_wind(expected, half_hours, end),
        why_not_held="" if held is not None else why_not_held(basis, expected),
        not_given=not_given(agreed, held is not None),
        notes=notes(agreed.lead, present, ahead, expected, held, basis.stay.display, limits, connected),
    )


def _of_the_plan(basis: Basis, present: Present) -> Present:
    """Return a present of the plan alone without the calm that it stands for where nobody knows the wind:
    nothing is measured, and with a forecast that alone serves."""
    scenario = basis.stay.simulate is not None and bool(basis.stay.simulate.wind)
    if not present.planned or (scenario and not present.wind_forecast):
        return present
    return replace(present, wind_speed=nan, wind_from=nan, wind_gust=nan)


def far_of_decisions(basis: Basis) -> Far:
    """Return how far is looked: as the stay file says, and beyond all lead times together."""
    far = Far.of(basis.stay)
    lead = 0.0 if basis.stay.decide is None else basis.stay.decide.lead.longest
    return replace(far, hours=max(far.hours, float(ceil((lead + BEYOND_S) / 3600.0))))


def _limits(
    agreed: DecideBy, present: Present, expected: Expected, held: Held | None, connected: Flags
) -> list[LimitToCome | None]:
    """Return of each limit, those with transfer first and what is held last, when it may be reached; None
    where it hardly ever is."""
    every: list[tuple[WindLimit | None, Flags]] = [(limit, connected) for limit in agreed.with_transfer]
    every += [(limit, ~connected) for limit in agreed.without_transfer]
    every += [] if held is None else [(None, held.by_wind)]
    return [limit_to_come(limit, counts, present, expected, held, connected) for limit, counts in every]


def limit_to_come(
    limit: WindLimit | None,
    counts: Flags,
    present: Present,
    expected: Expected,
    held: Held | None,
    connected: Flags,
) -> LimitToCome | None:
    """Return when a limit, at the instants (m,) at which it `counts`, may be reached; None for hardly
    ever."""
    time, holds = expected.time, None if held is None else held.holds
    share = share_of(limit, holds, expected.wind_speed, expected.wind_from, counts)
    measured = measured_share(limit, holds, present, bool(counts[0]))
    share[:, 0] = share[:, 0] if isnan(measured) else measured  # what blows now is known
    first = np.sort(first_times(time, share[:, :, np.newaxis], np.ones(1), np.ones(1))[:, 0])
    early = float(first[rank(first.size, EARLY)])
    if not isfinite(early):
        return None
    row = min(int(np.searchsorted(time, early, side="left")), time.size - 1)
    worst = int(np.argmax(np.where(np.arange(time.size) >= row, share[0], -1.0)))
    peak_ms, peak_from = float(expected.wind_speed[0, worst]), float(expected.wind_from[0, worst])
    if worst == 0 and not isnan(measured):  # what was measured is no high case
        peak_ms = measured_wind(limit, present)
        peak_from = peak_from if isnan(present.wind_from) else present.wind_from
    high = int(np.argsort(share.max(axis=1), kind="stable")[rank(len(share), LATE)])
    at = int(np.argmax(share[high]))
    high_limit = _limit_ms(limit, holds, high, at)
    return LimitToCome(
        do="tugs" if limit is None else limit.do,
        agreed=limit,
        limit_ms=_limit_ms(limit, holds, 0, worst),
        first=early,
        expected=float(first[rank(first.size, 0.5)]),
        chance=float(np.isfinite(first).mean()),
        peak_ms=peak_ms / (GUST if limit is not None and limit.gust else 1.0),
        peak_at=float(time[worst]),
        peak_from_deg=peak_from,
        with_transfer=bool(connected[row]),
        high_ms=float(share[high, at]) * high_limit if high_limit > 0.0 else nan,
        high_limit_ms=high_limit,
        gives="" if limit is not None or held is None else held.gives_at(float(time[worst])),
    )


def _limit_ms(limit: WindLimit | None, holds: Floats | None, member: int, row: int) -> float:
    """Return what was agreed, or what is held in one case at one instant, m/s."""
    if limit is not None:
        return limit.speed_ms
    return nan if holds is None else float(holds[member, row])


def _with_first_before(
    agreed: DecideBy, present: Present, expected: Expected, held: Held | None, connected: Flags
) -> list[LimitToCome]:
    """Return the limits that may be reached, each with when it would be without the newest entry of the wind
    forecast, and what it calls for."""
    limits = _limits(agreed, present, expected, held, connected)
    newest = max((each.entered for each in present.wind_forecast), default=nan)
    rest = tuple(each for each in present.wind_forecast if each.entered < newest - TOGETHER_S)
    before = replace(present, wind_forecast=rest)
    speed, come_from = wind_of_members(before, expected.time, expected.members)
    blown = in_gusts(before, replace(expected, wind_speed=speed, wind_from=come_from))
    firsts = [inf if each is None else each.first for each in _limits(agreed, before, blown, held, connected)]
    return [
        replace(
            limit,
            first_before=first,
            needs=tuple((row.order, row.lead_s) for row in orders_of(agreed.lead, limit)),
        )
        for limit, first in zip(limits, firsts, strict=True)
        if limit is not None
    ]


def _holds(time: Floats, held: Held, rows: slice, end: float) -> tuple[tuple[float, float], ...]:
    """Return what is held as expected; NaN where a line is too tight, and after the `end` of the forecast."""
    holds = np.where(held.by_wind & (time <= end), held.holds[0], nan)
    return tuple(zip(time[rows].tolist(), _known(holds[rows]), strict=True))


def _wind(expected: Expected, rows: slice, end: float) -> tuple[tuple[float, float, float, float], ...]:
    """Return what the page shows of the wind; NaN after the `end` of the forecast."""
    time = expected.time[rows]
    speed = np.where(time <= end, expected.wind_speed[:, rows], nan)
    come_from = np.where(time <= end, expected.wind_from[0, rows], nan)
    columns: Sequence[Floats] = (time, speed[0], come_from, np.sort(speed, axis=0)[rank(len(speed), LATE)])
    return tuple(zip(*(_known(each) for each in columns), strict=True))


def _known(values: Floats) -> list[float]:
    """Return values with one NaN for all, so that the same answer is equal to itself."""
    return [nan if isnan(each) else each for each in values.tolist()]
