"""Brakes whose lines were over their holding: what is in question until somebody has looked, in figures and
in words."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import isfinite

from alongside.actions import AnswerBrake
from alongside.readings import Floats
from alongside.stay.model import Stay
from alongside.wording.figures import force_text, listed, metres
from alongside.wording.safe import safe


@dataclass(frozen=True, slots=True, eq=False)
class OverBrake:
    """(n, lines), NaN where the brake of a line is not in question: metres that have run out if it slipped;
    the highest load, kN, that it has borne since the first instant over its holding if it held."""

    ran_out_m: Floats
    most_kn: Floats

    def lines(self, row: int, ids: Sequence[str]) -> tuple[str, ...]:
        """Return the lines in question at one instant, of `ids` in the order of the columns."""
        ran_out = self.ran_out_m[row].tolist()
        return tuple(line for line, metres in zip(ids, ran_out, strict=True) if isfinite(metres))


def over_its_brake(stay: Stay, line: str, ran_out_m: float, most_kn: float) -> str:
    """Return `Line 4 over its brake: slipped 0.24 m, or holds 31.3 t: look at winch 4`."""
    either = slipped_or_holds(stay, ran_out_m, most_kn)
    return f"Line {safe(line)} over its brake: {either}: look at winch {safe(line)}"


def slipped_or_holds(stay: Stay, ran_out_m: float, most_kn: float) -> str:
    """Return the two that may be so: `slipped 0.24 m, or holds 31.3 t`."""
    return f"slipped {metres(ran_out_m)}, or holds {force_text(most_kn, stay.display)}"


def if_brakes(lines: Sequence[str], did: str, again: bool = False) -> str:
    """Return ` if brake 4 slipped`, ` if brakes 4 and 10 held`; where they stood before, ` if it slipped`; ""
    where nothing is in question."""
    if not did or not lines:
        return ""
    pronoun = "it" if len(lines) == 1 else "they"
    names = f"{'brake' if len(lines) == 1 else 'brakes'} {listed([safe(line) for line in lines])}"
    return f" if {pronoun if again else names} {did}"


def brake_answered(stay: Stay, action: AnswerBrake, slipped_m: float, most_kn: float, cell_kn: float) -> str:
    """Return the text of an answer: `Line 4: brake slipped 0.24 m (RV)`, or by a load cell's figure."""
    if action.did == "slipped":
        what = f"brake slipped {metres(slipped_m)}"
    else:
        what = f"brake held{f' {force_text(most_kn, stay.display)}' if isfinite(most_kn) else ''}"
    who = f" ({safe(action.by)})" if action.by else ""
    cell = f", load cell {force_text(cell_kn, stay.display)}" if isfinite(cell_kn) else ""
    return f"Line {safe(action.line)}: {what}{cell}{who}"


def brake_not_answered(line: str, why: str) -> str:
    """Return the text of an answer that answers nothing."""
    return f"Line {safe(line)}: no answer for its brake: {why}"


def brake_not_asked(line: str) -> str:
    """Return the text of a question that is over without an answer."""
    return f"Line {safe(line)}: set to a tension, so nothing is asked of its brake any more"
