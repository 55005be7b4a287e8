"""What a change would do to the ship as a whole: holding, fenders, drift, bollards, keel and gangway."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from alongside.forecast.model import Forecast, LimitAhead
from alongside.stay.stage import Stage

SAME_S: Final = 600.0
"""Limits reached within so many seconds of each other count as reached at the same time."""


@dataclass(frozen=True, slots=True)
class ShipChange:
    """One cause on one subject that is no line: the worst stage that is expected before and after a change,
    None where no warning is."""

    cause: str
    subject: str
    before: LimitAhead | None
    after: LimitAhead | None

    @property
    def is_worse(self) -> bool:
        if self.after is None:
            return False
        if self.before is None or self.after.stage > self.before.stage:
            return True
        return self.after.stage == self.before.stage and _when(self.after) < _when(self.before) - SAME_S


def worst_of_ship(limits: Iterable[LimitAhead]) -> dict[tuple[str, str], LimitAhead]:
    """Return the first time of the worst stage expected, warning or worse, of each cause on a subject that is
    no line."""
    worst: dict[tuple[str, str], LimitAhead] = {}
    for limit in limits:
        if limit.line is not None or limit.stage < Stage.WARNING or limit.expected is None:
            continue
        key = limit.cause, limit.subject
        if key not in worst or limit.stage > worst[key].stage:
            worst[key] = limit
    return worst


def ship_changes(before: Iterable[LimitAhead], after: Iterable[LimitAhead]) -> tuple[ShipChange, ...]:
    """Return every cause expected at a warning or worse before or after, the worst after first."""
    one, other = worst_of_ship(before), worst_of_ship(after)
    changes = [ShipChange(*key, one.get(key), other.get(key)) for key in {**one, **other}]
    return tuple(sorted(changes, key=_rank))


def costs(forecast: Forecast) -> tuple[ShipChange, ...]:
    """Return what the planned rounds make worse for the ship."""
    if not forecast.tending.rounds:
        return ()
    return tuple(each for each in ship_changes(forecast.limits, forecast.followed) if each.is_worse)


def is_left(limit: LimitAhead) -> bool:
    """Return whether a limit of a line is expected at a warning or worse."""
    return limit.line is not None and limit.stage >= Stage.WARNING and limit.expected is not None


def _rank(change: ShipChange) -> tuple[int, float, str, str]:
    if change.after is None:
        return 0, 0.0, change.cause, change.subject
    return -int(change.after.stage), _when(change.after), change.cause, change.subject


def _when(limit: LimitAhead) -> float:
    assert limit.expected is not None, "what may not occur is left out"
    return limit.expected
