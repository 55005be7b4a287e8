"""What measured loads show of lines, in words."""

from collections.abc import Iterator, Sequence
from math import isfinite
from typing import Final

from alongside.forecast.learning.chosen import Explanation
from alongside.forecast.learning.line_found import LineFound
from alongside.forecast.learning.then import Then
from alongside.mechanics.holding_search import CAP_MS
from alongside.stay.model import Display, Stay
from alongside.wording.figures import counted, force_range, force_text, held_speed, percent
from alongside.wording.learnt import LEAST_M, length_words, loads_words, stiffness_words
from alongside.wording.safe import safe

CAUTION: Final = (
    "Nothing of this is taken by itself. A cell is taken as right: try its zero with the line slack first.",
    "The rope's certificate, its inspection and the master's judgement stand above it.",
)
NOTHING: Final = "No load was measured: no load cell in the stay file, and nobody has read a load."


def finding_words(found: LineFound) -> str:
    """Return what explains the loads of a line, or why nothing is learnt, without the line's name."""
    if found.finding == "as_computed":
        return "as computed"
    if found.learnt is None:
        return found.why
    parts = []
    if found.finding in ("stiffness", "both"):
        parts.append(stiffness_words(found.stiffness.value))
    if found.finding in ("length", "both") and abs(found.more_m.value) >= LEAST_M:
        parts.append(length_words(found.more_m.value))
    return ", ".join(parts)


def spread_words(found: LineFound) -> str:
    """Return between what it lies, 9 of 10: `0.80 to 0.94 of its curve; -0.25 to -0.13 m`."""
    parts = []
    if found.finding in ("stiffness", "both"):
        low, high = found.stiffness.ends
        parts.append(f"{low:.2f} to {high:.2f} of its curve's stiffness")
    if found.finding in ("length", "both"):
        low, high = found.more_m.ends
        parts.append(f"{low:+.2f} to {high:+.2f} m of main rope")
    return "; ".join(parts)


def rival_words(name: Explanation, figure: float, display: Display) -> str:
    """Return an explanation that does nearly as well: `its cell's zero 0.8 t off`."""
    match name:
        case "stiffness":
            return stiffness_words(figure)
        case "length":
            return length_words(figure)
        case "zero":
            return f"its cell's zero {force_text(abs(figure), display)} {'high' if figure > 0.0 else 'low'}"
        case "scale":
            return f"its cell reading {percent(abs(figure))} too {'much' if figure > 0.0 else 'little'}"
        case _:
            return f"its cell drifting by {force_text(abs(figure), display)}, or the rope creeping"


def rivals_words(found: LineFound, display: Display) -> str:
    """Return what else would explain it, "" for nothing."""
    if not found.rivals:
        return ""
    others = " or ".join(rival_words(name, figure, display) for name, figure in found.rivals)
    return f"may as well be: {others}"


def basis_words(found: LineFound) -> str:
    """Return what it rests on, and what was left out."""
    left = [f"{number} {words}" for words, number in found.left_out]
    if found.outliers:
        left.append(f"{counted(found.outliers, 'outlier')}")
    text = loads_words(found.cells, found.by_hand, found.hours) or "no reading"
    return f"{text}; left out: {', '.join(left)}" if left else text


def grade_words(found: LineFound) -> str:
    """Return how sure it is: `good`, `fair`, or `poor`, and by what."""
    if found.learnt is None:
        return ""
    by = "by cell" if found.cells else "by hand"
    if found.rivals or not found.cells:
        return f"poor, {by}" if found.by_hand + found.cells < 3 else f"fair, {by}"
    return f"good, {by}" if found.hours >= GOOD_HOURS else f"fair, {by}"


GOOD_HOURS: Final = 12.0
"""A tide: below it, what goes with time looks like what goes with load."""


def learning_rows(stay: Stay, found: Sequence[LineFound], then: Then | None) -> list[str]:
    """Return what is found of each line, and what would be otherwise."""
    if not found:
        return [NOTHING]
    rows: list[str] = []
    for each in found:
        rows += [*_line_rows(stay, each, then), ""]
    offered = [each.line for each in found if each.learnt is not None]
    if then is not None and offered:
        rows += [_holds_row(stay, then), ""]
    if len(offered) > 1:
        names = ", ".join(safe(line) for line in offered)
        rows += [f"Lines {names} were found together: accept all of them, or none.", ""]
    return rows


def _line_rows(stay: Stay, found: LineFound, then: Then | None) -> Iterator[str]:
    display = stay.display
    yield f"Line {safe(found.line)}: {finding_words(found)}"
    if isfinite(found.measured_kn):
        row = f"  measured {force_text(found.measured_kn, display)}, computed"
        row += f" {force_text(found.computed_kn, display)} (means)"
        if found.learnt is not None:
            row += f"; with it {force_text(found.then_kn, display)}"
        yield f"{row}; left over {force_text(found.left_kn, display)} a reading"
    if found.learnt is not None:
        yield f"  likely {spread_words(found)}; grade: {grade_words(found)}"
        if words := rivals_words(found, display):
            yield f"  {words}"
    elif found.cell is not None:
        yield f"  {rival_words(*found.cell, display)}"
    yield f"  by {basis_words(found)}"
    if found.learnt is not None and then is not None:
        yield from _then_rows(found.line, then, display)


def _then_rows(line: str, then: Then, display: Display) -> Iterator[str]:
    before, after = then.before[line], then.after[line]
    for name, each in (("now", before), ("then", after)):
        likely = force_range(*each.likely_kn, display)
        row = f"  {name:<5} {force_text(each.tension_kn, display)}"
        row += f" (likely {likely})" if likely else ""
        yield f"{row}, {percent(each.load_share)} of WLL, stretch {percent(each.stretch_share)}"


def _holds_row(stay: Stay, then: Then) -> str:
    before, after = (held_speed(each, stay.display, CAP_MS) for each in then.holds_ms)
    return f"With all of it lines hold {after} from the weakest direction, now {before}."
