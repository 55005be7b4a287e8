"""How figures are typed that a stay file writes otherwise: a side with P or S, a force with its unit."""

import re
from collections.abc import Callable
from typing import Final

from alongside.reports.new_stay.values import Refused
from alongside.stay.fields import NAME, Field, word
from alongside.wording.safe import safe

ONE_WORD: Final[Field[str]] = word("a name of up to 40 characters without blanks", r"[^\s;,-][^\s;,]{0,39}")
"""Of what stands in a row of figures."""
FREE_TEXT: Final = NAME
_SIDE: Final = re.compile(r"(?P<value>~?[0-9.]+)(?P<side>[PpSs])(?P<spread>/.*)?")
_UNIT: Final = re.compile(r"~?[-+0-9.eE]+ ?(?P<unit>kN|t)(/.*)?")


def to_port(text: str, what: str) -> str:
    """Return a distance off the centreline, `11.4P`, `11.4S`, as m to port. Raise Refused without a side."""
    typed = _SIDE.fullmatch(text)
    if typed is None:
        if text in ("0", "0.0"):
            return text
        raise Refused(
            f"{what}: {safe(text)!r} to which side, expected 11.4P to port, 11.4S to starboard, or 0"
        )
    value = typed["value"]
    if typed["side"] in "Ss":
        value = f"~-{value[1:]}" if value.startswith("~") else f"-{value}"
    return value + (typed["spread"] or "")


def with_unit(text: str, what: str) -> str:
    """Return a force that bears its unit. Raise Refused where it does not: tonnes are soon taken for kN."""
    if _UNIT.fullmatch(text) is None:
        raise Refused(f"{what}: {safe(text)!r} is no force with its unit, expected such as 12t or 118kN")
    return text


def meant_of(*names: str) -> Callable[[str, str], str]:
    """Return a function that returns which of some names a text means: `P` and `Port` are port, `tyres` is
    tyre; a text that fits none, or several, as it is."""

    def meant(text: str, _what: str) -> str:
        low = text.casefold()
        found = [name for name in names if low in (name, f"{name}s")]
        found = found or [name for name in names if low and name.startswith(low)]
        return found[0] if len(found) == 1 else text

    return meant
