"""What the measured loads of each line show, and what is offered for acceptance: never taken by itself."""

from collections.abc import Mapping, Sequence
from typing import Final

import numpy as np

from alongside.forecast.learning.chosen import SCALE_SD, ZERO_SHARE, Chosen, Straight
from alongside.forecast.learning.line_found import LineFound
from alongside.forecast.learning.observed import LEFT_WORDS, Left, Observed
from alongside.forecast.learning.one_line import LineSeen
from alongside.forecast.learning.together import Joint, Together
from alongside.forecast.learning.verdict import of_line
from alongside.stay.model import Line, Stay
from alongside.wording.figures import counted

LEAST_CELLS: Final = 8
"""Readings of a cell from which anything is learnt."""
LEAST_S: Final = 2 * 3600.0
"""s over which they must reach."""
MOST: Final = 96
"""Instants that are looked at, evenly chosen."""


def found_in(stay: Stay, observed: Observed) -> tuple[LineFound, ...]:
    """Return what the loads show of each line of which any was measured, in the order of the stay."""
    observed = _thinned(observed)
    answers: dict[str, LineFound] = {}
    usable = []
    for column, line in enumerate(stay.lines):
        if (observed.left[:, column] == Left.NOTHING).all():
            continue
        why = _why_too_few(stay, line, observed, column)
        rows, left = observed.counts[:, column], _left_out(observed, column)
        hours = float(np.ptp(observed.situation.time[rows])) / 3600.0 if rows.any() else 0.0
        n = int(rows.sum())
        answers[line.id] = LineFound(line.id, "nothing", why, cells=n, hours=hours, left_out=left)
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
            name: of_line(lines[name], begun[name], together, every, chosen[name]) for name in together.seen
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
