"""What the watch types to tell of a tended line: `out 0.40`, `in 0.3`, `to 6`."""

import math
import re
from collections.abc import Mapping

from alongside.actions import MOST_METRES, TendLine
from alongside.screens.refusal import Refused
from alongside.stay.model import Line, Stay
from alongside.wording.figures import force, force_text
from alongside.wording.safe import safe

BY_CELL = "to cell"
"""How the watch says that a line's load cell is right and its computed load is not."""
_BY_CELL = re.compile(r"\s*to\s+(?:the\s+)?cell\s*", re.IGNORECASE)
_WHAT = re.compile(r"\s*(out|in|to)\s+([0-9]+(?:[.,][0-9]+)?|[.,][0-9]+)\s*(m|t|kN)?\s*", re.IGNORECASE)


def hint(stay: Stay, measured_kn: float = math.nan) -> str:
    """How to say it; `measured_kn` of the line's cell, NaN where it has none."""
    if math.isfinite(measured_kn):
        cell = force_text(measured_kn, stay.display)
        return f"out 0.4, in 0.4 = paid out, hove in, m    to 6 = a load    {BY_CELL} = {cell}, what it says"
    example = "6" if stay.display.force == "t" else "60"
    unit = stay.display.force
    return f"out 0.4 = paid out, m    in 0.4 = hove in, m    to {example} = set to a load, {unit}"


def tend_line(
    stay: Stay, line_text: str, what_text: str, by: str = "", measured_kn: Mapping[str, float] | None = None
) -> tuple[TendLine, str]:
    """The action and what it says in words; `measured_kn` of the lines' load cells, by line, kN. Raises
    Refused with what was expected."""
    line = _line(stay, line_text.strip())
    if _BY_CELL.fullmatch(what_text):
        kn = (measured_kn or {}).get(line.id, math.nan)
        if not kn > 0.0:
            raise Refused(f"line {safe(line.id)} has no load cell, or it says nothing")
        said = f"line {safe(line.id)} taken to carry {force_text(kn, stay.display)}, as its cell says"
        return TendLine(line.id, to_tension_kn=kn, by=by), said
    match = _WHAT.fullmatch(what_text)
    if match is None:
        raise Refused("expected out, in or to, and a number, such as: out 0.40")
    way, amount, unit = match[1].lower(), float(match[2].replace(",", ".")), match[3]
    name = f"line {safe(line.id)}"
    if way == "to":
        kn = _tension(stay, line, amount, unit)
        return TendLine(line.id, to_tension_kn=kn, by=by), f"{name} set to {force_text(kn, stay.display)}"
    _check_metres(amount, unit)
    if way == "out":
        return TendLine(line.id, paid_out=amount, by=by), f"{name}, {amount:.2f} m paid out"
    return TendLine(line.id, paid_out=-amount, by=by), f"{name}, {amount:.2f} m hove in"


def _line(stay: Stay, text: str) -> Line:
    found = next((line for line in stay.lines if line.id.lower() == text.lower()), None)
    if found is None:
        known = ", ".join(safe(line.id) for line in stay.lines)
        raise Refused(f"no line {safe(text)!r}; there are {known}" if text else f"which line? {known}")
    return found


def _check_metres(amount: float, unit: str | None) -> None:
    if unit is not None and unit.lower() != "m":
        raise Refused(f"out and in go by metres, not {unit}; a load is set with: to {amount:g}")
    if not 0.01 <= amount <= MOST_METRES:
        raise Refused(f"{amount:g} m is out of reason, expected 0.01 to {MOST_METRES:g} m")


def _tension(stay: Stay, line: Line, amount: float, unit: str | None) -> float:
    shown = stay.display.force
    if unit is not None and unit.lower() == "m":
        raise Refused("a load is expected after to; metres go with out or in")
    kn = amount / force(1.0, stay.display) if unit is None or unit.lower() == shown.lower() else math.nan
    if math.isnan(kn):
        raise Refused(f"loads are in {shown} on this screen")
    breaks = line.smallest_mbl_kn
    if not 0.0 < kn <= breaks:
        most = force_text(breaks, stay.display)
        raise Refused(f"{amount:g} {shown} is out of reason, expected above 0, at most the MBL {most}")
    return kn
