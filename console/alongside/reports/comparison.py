"""Two stay files side by side, from their plans alone: what differs over the stay."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from alongside.errors import WrongInput
from alongside.forecast.basis import Basis
from alongside.forecast.before_arrival import planned_present
from alongside.forecast.expected.ensemble import expected_situations
from alongside.forecast.look_ahead import Far, look_ahead
from alongside.forecast.model import Forecast
from alongside.forecast.present import Present
from alongside.mechanics.holding import HoldingPower, holding_power
from alongside.mechanics.holding_search import CAP_MS
from alongside.readings import Floats
from alongside.stay.stage import Stage
from alongside.units import iso_time
from alongside.wording.figures import bearing, degrees, held_speed, metres, percent
from alongside.wording.names import condition, what_gives, without
from alongside.wording.safe import safe
from alongside.wording.times import DayClock


@dataclass(frozen=True, slots=True, eq=False)
class Side:
    """One of the two: its forecast, and what the set holds in its weakest hour (None: not known)."""

    basis: Basis
    forecast: Forecast
    holding: HoldingPower | None


def side_of(basis: Basis, at: float, far: Far) -> Side:
    """Return a stay by its plan from `at` on. Raises WrongInput where the plan leaves something open."""
    present = planned_present(basis.stay, basis.arrangement, at)
    forecast = look_ahead(basis, present, far)
    if forecast.reason:
        why = "; ".join((forecast.reason, *forecast.notes))
        raise WrongInput(f"{basis.stay.file}: no look ahead at {iso_time(at)}: {why}")
    return Side(basis, forecast, _weakest_holding(basis, present, forecast))


def _weakest_holding(basis: Basis, present: Present, forecast: Forecast) -> HoldingPower | None:
    """Return holding power at the beginning, at the highest or the lowest float, whichever is weakest."""
    height = forecast.tide.expected - (forecast.draught_fwd.expected + forecast.draught_aft.expected) / 2.0
    if np.isnan(height).all():
        return None
    rows = sorted({0, int(np.nanargmax(height)), int(np.nanargmin(height))})
    expected = expected_situations(basis.stay, present, forecast.times, members=1).situation()
    found = [
        holding_power(
            basis.arrangement, expected.rows(row, row + 1), present.unstretched, criteria=basis.criteria
        )
        for row in rows
    ]
    known = [each for each in found if not each.reason]
    return min(known, key=lambda each: float(each.holds_ms.min())) if known else None


def comparison_rows(one: Side, other: Side) -> list[str]:
    """Return a table of what matters, `<>` where the two differ."""
    sides = (one, other)
    titles = _titles(sides)
    clock = DayClock(one.basis.stay.display, one.forecast.time)
    table = [
        ("lines", [str(len(side.forecast.lines)) for side in sides]),
        ("highest stretch", [_highest(side, side.forecast.stretch_share, clock, percent) for side in sides]),
        ("highest load", [_highest(side, side.forecast.load_share, clock, percent) for side in sides]),
        ("steepest lead", [_steepest(side, clock) for side in sides]),
        ("first warning", [_first_warning(side, clock) for side in sides]),
        ("not known", [without(side.forecast.without) or "none" for side in sides]),
        ("tending rounds", [str(len(side.forecast.tending.rounds)) for side in sides]),
        ("moves of lines", [str(_moves(side)) for side in sides]),
        ("no length serves", [_incurable(side) for side in sides]),
        ("least UKC", [_least_depth(side, clock) for side in sides]),
        ("lines hold", [_weakest(side) for side in sides]),
    ]
    width = max(26, *(len(text) for text in titles), *(len(text) for _, texts in table for text in texts))
    until = clock(float(one.forecast.times[-1]))
    head = f"from {clock.whole(one.forecast.time)} to {until}, by the plans alone"
    rows = [head, "", f"{'':20}   {titles[0]:<{width}}  {titles[1]}"]
    for name, texts in table:
        mark = "<>" if texts[0] != texts[1] else "  "
        rows.append(f"{name:<20}{mark} {texts[0]:<{width}}  {texts[1]}".rstrip())
    return rows


def _titles(sides: Sequence[Side]) -> list[str]:
    """Return the names of the stays; those of their files where the stays have one name."""
    names = [safe(side.basis.stay.name) for side in sides]
    return names if len(set(names)) == len(names) else [safe(str(side.basis.stay.file)) for side in sides]


def _highest(side: Side, shares: Floats, clock: DayClock, word: Callable[[float], str]) -> str:
    if np.isnan(shares).all():
        return "not known"
    row, line = np.unravel_index(int(np.nanargmax(shares)), shares.shape)
    when = clock(float(side.forecast.times[row]))
    return f"line {safe(side.forecast.lines[line])} {word(float(shares[row, line]))} at {when}"


def _steepest(side: Side, clock: DayClock) -> str:
    fast = np.where(np.isnan(side.forecast.load_share), np.nan, np.abs(side.forecast.vertical_deg))
    return _highest(side, fast, clock, degrees)


def _first_warning(side: Side, clock: DayClock) -> str:
    for limit in sorted(side.forecast.limits, key=lambda limit: limit.expected or np.inf):
        if limit.stage >= Stage.WARNING and limit.expected is not None:
            return f"{condition(limit.cause, limit.subject, limit.line)} at {clock(limit.expected)}"
    return "none"


def _moves(side: Side) -> int:
    return sum(len(each.moves) for each in side.forecast.tending.rounds)


def _incurable(side: Side) -> str:
    lines = dict.fromkeys(each.line for each in side.forecast.tending.cannot_cure)
    return f"line {', '.join(safe(line) for line in lines)}" if lines else "none"


def _least_depth(side: Side, clock: DayClock) -> str:
    depth = side.forecast.under_keel.expected
    if np.isnan(depth).all():
        return "not known"
    row = int(np.nanargmin(depth))
    return f"{metres(float(depth[row]))} at {clock(float(side.forecast.times[row]))}"


def _weakest(side: Side) -> str:
    if side.holding is None:
        return "not known"
    weakest, display = side.holding.weakest, side.basis.stay.display
    speed = held_speed(float(side.holding.holds_ms[weakest]), display, CAP_MS)
    gives = what_gives(side.holding.gives_first[weakest], side.holding.where[weakest])
    if side.holding.holds_ms[weakest] <= 0.0:
        return f"over limit without wind: {gives}"
    then = f", then {gives}" if gives else ""
    return f"{speed} from {bearing(float(side.holding.from_deg[weakest]))}{then}"
