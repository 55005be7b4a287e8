"""What is to be decided by when, as frozen data for alerts, screens, record and JSON."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf, isinf, isnan, nan

from alongside.stay.model import Deed, Order, WindLimit


@dataclass(frozen=True, slots=True)
class LimitToCome:
    """One limit of wind that may be reached in the hours ahead. `agreed` is the limit of the stay file; None:
    what the lines hold, m/s, is the limit.

    UNIX seconds: `first` from when on it may be reached (5 % of the cases), `expected` when half of them have
    reached it, infinite where fewer do; `chance` share of the cases that reach it at all. `peak_ms` is the
    wind that is expected from `first` on where it is worst for this limit, a 30 s mean or a gust as the limit
    is, at `peak_at` from `peak_from_deg` true, and `limit_ms` the limit then. `with_transfer`: arms or hoses
    are connected at `first`. `first_before` is `first` without the newest entry of the forecast, infinite for
    never.
    """

    do: Deed
    agreed: WindLimit | None
    limit_ms: float
    first: float
    expected: float
    chance: float
    peak_ms: float
    peak_at: float
    peak_from_deg: float
    with_transfer: bool
    first_before: float = inf
    high_ms: float = nan
    """The wind of the high case, which 5 % of the cases pass, where it is worst for this limit; as `peak_ms`
    is."""
    high_limit_ms: float = nan
    """What was agreed, or what the lines hold in that case then."""
    gives: str = ""
    """What of the lines gives first, in words."""
    needs: tuple[tuple[Order, float], ...] = ()
    """All that it calls for, with how many seconds before; NaN where that is not given."""

    @property
    def gust(self) -> bool:
        """Return whether the limit is one of gusts."""
        return self.agreed is not None and self.agreed.gust

    def standing(self, now: float) -> bool:
        """Return whether it may be reached already."""
        return self.first <= now


@dataclass(frozen=True, slots=True)
class DecideRow:
    """`order` is due at `due`, UNIX s: by this calculation `by`, `lead_s` before the limit may be reached
    first; where a due time has passed unanswered, and this one is past too, that one. NaN: its lead time is
    not given, `lacking` says of what."""

    order: Order
    limit: LimitToCome
    lead_s: float
    lacking: tuple[Order, ...] = ()
    missed: float = nan
    """When it was due as that passed unanswered; NaN where it has not, or there is time again."""
    early: bool = False
    """Whether it was due before the watch knew of the wind: that time says nothing that anybody could do."""
    was: float = nan
    """When it was due before it moved; NaN where it did not."""
    why: str = ""
    """What has moved it."""
    answered: float = nan
    """When it was given, minus infinity for tugs that are there; NaN where it is still to be given."""
    answered_by: str = ""

    @property
    def is_open(self) -> bool:
        """Return whether it is still to be given."""
        return isnan(self.answered)

    @property
    def by(self) -> float:
        return self.limit.first - self.lead_s

    @property
    def due(self) -> float:
        """Return the one time that is named for this order wherever it stands."""
        return self.by if isnan(self.missed) else self.missed

    @property
    def by_before(self) -> float:
        """Return what `by` would be without the newest entry of the forecast."""
        return self.limit.first_before - self.lead_s

    def late_s(self, now: float) -> float:
        """Return by how many seconds what is ordered now comes after the limit; negative: before it."""
        return now + self.lead_s - self.limit.first


@dataclass(frozen=True, slots=True)
class Decisions:
    """What is to be decided in the hours from `time` to `until`, UNIX s; `rows` the soonest first, each order
    once, by the limit that calls for it first. `limits` are all that may be reached. `members` cases were
    looked at. `connected`: arms or hoses are so now; `turns` are the instants at which that changes."""

    time: float
    until: float
    members: int
    rows: tuple[DecideRow, ...]
    limits: tuple[LimitToCome, ...]
    connected: bool
    turns: tuple[float, ...] = ()
    measured: bool = True
    """Whether it begins from a wind that is known, and not from the forecast alone."""
    newest: float = -inf
    """When the newest entry of the wind forecast was made; minus infinity where there is none."""
    forecast_until: float = -inf
    """Until when the wind forecast goes; minus infinity where there is none to come."""
    holds_ms: float = nan
    """What the lines hold now from where the wind blows; NaN where not known."""
    holds: tuple[tuple[float, float], ...] = ()
    """(UNIX s, m/s) by the half hour as expected; NaN while a line is too tight in a calm, and after the end
    of the forecast."""
    wind: tuple[tuple[float, float, float, float], ...] = ()
    """(UNIX s, m/s, deg true, m/s that 5 % of the cases pass) by the half hour; NaN where not known, as after
    the end of the forecast."""
    why_not_held: str = ""
    """Why it is not known what the lines hold."""
    not_given: tuple[str, ...] = ()
    """What nobody has agreed, or given a time for, in words."""
    notes: tuple[str, ...] = ()
    before_deed: bool = False
    """Whether something was done or entered since that it does not know of: a new one is being worked out."""

    def row(self, order: str) -> DecideRow | None:
        """Return the row of one order; None where nothing calls for it."""
        return next((each for each in self.rows if each.order == order), None)


def when(row: DecideRow) -> float:
    """Return what rows are ordered by: those without a lead time last, by their limit."""
    return inf if isnan(row.due) else row.due


def comes_at(row: DecideRow, rows: Sequence[DecideRow], now: float) -> float:
    """Return when what the limit of a row calls for is done, UNIX s, if all of it that nobody has ordered is
    ordered in this minute: no earlier than its slowest part, also where another limit calls for that
    sooner."""
    minute = now // 60.0 * 60.0
    answered = {each.order: each.answered for each in rows}
    needs = row.limit.needs or [(each.order, each.lead_s) for each in rows if each.limit is row.limit]
    times = [
        (minute if isnan(answered.get(order, nan)) else answered[order]) + lead_s
        for order, lead_s in needs
        if not isinf(answered.get(order, nan)) and not isnan(lead_s)
    ]
    return max(times, default=nan)
