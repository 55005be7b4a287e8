"""What the watch types to record a tended line: `slack 0.40` or `out 0.40`, `heave 0.3`, `to 6`."""

import math
from collections.abc import Mapping

from alongside.actions import TendLine
from alongside.errors import WrongInput
from alongside.screens.refusal import Refused
from alongside.stay.model import Line, Stay
from alongside.wording.figures import force_text, metres
from alongside.wording.safe import safe
from alongside.wording.typed_tending import line_of, line_to_cell, typed_tending

BY_CELL = "to cell"
"""How the watch says that a line's load cell is right and its computed load is not."""


def hint(stay: Stay, measured_kn: float = math.nan) -> str:
    """Return how to type it; `measured_kn` of the line's cell, NaN where it has none."""
    if math.isfinite(measured_kn):
        cell = force_text(measured_kn, stay.display)
        return f"slack 0.4, heave 0.4 (out, in) = m    to 6 = a load    {BY_CELL} = {cell}, by its load cell"
    example = "6" if stay.display.force == "t" else "60"
    unit = stay.display.force
    return f"slack 0.4 (or out), heave 0.4 (or in), m    to {example} = set to a load, {unit}"


def tend_line(
    stay: Stay, line_text: str, what_text: str, by: str = "", measured_kn: Mapping[str, float] | None = None
) -> tuple[TendLine, str]:
    """Return the action and the same in words; `measured_kn` of the lines' load cells, by line, kN. Raise
    Refused with what was expected."""
    try:
        return _tended_line(stay, line_text.strip(), what_text, by, measured_kn or {})
    except WrongInput as error:
        raise Refused(str(error)) from None


def _tended_line(
    stay: Stay, line_text: str, what_text: str, by: str, measured_kn: Mapping[str, float]
) -> tuple[TendLine, str]:
    line = line_of(stay, line_text)
    name = f"line {safe(line.id)}"
    if (cell := line_to_cell(what_text)) is not None:
        _check_same(stay, line, cell)
        kn = measured_kn.get(line.id, math.nan)
        if not kn > 0.0:
            raise Refused(f"{name} has no load cell, or it gives no signal")
        words = f"{name} set to {force_text(kn, stay.display)}, by its load cell"
        return TendLine(line.id, to_tension_kn=kn, by=by), words
    typed = typed_tending(what_text)
    if typed is None:
        raise Refused("expected slack, heave or to, and a number, such as: slack 0.40")
    _check_same(stay, line, typed.line)
    if typed.way == "to":
        kn = typed.tension_kn(stay, line)
        return TendLine(line.id, to_tension_kn=kn, by=by), f"{name} set to {force_text(kn, stay.display)}"
    out = typed.paid_out_m()
    return TendLine(line.id, paid_out=out, by=by), f"{name} {tended(out)}"


def _check_same(stay: Stay, line: Line, typed: str) -> None:
    """Raise Refused where another line is typed with the words than in the field for it."""
    if typed and line_of(stay, typed) is not line:
        raise Refused(f"line {safe(typed)} or line {safe(line.id)}? expected one line, such as: slack 0.40")


def tended(paid_out_m: float) -> str:
    """Return `slacked 0.40 m` or `hove in 0.40 m`."""
    return f"{'slacked' if paid_out_m >= 0.0 else 'hove in'} {metres(abs(paid_out_m))}"
