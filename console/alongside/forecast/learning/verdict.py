"""What the fit of all lines says of one: the finding, why nothing is offered, or what is."""

from collections.abc import Mapping
from dataclasses import replace
from math import exp, hypot, log, nan
from typing import Final

import numpy as np

from alongside.forecast.learning.chosen import OF_CELL, SCALE_SD, TELLS, Chosen, Explanation
from alongside.forecast.learning.line_found import Finding, LineFound, Spread
from alongside.forecast.learning.one_line import SD, LineSeen
from alongside.forecast.learning.robust import OUTLIER
from alongside.forecast.learning.together import Together
from alongside.stay.model import Learnt, Line
from alongside.wording.learnt import loads_words

SAME: Final = 0.05
"""Part of a load within which it counts as computed."""
ZERO_LOAD: Final = 0.05
"""Of the working limit: loads below this are compared as if they were so much."""
NOISY: Final = 0.15
"""Of the mean load: a cell whose readings lie farther about any explanation shows nothing."""
BEYOND_STIFFNESS: Final = 3.0
MORE_OUT: Final = 10.0
LESS_OUT: Final = 5.0
"""Standard deviations of what was expected beyond which it is not the rope, or not its making fast. A line
may hang slack that was said to be taut; a load twice that of making fast is another line's."""
CELL_SD: Final = 0.02
"""One standard deviation of a mean load by a cell that is taken as right; common practice, no source."""

OF_CELL_WHY: Final[Mapping[Explanation, str]] = {
    "zero": "the cell's zero is off: set it with the line slack",
    "scale": "the cell's scale is off: check its factor",
    "drift": "the load runs off with time: the cell drifts, or the rope creeps",
}


def of_line(line: Line, begun: LineFound, together: Together, every: Together, chosen: Chosen) -> LineFound:
    """Return what was found of one line; `every` is the fit with all figures of all lines open: spreads are
    those of it."""
    seen, at, residual = together.seen[line.id], together.at[line.id], together.residual[line.id]
    good = np.abs(residual) <= OUTLIER * seen.sigma_kn
    newest = seen.epoch == seen.epochs[-1]
    counts = newest & good if (newest & good).any() else newest
    log_softness, more = float(together.fit.theta[at.start]), float(together.fit.theta[at.stop - 1])
    softness_sd, more_sd = (_sd(every, together, line.id, which) for which in (0, -1))
    found = replace(
        begun,
        cells=int((seen.by_hand == 0).sum()),
        by_hand=int((seen.by_hand > 0).sum()),
        outliers=int((~good).sum()),
        hours=float(np.ptp(seen.time)) / 3600.0,
        computed_kn=float(together.computed_kn[line.id][counts].mean()),
        measured_kn=float(seen.load_kn[counts].mean()),
        then_kn=float((seen.load_kn - residual)[counts].mean()),
        left_kn=float(np.sqrt(np.mean(residual[good] ** 2))) if good.any() else nan,
        stiffness=_stiffness(seen, log_softness, softness_sd),
        more_m=Spread(more, more_sd),
    )
    finding, why = _verdict(found, seen, chosen)
    found = replace(found, finding=finding, why=why)
    if finding == "cell":
        return replace(found, cell=(chosen.explanation, chosen.figure[chosen.explanation]))
    if why:
        return found
    level_sd = _level_sd(every, together, line.id, newest)
    return _offered(found, line, seen, chosen, level_sd)


def _sd(every: Together, together: Together, name: str, which: int) -> float:
    """Return one standard deviation of a figure that is offered: that with all figures open, about the value
    that it has there, which is another where what is offered takes some figures as they were."""
    at, there = every.at[name], together.at[name]
    off = together.fit.theta[there][which] - every.wide.theta[at][which]
    return hypot(every.wide.sd(range(at.start, at.stop)[which]), float(off))


def _stiffness(seen: LineSeen, log_softness: float, sd: float) -> Spread:
    """Return the stiffness with its spread: a cell's scale is in it."""
    factor = exp(-log_softness)
    return Spread(factor, factor * hypot(sd, SCALE_SD if seen.has_cell else 0.0))


def _level_sd(every: Together, together: Together, name: str, newest: np.ndarray) -> float:
    """Return one standard deviation, kN, of the mean load of the newest stretch of a line, likewise."""
    begin = 0
    for line, seen in every.seen.items():
        if line == name:
            break
        begin += seen.path.size
    rows = begin + np.flatnonzero(newest)
    slope = every.wide.slope[rows].mean(axis=0)
    off = float(together.residual[name][newest].mean() - every.wide.residual[rows].mean())
    return hypot(float(np.sqrt(slope @ every.wide.covariance @ slope)), off)


def _verdict(found: LineFound, seen: LineSeen, chosen: Chosen) -> tuple[Finding, str]:
    """Return the finding, and why nothing is offered, "" where something is."""
    scale = max(found.measured_kn, ZERO_LOAD * seen.limit_kn)
    if chosen.explanation in OF_CELL:
        figure = abs(chosen.figure[chosen.explanation])
        off = figure * found.measured_kn if chosen.explanation == "scale" else figure
        return ("as_computed", "") if off < SAME * scale else ("cell", OF_CELL_WHY[chosen.explanation])
    if seen.has_cell and found.left_kn > NOISY * scale:
        return "nothing", "its readings lie too far about any explanation"
    if chosen.explanation == "nothing":
        return "as_computed", ""
    apart = _own_effect(found, seen)
    firm = chosen.evidence["nothing"] - chosen.evidence[chosen.explanation]
    if apart < SAME * scale and (chosen.explanation == "length" or firm < 3.0 * TELLS):
        return "as_computed", ""
    also = ", and the cell's scale" if seen.has_cell else ", and read it again"
    if abs(log(found.stiffness.value)) > BEYOND_STIFFNESS * seen.rope.stiffness_sd:
        return "nothing", f"no such rope is so stiff or soft: check which rope it is{also}"
    farthest = MORE_OUT if found.more_m.value > 0.0 else LESS_OUT
    if abs(found.more_m.value) > farthest * seen.rope.length_sd:
        return "nothing", f"not made fast so: check winch, fairlead and bollard{also}"
    return _of_rope(chosen.explanation), ""


def _own_effect(found: LineFound, seen: LineSeen) -> float:
    """Return by how much, kN in the mean, what is found changes the load of the line where she lies."""
    softness = 1.0 / found.stiffness.value
    length = seen.rope.length(seen.unstretched, softness) + found.more_m.value
    as_it_is = seen.rope.load(seen.path, seen.unstretched, 1.0)
    return float(np.abs(seen.rope.load(seen.path, length, softness) - as_it_is).mean())


def _of_rope(explanation: Explanation) -> Finding:
    return explanation if explanation in ("stiffness", "length", "both") else "as_computed"


def _offered(found: LineFound, line: Line, seen: LineSeen, chosen: Chosen, level_sd: float) -> LineFound:
    """Return the same with what is offered: the stiffness, the length, and the load at which that is known;
    nothing where it is as computed."""
    if found.finding == "as_computed":
        return found
    newest = seen.epoch == seen.epochs[-1]
    softness, length = 1.0 / found.stiffness.value, seen.unstretched[newest]
    level = found.then_kn
    before = Learnt() if line.learnt is None else line.learnt
    # A length alone says nothing of the stiffness: its band is as it was.
    band = line.rope.stiffness_band
    if found.finding != "length":
        band = min(SD * found.stiffness.sd / found.stiffness.value, 0.8)
    off = SD * hypot(level_sd, CELL_SD * level if seen.has_cell else 0.0)
    learnt = Learnt(
        stiffness=before.stiffness * found.stiffness.value,
        stiffness_band=band,
        more_m=before.more_m + found.more_m.value,
        at_kn=level if level > 0.0 else None,
        load_band=min(off / level, 0.8) if level > 0.0 else before.load_band,
        source=loads_words(found.cells, found.by_hand, found.hours),
    )
    longer = seen.rope.length(length, softness) + found.more_m.value - length
    return replace(
        found,
        rivals=_rivals(chosen),
        learnt=learnt,
        longer_m=float(longer.mean()),
        unstretched_m=float(length[-1]),
    )


def _rivals(chosen: Chosen) -> tuple[tuple[Explanation, float], ...]:
    """Return the other explanations by one figure that do nearly as well; a fault of the cell is said sooner:
    a rope that is blamed for it is the worse error."""
    near: tuple[Explanation, ...] = ("stiffness", "length", *OF_CELL)
    best = chosen.evidence[chosen.explanation]
    rivals = [
        name
        for name in near
        if name != chosen.explanation
        and chosen.evidence.get(name, np.inf) < best + (2.0 * TELLS if name in OF_CELL else TELLS)
    ]
    return tuple(
        (name, exp(-chosen.figure[name]) if name == "stiffness" else chosen.figure[name]) for name in rivals
    )
