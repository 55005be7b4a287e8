"""Numbers as gauges write them in plain lines: decimal comma, exponent, a sign by itself, feet and inches.

A number that may be but a piece of another one, or whose comma may part thousands as well as fields, is no
number: what cannot be told is garbled, and never a figure.
"""

import re
from typing import Final

from alongside.feeds.sentence import number

FOOT: Final = 0.3048
LONGEST: Final = 40

_SIGNED: Final = re.compile(rb"([-+])[ \t]+([0-9.].*)", re.DOTALL)
_EXPONENT: Final = re.compile(rb"([-+]?(?:[0-9]+\.?[0-9]*|\.[0-9]+))[eE]([-+]?[0-9]{1,2})")
_FEET: Final = re.compile(
    rb"([-+]?)[ ]*([0-9]+(?:\.[0-9]+)?)[ ]*(?:'|ft\.?|feet|foot)"
    rb"(?:[ -]*([0-9]+(?:\.[0-9]+)?)(?:[ ]+([0-9]{1,2})/([0-9]{1,2}))?[ ]*(?:\"|''|in\.?|inch|inches)?)?",
    re.IGNORECASE,
)

_STUMP: Final = re.compile(rb"(?:[0-9]\.|(?:^|[^0-9A-Za-z])-|[0-9][eE][-+]?|[^\t\x02\x20-\x7e])\Z")
"""What stands in front of a number, where it is the rest of another; 02 begins a text."""
_REST: Final = re.compile(rb"\.[0-9]|[eE][-+]?[0-9]|-(?![0-9A-Za-z.])|[^\t\x20-\x7e][0-9.]")
"""What stands behind it. A dash with nothing behind it is the sign of some makers."""
_SIGN_APART: Final = re.compile(rb"(?:^|[^0-9A-Za-z])-[ \t]+\Z")
_COMMA_BEFORE: Final = re.compile(rb"[0-9],\Z")
_COMMA_BEHIND: Final = re.compile(rb",[0-9]")
_THOUSANDS: Final = re.compile(rb"(?:^|[^0-9.,])[0-9]{1,3}(?:,[0-9]{3})*,\Z")


def plain_number(text: bytes, decimal: str) -> float:
    """Return the number of a text, NaN of an empty one; raise ValueError for what is none. `decimal` is how
    decimals are written: `comma`, else a point."""
    text = text.strip()
    if decimal == "comma":
        if b"." in text or text.count(b",") > 1:
            raise ValueError(f"a point beside a decimal comma: {text!r}")
        text = text.replace(b",", b".")
    try:
        return number(text)
    except ValueError:
        return _unusual_number(text)


def _unusual_number(text: bytes) -> float:
    if len(text) > LONGEST:
        raise ValueError(f"not a number: {text!r}")
    if signed := _SIGNED.fullmatch(text):
        text = signed[1] + signed[2]
    if exponent := _EXPONENT.fullmatch(text):
        return float(exponent[1] + b"e" + exponent[2])
    return number(text)


def feet_and_inches(text: bytes) -> float | None:
    """Return metres of a text such as `20' 6 1/2"` or `20 ft 6 in`; None for a text that is none. Raise
    ValueError for a foot of twelve inches or more."""
    parts = _FEET.fullmatch(text.strip()[:LONGEST])
    if parts is None:
        return None
    sign, feet, inches, over, under = parts.groups()
    more = float(inches or 0.0) + (float(over) / _whole(under) if over else 0.0)
    if more >= 12.0 or (inches is not None and b"." in feet):
        raise ValueError(f"not feet and inches: {text!r}")
    metres = (float(feet) + more / 12.0) * FOOT
    return -metres if sign == b"-" else metres


def _whole(under: bytes) -> float:
    if not int(under):
        raise ValueError("a part of nothing")
    return float(under)


def is_cut_out(match: "re.Match[bytes]", group: str, decimal: str) -> bool:
    """Return whether a number of a plain line is only what a pattern or noise left of another one: 5 of 12.5,
    1.5 of -1.5, 1.2 of 1.2e3, 2.5 of 12.5 whose first digit came as a byte that is not printable.

    A dash behind a letter or digit parts two words. A comma that the pattern itself does not name may part
    fields or be that of 1,5 or of 1,234.5: where that is open, and the stay file says nothing, it is cut out.
    """
    line, (start, end) = match.string, match.span(group)
    before, behind = line[max(0, start - 12) : start], line[end : end + 3]
    if _STUMP.search(before[-3:]) or _REST.match(behind):
        return True
    named_before, named_behind = match.start() < start, match.end() > end
    if not named_before and _SIGN_APART.search(before):
        return True
    if decimal == "comma":
        return bool(_COMMA_BEFORE.search(before[-2:]) or _COMMA_BEHIND.match(behind))
    if decimal == "point":
        return False
    text = match[group]
    if b"." not in text:
        cut_before = not named_before and _COMMA_BEFORE.search(before[-2:])
        return bool(cut_before or (not named_behind and _COMMA_BEHIND.match(behind)))
    whole = text.strip().partition(b".")[0]
    return not named_before and len(whole) == 3 and whole.isdigit() and bool(_THOUSANDS.search(before))
