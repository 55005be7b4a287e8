"""What the watch types to record a tended line: `slack 0.40` or `out 0.40`, `heave 0.3`, `to 6`."""

import math
import re
from collections.abc import Mapping

from alongside.actions import MOST_METRES, TendLine
from alongside.screens.refusal import Refused
from alongside.stay.model import Line, Stay
from alongside.wording.figures import force, force_text, metres
from alongside.wording.safe import safe

BY_CELL = "to cell"
"""How the watch says that a line's load cell is right and its computed load is not."""
_BY_CELL = re.compile(r"\s*to\s+(?:the\s+)?cell\s*", re.IGNORECASE)
_WHAT = re.compile(
    r"\s*(out|slack|in|heave|to)\s+([0-9]+(?:[.,][0-9]+)?|[.,][0-9]+)\s*(m|t|kN)?\s*", re.IGNORECASE
)


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
    line = _line(stay, line_text.strip())
    if _BY_CELL.fullmatch(what_text):
        kn = (measured_kn or {}).get(line.id, math.nan)
        if not kn > 0.0:
            raise Refused(f"line {safe(line.id)} has no load cell, or it gives no signal")
        words = f"line {safe(line.id)} set to {force_text(kn, stay.display)}, by its load cell"
        return TendLine(line.id, to_tension_kn=kn, by=by), words
    match = _WHAT.fullmatch(what_text)
    if match is None:
        raise Refused("expected slack, heave or to, and a number, such as: slack 0.40")
    way, amount, unit = match[1].lower(), float(match[2].replace(",", ".")), match[3]
    name = f"line {safe(line.id)}"
    if way == "to":
        kn = _tension(stay, line, amount, unit)
        return TendLine(line.id, to_tension_kn=kn, by=by), f"{name} set to {force_text(kn, stay.display)}"
    _check_metres(amount, unit)
    out = amount if way in ("out", "slack") else -amount
    return TendLine(line.id, paid_out=out, by=by), f"{name} {tended(out)}"


def tended(paid_out_m: float) -> str:
    """Return `slacked 0.40 m` or `hove in 0.40 m`."""
    return f"{'slacked' if paid_out_m >= 0.0 else 'hove in'} {metres(abs(paid_out_m))}"


def _line(stay: Stay, text: str) -> Line:
    """Return the line of this very id; else the only one that differs from it in case."""
    exact = [line for line in stay.lines if line.id == text]
    alike = exact or [line for line in stay.lines if line.id.lower() == text.lower()]
    if len(alike) != 1:
        known = ", ".join(safe(line.id) for line in alike or stay.lines)
        raise Refused(f"no line {safe(text)!r}; there are {known}" if text else f"which line? {known}")
    return alike[0]


def _check_metres(amount: float, unit: str | None) -> None:
    if unit is not None and unit.lower() != "m":
        raise Refused(f"slack and heave go by metres, not {unit}; a load is set with: to {amount:g}")
    if not 0.01 <= amount <= MOST_METRES:
        raise Refused(f"{amount:g} m is not possible, expected 0.01 to {MOST_METRES:g} m")


def _tension(stay: Stay, line: Line, amount: float, unit: str | None) -> float:
    shown = stay.display.force
    if unit is not None and unit.lower() == "m":
        raise Refused("a load is expected after to; metres go with slack or heave")
    kn = amount / force(1.0, stay.display) if unit is None or unit.lower() == shown.lower() else math.nan
    if math.isnan(kn):
        raise Refused(f"loads are in {shown} on this screen")
    breaks = line.smallest_mbl_kn
    if not 0.0 < kn <= breaks:
        most = force_text(breaks, stay.display)
        raise Refused(f"{amount:g} {shown} is not possible, expected above 0, at most the MBL {most}")
    return kn
