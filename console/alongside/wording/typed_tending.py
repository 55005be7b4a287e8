"""How a tended line is typed, one grammar for every form and command: `slack 4 0.40`, `4 out 0,40 m`,
`Slack 4 by 0.40 m`, `heave 4 0.3`, `4 to 6 t`, `4 to cell`; and without the line, where that is typed
elsewhere."""

import re
from dataclasses import dataclass
from math import isfinite
from typing import Final, Literal

from alongside.actions import MOST_METRES
from alongside.errors import WrongInput
from alongside.stay.model import Line, Stay
from alongside.wording.figures import force, force_text
from alongside.wording.safe import safe

NUMBER: Final = r"[0-9]+(?:[.,][0-9]+)?|[.,][0-9]+"
HAND_TIGHT: Final = r"hand[- ]?tight"
LOAD: Final = rf"(?:{NUMBER})\s*(?:t|kn)?|{HAND_TIGHT}"
"""How a load is typed: in the unit of the display, or as it feels."""
HAND_TIGHT_SHARE: Final = 0.10
"""Of the MBL: what a line carries that was made hand-tight on a winch. Common practice, no source: 3 to 5 t,
tankers 5 to 10 t, about a tenth of the MBL."""
_METRES: Final = r"slack|out|heave|in"
_AMOUNT: Final = rf"(?:by\s+)?(?P<amount>{NUMBER})\s*(?P<unit>m|t|kn)?"
_LINE: Final = r"(?:line\s+)?(?P<line>\S+)"
_FORMS: Final = tuple(
    re.compile(form, re.IGNORECASE)
    for form in (
        rf"(?P<way>{_METRES}|to)\s+{_AMOUNT}",
        rf"(?P<way>{_METRES})\s+{_LINE}\s+{_AMOUNT}",
        rf"(?:set\s+)?{_LINE}\s+(?P<way>{_METRES}|to)\s+{_AMOUNT}",
    )
)
_TO_CELL: Final = re.compile(rf"(?:(?:set\s+)?{_LINE}\s+)?to\s+(?:the\s+)?cell", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Tended:
    """What was typed: `way` is slack, heave or to; the line as typed, "" where none was; unit "" for none."""

    way: Literal["slack", "heave", "to"]
    line: str
    amount: float
    unit: str

    def paid_out_m(self) -> float:
        """Return metres paid out, negative hove in. Raise WrongInput where they are none, or too many."""
        if self.unit.lower() not in ("", "m"):
            raise WrongInput(
                f"slack and heave go by metres, not {self.unit}; a load is set with: to {self.amount:g}"
            )
        if not 0.01 <= self.amount <= MOST_METRES:
            raise WrongInput(f"{self.amount:g} m is not possible, expected 0.01 to {MOST_METRES:g} m")
        return self.amount if self.way == "slack" else -self.amount

    def tension_kn(self, stay: Stay, line: Line) -> float:
        """Return the load that is set, kN. Raise WrongInput for one in metres, in a unit that is not shown,
        or above the MBL."""
        if self.unit.lower() == "m":
            raise WrongInput("a load is expected after to; metres go with slack or heave")
        return load_kn(self.amount, self.unit, stay, line.smallest_mbl_kn)


def typed_tending(text: str) -> Tended | None:
    """Return what a text says of a tended line; None where it says nothing of the kind."""
    for form in _FORMS:
        if match := form.fullmatch(text.strip()):
            parts = match.groupdict()
            word = parts["way"].lower()
            way: Literal["slack", "heave", "to"] = (
                "to" if word == "to" else "slack" if word in ("slack", "out") else "heave"
            )
            return Tended(way, parts.get("line") or "", number(parts["amount"]), parts["unit"] or "")
    return None


def line_to_cell(text: str) -> str | None:
    """Return the line, as typed, "" where none was, of a text that sets it to what its load cell says; None
    where the text says nothing of the kind."""
    match = _TO_CELL.fullmatch(text.strip())
    return match and (match["line"] or "")


def number(text: str) -> float:
    """Return a typed number, whose decimals may follow a comma. Raise WrongInput for one too large."""
    value = float(text.replace(",", "."))
    if not isfinite(value):
        raise WrongInput(f"{text[:12]} is not possible, expected a smaller number")
    return value


def line_of(stay: Stay, text: str) -> Line:
    """Return the line of this very id; else the only one that differs from it in case. Raise WrongInput with
    the lines that there are."""
    exact = [line for line in stay.lines if line.id == text]
    alike = exact or [line for line in stay.lines if line.id.lower() == text.lower()]
    if len(alike) != 1:
        known = ", ".join(safe(line.id) for line in alike or stay.lines)
        raise WrongInput(f"no line {safe(text)!r}; there are {known}" if text else f"which line? {known}")
    return alike[0]


def load_typed(text: str, stay: Stay, mbl_kn: float) -> float:
    """Return a load, kN, for a rope of such an MBL: typed as a figure with or without its unit, or by feel.
    Raise WrongInput where it is none, or more than the MBL."""
    if re.fullmatch(HAND_TIGHT, text.strip(), re.IGNORECASE):
        return HAND_TIGHT_SHARE * mbl_kn
    match = re.fullmatch(rf"({NUMBER})\s*(t|kn)?", text.strip(), re.IGNORECASE)
    if match is None:
        raise WrongInput(f"{safe(text)} is no load")
    return load_kn(number(match[1]), match[2] or "", stay, mbl_kn)


def load_kn(amount: float, unit: str, stay: Stay, most_kn: float, which: str = "the MBL ") -> float:
    """Return a load, kN, typed in the unit of the display, or without one. Raise WrongInput for another unit,
    for no load, and for more than `most_kn`, which `which` names."""
    shown = stay.display.force
    if unit.lower() not in ("", shown.lower()):
        raise WrongInput(f"loads are in {shown} on this screen")
    kn = amount / force(1.0, stay.display)
    if not 0.0 < kn <= most_kn:
        most = force_text(most_kn, stay.display)
        raise WrongInput(f"{amount:g} {shown} is not possible, expected above 0, at most {which}{most}")
    return kn
