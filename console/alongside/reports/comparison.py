"""Two stay files side by side, from their plans alone: what differs over the stay."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from alongside.alerts.text import percent
from alongside.cycle.holding_words import holding_sentence
from alongside.errors import WrongInput
from alongside.forecast.basis import Basis
from alongside.forecast.before_arrival import planned_present
from alongside.forecast.expected.ensemble import expected_situations
from alongside.forecast.look_ahead import Far, look_ahead
from alongside.forecast.model import Forecast
from alongside.forecast.present import Present
from alongside.mechanics.holding import HoldingPower, holding_power
from alongside.readings import Floats
from alongside.stay.stage import Stage
from alongside.units import iso_time
from alongside.wording.safe import safe
from alongside.wording.times import DayClock


@dataclass(frozen=True, slots=True, eq=False)
class Side:
    """One of the two: its forecast, and what the set holds in its weakest hour (None: not known)."""

    basis: Basis
    forecast: Forecast
    holding: HoldingPower | None


def side_of(basis: Basis, at: float, far: Far) -> Side:
    """A stay as its plan has it from `at` on. WrongInput says what the plan lacks."""
    present = planned_present(basis.stay, basis.arrangement, at)
    forecast = look_ahead(basis, present, far)
    if forecast.reason:
        lacks = "; ".join((forecast.reason, *forecast.notes))
        raise WrongInput(f"{basis.stay.file}: no forecast at {iso_time(at)}: {lacks}")
    return Side(basis, forecast, _weakest_holding(basis, present, forecast))


def _weakest_holding(basis: Basis, present: Present, forecast: Forecast) -> HoldingPower | None:
    """Holding power at the beginning, the highest and the lowest she floats, whichever is weakest."""
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
    """A table of what matters, `<>` where the two differ."""
    sides = (one, other)
    titles = [safe(side.basis.stay.name) for side in sides]
    clock = DayClock(one.basis.stay.display, one.forecast.time)
    table = [
        ("lines", [str(len(side.forecast.lines)) for side in sides]),
        ("highest stretch", [_highest(side, side.forecast.stretch_share, clock, percent) for side in sides]),
        ("highest load", [_highest(side, side.forecast.load_share, clock, percent) for side in sides]),
        ("steepest lead", [_steepest(side, clock) for side in sides]),
        ("first warning", [_first_warning(side, clock) for side in sides]),
        ("tending rounds", [str(len(side.forecast.tending.rounds)) for side in sides]),
        ("moves of lines", [str(_moves(side)) for side in sides]),
        ("cannot be cured", [_incurable(side) for side in sides]),
        ("least under keel", [_least_depth(side, clock) for side in sides]),
        ("weakest direction", [_weakest(side) for side in sides]),
    ]
    width = max(26, *(len(text) for text in titles), *(len(text) for _, texts in table for text in texts))
    head = (
        f"from {clock.whole(one.forecast.time)} to {clock(float(one.forecast.times[-1]))}, by the plans alone"
    )
    rows = [head, "", f"{'':20}   {titles[0]:<{width}}  {titles[1]}"]
    for name, texts in table:
        mark = "<>" if texts[0] != texts[1] else "  "
        rows.append(f"{name:<20}{mark} {texts[0]:<{width}}  {texts[1]}".rstrip())
    return rows


def _highest(side: Side, shares: Floats, clock: DayClock, word: Callable[[float], str]) -> str:
    if np.isnan(shares).all():
        return "not known"
    row, line = np.unravel_index(int(np.nanargmax(shares)), shares.shape)
    when = clock(float(side.forecast.times[row]))
    return f"line {safe(side.forecast.lines[line])} {word(float(shares[row, line]))} at {when}"


def _steepest(side: Side, clock: DayClock) -> str:
    fast = np.where(np.isnan(side.forecast.load_share), np.nan, np.abs(side.forecast.vertical_deg))
    return _highest(side, fast, clock, lambda degrees: f"{degrees:.0f}°")


def _first_warning(side: Side, clock: DayClock) -> str:
    for limit in sorted(side.forecast.limits, key=lambda limit: limit.expected or np.inf):
        if limit.stage >= Stage.WARNING and limit.expected is not None:
            who = f"line {safe(limit.line)} " if limit.line else ""
            return f"{who}{limit.cause.replace('_', ' ')} at {clock(limit.expected)}"
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
    return f"{depth[row]:.2f} m at {clock(float(side.forecast.times[row]))}"


def _weakest(side: Side) -> str:
    if side.holding is None:
        return "not known"
    return holding_sentence(side.holding, side.basis.stay.display).rstrip(".")
