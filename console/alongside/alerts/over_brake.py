"""Brakes whose lines were over their holding: what is in question until somebody has looked, in figures and
in words."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import isfinite
from typing import Final

import numpy as np
from numpy.typing import NDArray

from alongside.actions import AnswerBrake
from alongside.readings import Floats
from alongside.stay.model import Stay
from alongside.wording.figures import force_text, listed, metres
from alongside.wording.safe import safe

LEAST_M: Final = 0.005
"""Metres that are shown as none."""


@dataclass(frozen=True, slots=True, eq=False)
class OverBrake:
    """(n, lines), NaN where the brake of a line is not in question: metres that have run out if it slipped;
    the highest load, kN, that it has borne since the first instant over its holding if it held."""

    ran_out_m: Floats
    most_kn: Floats
    or_more: NDArray[np.bool_] | None = None
    """Where more may have run out than is known: the load is not, or rests on a doubtful gauge. None:
    nowhere."""

    def rows(self, rows: slice) -> "OverBrake":
        """Return chosen instants as views."""
        more = None if self.or_more is None else self.or_more[rows]
        return OverBrake(self.ran_out_m[rows], self.most_kn[rows], more)

    def is_or_more(self, row: int, column: int) -> bool:
        """Return whether more may have run out of one line at one instant than is known."""
        return self.or_more is not None and bool(self.or_more[row, column])

    def lines(self, row: int, ids: Sequence[str]) -> tuple[str, ...]:
        """Return the lines in question at one instant, of `ids` in the order of the columns."""
        ran_out = self.ran_out_m[row].tolist()
        return tuple(line for line, metres in zip(ids, ran_out, strict=True) if isfinite(metres))


def over_its_brake(stay: Stay, line: str, ran_out_m: float, most_kn: float, or_more: bool = False) -> str:
    """Return `Line 4 over its brake: slipped 0.24 m, or holds 31.3 t: look at winch 4`."""
    either = slipped_or_holds(stay, ran_out_m, most_kn, or_more)
    return f"Line {safe(line)} over its brake: {either}: look at winch {safe(line)}"


def slipped_or_holds(stay: Stay, ran_out_m: float, most_kn: float, or_more: bool = False) -> str:
    """Return the two that may be so: `slipped 0.24 m, or holds 31.3 t`; `slipped 0.24 m or more` where more
    may have run out than is known, `slipped, metres not known` where none are."""
    out = f" {metres(ran_out_m)}{' or more' if or_more else ''}"
    if or_more and ran_out_m < LEAST_M:
        out = ", metres not known"
    return f"slipped{out}, or holds {force_text(most_kn, stay.display)}"


def drum_mark(ran_out_m: float, or_more: bool = False) -> str:
    """Return where the mark on the drum is if the brake slipped: `0.24 m out`, `0.24 m or more out`, `out,
    metres not known`."""
    if or_more and ran_out_m < LEAST_M:
        return "out, metres not known"
    return f"{metres(ran_out_m)}{' or more' if or_more else ''} out"


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
