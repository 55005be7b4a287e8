"""What a change does to the hours ahead: causes on lines and on the ship that come to be worse, or better."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from alongside.forecast.model import Forecast, LimitAhead
from alongside.forecast.ship_changes import ShipChange, is_left, ship_changes
from alongside.forecast.worst_wind import WorstWind, worst_winds
from alongside.stay.stage import Stage


@dataclass(frozen=True, slots=True)
class AheadChange:
    """Lines whose worst stage expected in the hours ahead is worse, or better, with a change, and new lines
    that are expected at a warning or worse; causes on the ship that come to be worse or better; the
    highest wind by what is held that is expected, NaN where not known; and the wind that is most by what is
    held, before and with the change."""

    known: bool
    lines_worse: tuple[str, ...] = ()
    lines_better: tuple[str, ...] = ()
    lines_new: tuple[str, ...] = ()
    ship_worse: tuple[ShipChange, ...] = ()
    ship_better: tuple[ShipChange, ...] = ()
    wind_share: float = float("nan")
    worst_wind: tuple[WorstWind | None, WorstWind | None] = (None, None)


def ahead_change(
    before: Forecast | None, after: Forecast | None, takes_from: Forecast | None = None
) -> AheadChange:
    """Return what differs between two forecasts; nothing known where either is none or has a reason. A change
    that only lets go or slacks `takes_from` what is held in that forecast."""
    if before is None or after is None or before.reason or after.reason:
        return AheadChange(known=False)
    one, other = _worst(before.limits), _worst(after.limits)
    gone = {line for line, _ in after.without}
    lines = [line for line in after.lines if line not in gone]
    ship = ship_changes(before.limits, after.limits)
    share = after.holding_share.expected
    return AheadChange(
        True,
        tuple(line for line in lines if line in before.lines and other.get(line, 0) > one.get(line, 0)),
        tuple(line for line in lines if other.get(line, 0) < one.get(line, 0)),
        tuple(line for line in lines if line not in before.lines and other.get(line, 0)),
        tuple(each for each in ship if each.is_worse),
        tuple(each for each in ship if _is_better(each)),
        float("nan") if np.isnan(share).all() else float(np.nanmax(share)),
        worst_winds(before, after, takes_from),
    )


def _worst(limits: Iterable[LimitAhead]) -> dict[str, int]:
    """Return the worst stage expected of each line, warning or worse."""
    worst: dict[str, int] = {}
    for limit in limits:
        if is_left(limit) and limit.line is not None:
            worst[limit.line] = max(worst.get(limit.line, 0), int(limit.stage))
    return worst


def _is_better(change: ShipChange) -> bool:
    after = Stage.NORMAL if change.after is None else change.after.stage
    return change.before is not None and after < change.before.stage
