"""Two stay files side by side, from their plans alone: which holds her better, and what differs."""

from collections.abc import Callable

import numpy as np

from alongside.mechanics.holding_search import CAP_MS
from alongside.readings import Floats
from alongside.reports.compared_sides import Side, file_names, incurable_lines, square_off
from alongside.reports.comparison_verdict import judgement
from alongside.stay.stage import Stage
from alongside.wording.figures import bearing, degrees, held_speed, metres, percent
from alongside.wording.names import condition, what_gives, without
from alongside.wording.safe import safe
from alongside.wording.times import DayClock


def comparison_rows(one: Side, other: Side) -> list[str]:
    """Return which of two holds her better, and a table of what matters, `<>` where the two differ."""
    sides = (one, other)
    clock = DayClock(one.basis.stay.display, one.forecast.time)
    table = [
        ("stay", [safe(side.basis.stay.name) for side in sides]),
        ("file", file_names(sides)),
        ("lines", [str(len(side.forecast.lines)) for side in sides]),
        ("breast lines", [_breasts(side) for side in sides]),
        ("hold, square off", [_square_off(side) for side in sides]),
        ("lines hold", [_weakest(side) for side in sides]),
        ("off fenders from", [_contact(side) for side in sides]),
        ("tending rounds", [str(len(side.forecast.tending.rounds)) for side in sides]),
        ("moves of lines", [str(_moves(side)) for side in sides]),
        ("no length serves", [_incurable(side) for side in sides]),
        ("first warning", [_first_warning(side, clock) for side in sides]),
        ("highest stretch", [_highest(side, side.forecast.stretch_share, clock, percent) for side in sides]),
        ("highest load", [_highest(side, side.forecast.load_share, clock, percent) for side in sides]),
        ("steepest lead", [_steepest(side, clock) for side in sides]),
        ("least UKC", [_least_depth(side, clock) for side in sides]),
        ("not known", [without(side.forecast.without) or "none" for side in sides]),
    ]
    width = max(26, *(len(text) for _, texts in table for text in texts))
    until = clock(float(one.forecast.times[-1]))
    head = f"from {clock.whole(one.forecast.time)} to {until}, by the plans alone"
    rows = [head, "", judgement(one, other), ""]
    for name, texts in table:
        mark = "<>" if texts[0] != texts[1] else "  "
        rows.append(f"{name:<20}{mark} {texts[0]:<{width}}  {texts[1]}".rstrip())
    return rows


def _breasts(side: Side) -> str:
    breasts = [safe(line.id) for line in side.basis.stay.lines if line.role == "breast"]
    return ", ".join(breasts) or "none"


def _square_off(side: Side) -> str:
    if side.holding is None:
        return "not known"
    at, display = square_off(side, side.holding), side.basis.stay.display
    gives = what_gives(side.holding.gives_first[at], side.holding.where[at])
    speed = held_speed(float(side.holding.holds_ms[at]), display, CAP_MS)
    return f"{speed}, then {gives}" if gives else speed


def _contact(side: Side) -> str:
    if side.holding is None:
        return "not known"
    at = side.holding.first_off
    ms, come_from = float(side.holding.contact_ms[at]), float(side.holding.from_deg[at])
    speed = held_speed(ms, side.basis.stay.display, CAP_MS)
    return speed if ms >= CAP_MS else f"{speed} from {bearing(come_from)}"


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
    lines = incurable_lines(side)
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
