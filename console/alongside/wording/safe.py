"""Text from outside (names, notes, gauges, log lines, files), made safe to show."""

import unicodedata
from typing import Final

UNSAFE: Final = frozenset({"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"})
"""Unicode categories that could steer a terminal or turn the writing round."""


def safe(text: str) -> str:
    """Return the text with a visible dot for each control or formatting character, a blank for
    line ends and blanks of other widths."""
    if text.isascii() and text.isprintable():
        return text
    return "".join(_safe(character) for character in text)


def _safe(character: str) -> str:
    category = unicodedata.category(character)
    if character in "\r\n\t" or category == "Zs":
        return " "
    return "·" if category in UNSAFE else character
