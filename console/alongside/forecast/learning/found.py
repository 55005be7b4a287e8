"""What the measured loads of each line show, and what is offered for acceptance: never taken by itself."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import exp, hypot, log, nan
from typing import Final, Literal

import numpy as np

from alongside.forecast.learning.chosen import (
    OF_CELL,
    SCALE_SD,
    TELLS,
    ZERO_SHARE,
    Chosen,
    Explanation,
    Straight,
)
from alongside.forecast.learning.observed import LEFT_WORDS, Left, Observed
from alongside.forecast.learning.one_line import SD, LineSeen
from alongside.forecast.learning.robust import OUTLIER
from alongside.forecast.learning.together import Joint, Together
from alongside.readings import Floats
from alongside.stay.model import Learnt, Line, Stay
from alongside.stay.model.lines import TENSION_BAND
from alongside.wording.figures import counted

LEAST_CELLS: Final = 8
"""Readings of a cell from which anything is learnt."""
LEAST_S: Final = 2 * 3600.0
"""s over which they must reach."""
MOST: Final = 96
"""Instants that are looked at, evenly chosen."""
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
SAME_LENGTH_M: Final = 1e-3
"""m within which a line has the length that it had: records have seven digits."""
CELL_SD: Final = 0.02
"""One standard deviation of a mean load by a cell that is taken as right; common practice, no source."""

Finding = Literal["as_computed", "stiffness", "length", "both", "cell", "nothing"]
OF_CELL_WHY: Final[Mapping[Explanation, str]] = {
    "zero": "the cell's zero is off: set it with the line slack",
    "scale": "the cell's scale is off: check its factor",
    "drift": "the load runs off with time: the cell drifts, or the rope creeps",
}


@dataclass(frozen=True, slots=True)
class Spread:
    """A figure and its standard deviation."""

    value: float = nan
    sd: float = nan

    @property
    def ends(self) -> tuple[float, float]:
        """Return between what it is likely to lie, 9 of 10."""
        return self.value - SD * self.sd, self.value + SD * self.sd


@dataclass(frozen=True, slots=True)
class LineFound:
    """What the loads of one line show; loads and lengths are those of the newest stretch of one length. `why`
    is the reason where nothing is offered."""

    line: str
    finding: Finding
    why: str = ""
    cells: int = 0
    """Readings of its cell that count, and loads that somebody has read."""
    by_hand: int = 0
    outliers: int = 0
    hours: float = 0.0
    left_out: tuple[tuple[str, int], ...] = ()
    computed_kn: float = nan
    measured_kn: float = nan
    then_kn: float = nan
    """What would be computed with what is found."""
    left_kn: float = nan
    """One standard deviation of what is left of a reading, kN."""
    stiffness: Spread = Spread()
    """So many times that of its curve as it is now."""
    more_m: Spread = Spread()
    """Main rope out beyond what making fast says with that stiffness, m."""
    rivals: tuple[tuple[Explanation, float], ...] = ()
    """Explanations by one figure that do nearly as well, each with it: a stiffness, metres, kN of the zero,
    part of the scale."""
    cell: tuple[Explanation, float] | None = None
    """The cell's own fault that explains its loads best, where that is the finding."""
    learnt: Learnt | None = None
    """What is offered; None where nothing is."""
    longer_m: float = 0.0
    """Metres of main rope by which the line is longer than computed once that is accepted."""
    unstretched_m: float = nan
    """Main rope, m, as computed in the newest stretch of one length."""

    def with_length(self, unstretched_m: float) -> "LineFound":
        """Return the same as it serves a line with so much main rope out now, m: where somebody has tended it
        since, the stiffness goes on, and nothing is known of the length."""
        if self.learnt is None or abs(unstretched_m - self.unstretched_m) <= SAME_LENGTH_M:
            return self
        if self.finding == "length":
            why = "its length was changed since: the new one is not known yet"
            return replace(self, finding="nothing", why=why, learnt=None, longer_m=0.0)
        of_rope = replace(
            self.learnt,
            more_m=self.learnt.more_m - self.more_m.value,
            at_kn=None,
            load_band=TENSION_BAND,
        )
        longer_m = self.longer_m - self.more_m.value
        return replace(self, finding="stiffness", learnt=of_rope, longer_m=longer_m)


def found_in(stay: Stay, observed: Observed) -> tuple[LineFound, ...]:
    """Return what the loads show of each line of which any was measured, in the order of the stay."""
    observed = _thinned(observed)
    answers: dict[str, LineFound] = {}
    usable = []
    for column, line in enumerate(stay.lines):
        if (observed.left[:, column] == Left.NOTHING).all():
            continue
        why = _why_too_few(stay, line, observed, column)
        n = int(observed.counts[:, column].sum())
        left = _left_out(observed, column)
        answers[line.id] = LineFound(line.id, "nothing", why, cells=n, left_out=left)
        if not why:
            usable.append(column)
    while usable:
        first, at_fault = _searched(stay, observed, usable, answers)
        answers |= {at_fault: first[at_fault]} if at_fault else first
        if not at_fault:
            break
        # A cell at fault makes others seem to be: what is found of them is sought anew without it.
        usable = [column for column in usable if stay.lines[column].id != at_fault]
    return tuple(answers.values())


def _searched(
    stay: Stay, observed: Observed, usable: Sequence[int], begun: Mapping[str, LineFound]
) -> tuple[dict[str, LineFound], str]:
    """Return what is found of some lines, by their columns, and the one whose cell is farthest off, "" for
    none."""
    joint = Joint(stay, observed, usable)
    every = joint.found()
    chosen = Straight(every, joint.without(every)).chosen()
    are_open = {line: _open(each, every.seen[line]) for line, each in chosen.items()}
    lines = {line.id: line for line in stay.lines}

    def of_lines(together: Together) -> dict[str, LineFound]:
        return {
            name: _of_line(lines[name], begun[name], together, every, chosen[name]) for name in together.seen
        }

    found = of_lines(joint.found(are_open))
    at_fault = [name for name, each in found.items() if each.finding == "cell"]
    if at_fault:
        return found, max(at_fault, key=lambda name: _size(found[name], every.seen[name]))
    # Lines that are as computed shall not bend what is found of the others.
    as_is = [name for name, each in found.items() if each.finding == "as_computed" and any(are_open[name])]
    if as_is:
        are_open |= {name: [False] * len(are_open[name]) for name in as_is}
        found = of_lines(joint.found(are_open))
    return found, ""


def _size(found: LineFound, seen: LineSeen) -> float:
    """Return how large a cell's fault is, in standard deviations of what was expected."""
    assert found.cell is not None, "asked of a cell at fault"
    by, figure = found.cell
    return abs(figure) / (SCALE_SD if by == "scale" else ZERO_SHARE * seen.limit_kn)


def _open(chosen: Chosen, seen: LineSeen) -> list[bool]:
    """Return which of the stiffness and the lengths of a line are open."""
    by = chosen.explanation
    return [by in ("stiffness", "both"), *[by in ("length", "both")] * len(seen.epochs)]


def _why_too_few(stay: Stay, line: Line, observed: Observed, column: int) -> str:
    """Return why too little was measured of a line for anything to be learnt; "" where that is enough."""
    if line.bight_with or any(each.bight_with == line.id for each in stay.lines):
        return "part of a bight: one rope, two loads"
    rows = observed.counts[:, column]
    if not rows.any():
        words = [LEFT_WORDS[Left(code)] for code in np.unique(observed.left[:, column]) if code in LEFT_WORDS]
        return f"no reading that counts: {', '.join(words)}" if words else "no reading that counts"
    if (observed.by_hand[rows, column] > 0).any():
        return ""
    time = observed.situation.time[rows]
    if time.size < LEAST_CELLS or np.ptp(time) < LEAST_S:
        seen = counted(int(time.size), "reading")
        return f"{seen} over {np.ptp(time) / 3600.0:.1f} h, expected {LEAST_CELLS} over 2 h"
    return ""


def _thinned(observed: Observed) -> Observed:
    """Return at most `MOST` instants, evenly chosen of those with any load, and all that somebody read."""
    some = np.flatnonzero(observed.counts.any(axis=1))
    if some.size <= MOST:
        return observed
    chosen = some[np.round(np.linspace(0, some.size - 1, MOST)).astype(np.intp)]
    by_hand = np.flatnonzero((observed.by_hand > 0).any(axis=1))
    return observed.at(np.union1d(chosen, by_hand))


def _left_out(observed: Observed, column: int) -> tuple[tuple[str, int], ...]:
    codes = observed.left[:, column]
    counted = ((words, int((codes == code).sum())) for code, words in LEFT_WORDS.items())
    return tuple((words, number) for words, number in counted if number)


def _of_line(line: Line, begun: LineFound, together: Together, every: Together, chosen: Chosen) -> LineFound:
    """Return what was found of one line; `every` is the fit with all figures of all lines open: spreads are
    those of it."""
    seen, at, residual = together.seen[line.id], together.at[line.id], together.residual[line.id]
    good = np.abs(residual) <= OUTLIER * seen.sigma_kn
    newest = seen.epoch == seen.epochs[-1]
    counts = newest & good if (newest & good).any() else newest
    log_softness, more = float(together.fit.theta[at.start]), float(together.fit.theta[at.stop - 1])
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
        stiffness=_stiffness(seen, log_softness, every.fit.sd(every.at[line.id].start)),
        more_m=Spread(more, every.fit.sd(every.at[line.id].stop - 1)),
    )
    finding, why = _verdict(found, seen, chosen)
    found = replace(found, finding=finding, why=why)
    if finding == "cell":
        return replace(found, cell=(chosen.explanation, chosen.figure[chosen.explanation]))
    if why:
        return found
    return _offered(found, line, seen, chosen, _level_sd(every, line.id, newest))


def _stiffness(seen: LineSeen, log_softness: float, sd: float) -> Spread:
    """Return the stiffness with its spread: a cell's scale is in it."""
    factor = exp(-log_softness)
    return Spread(factor, factor * hypot(sd, SCALE_SD if seen.has_cell else 0.0))


def _level_sd(every: Together, name: str, newest: np.ndarray) -> float:
    """Return one standard deviation, kN, of the mean load of the newest stretch of a line."""
    begin = 0
    for line, seen in every.seen.items():
        if line == name:
            break
        begin += seen.path.size
    slope = every.fit.slope[begin + np.flatnonzero(newest)].mean(axis=0)
    return float(np.sqrt(slope @ every.fit.covariance @ slope))


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
    if abs(log(found.stiffness.value)) > BEYOND_STIFFNESS * seen.rope.stiffness_sd:
        return "nothing", "no such rope is so stiff or soft: check which rope it is, and the cell's scale"
    farthest = MORE_OUT if found.more_m.value > 0.0 else LESS_OUT
    if abs(found.more_m.value) > farthest * seen.rope.length_sd:
        return "nothing", "not made fast so: check winch, fairlead and bollard, and the cell's scale"
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
        source=_source(found),
    )
    longer = seen.rope.length(length, softness) + found.more_m.value - length
    return replace(
        found,
        rivals=_rivals(chosen),
        learnt=learnt,
        longer_m=float(longer.mean()),
        unstretched_m=float(length[-1]),
    )


def as_of_now(stay: Stay, found: Sequence[LineFound], unstretched: Floats) -> tuple[LineFound, ...]:
    """Return what was found as it serves the lengths of now, `unstretched` (lines,) m in the order of the
    stay."""
    now = dict(zip((line.id for line in stay.lines), unstretched.tolist(), strict=True))
    return tuple(each.with_length(now.get(each.line, nan)) for each in found)


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


def _source(found: LineFound) -> str:
    """Return by what it is known, in words."""
    by = []
    if found.cells:
        by.append(f"{found.cells} readings of its load cell over {found.hours:.0f} h")
    if found.by_hand:
        by.append(f"{found.by_hand} {'load' if found.by_hand == 1 else 'loads'} read by hand")
    return " and ".join(by)
