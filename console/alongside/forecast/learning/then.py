"""What would be computed otherwise once what was found is accepted."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import nan

import numpy as np

from alongside.forecast.basis import Basis
from alongside.forecast.learning.line_found import LineFound
from alongside.forecast.rope_ranges import rope_ranges
from alongside.mechanics.hold import hold
from alongside.mechanics.holding import holding_power
from alongside.mechanics.situation import Situation
from alongside.readings import Floats
from alongside.stay.learnt import taught
from alongside.stay.model import Stay


@dataclass(frozen=True, slots=True)
class LineThen:
    """A line at one instant as it is computed: load kN, between what it is likely, share of its working limit
    and of its stretch allowance."""

    tension_kn: float
    likely_kn: tuple[float, float]
    load_share: float
    stretch_share: float


@dataclass(frozen=True, slots=True)
class Then:
    """Lines by id as they are computed now and once all that is offered is accepted; and what wind is held
    from the weakest direction, m/s, NaN where that is not known."""

    time: float
    before: dict[str, LineThen]
    after: dict[str, LineThen]
    holds_ms: tuple[float, float] = (nan, nan)


def with_accepted(stay: Stay, found: Sequence[LineFound]) -> Stay:
    """Return the stay with all that is offered."""
    learnt = {each.line: each.learnt for each in found if each.learnt is not None}
    lines = []
    for line in stay.lines:
        of_line = learnt.get(line.id)
        lines.append(line if of_line is None else taught(line, of_line))
    return replace(stay, lines=tuple(lines))


def then_of(basis: Basis, here: Situation, unstretched: Floats, found: Sequence[LineFound]) -> Then:
    """Return what would be otherwise at one instant; `unstretched` (lines,) m as computed now."""
    longer = {each.line: each.longer_m for each in found if each.learnt is not None}
    lengths = unstretched + np.array([longer.get(line.id, 0.0) for line in basis.stay.lines])
    after = Basis.of(with_accepted(basis.stay, found), basis.ahead)
    before_lines, after_lines = _lines(basis, here, unstretched), _lines(after, here, lengths)
    holds = _holds(basis, here, unstretched), _holds(after, here, lengths)
    return Then(float(here.time[0]), before_lines, after_lines, holds)


def _lines(basis: Basis, here: Situation, unstretched: Floats) -> dict[str, LineThen]:
    held = hold(basis.arrangement, here, unstretched)
    likely = rope_ranges(basis, here, held.lines, held.pose)
    lines = held.lines
    return {
        line: LineThen(
            float(lines.tension_kn[0, at]),
            (float(likely.tension_low_kn[0, at]), float(likely.tension_high_kn[0, at])),
            float(lines.load_share[0, at]),
            float(lines.stretch_share[0, at]),
        )
        for at, line in enumerate(basis.arrangement.ids)
    }


def _holds(basis: Basis, here: Situation, unstretched: Floats) -> float:
    power = holding_power(basis.arrangement, here, unstretched, basis.criteria)
    return nan if power.reason else float(power.holds_ms[power.weakest])
