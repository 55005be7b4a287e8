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


def escaped(json: str) -> str:
    """Return JSON that says the same, in which no character steers a terminal that prints it: those above
    ASCII that could, and DEL, stand as `\\uXXXX`, as JSON itself has those below blank."""
    if json.isascii() and "\x7f" not in json:
        return json
    return "".join(_escaped(character) for character in json)


def _escaped(character: str) -> str:
    if character < "\x7f" or unicodedata.category(character) not in UNSAFE:
        return character
    units = character.encode("utf-16-be", "surrogatepass")
    return "".join(f"\\u{units[at : at + 2].hex()}" for at in range(0, len(units), 2))


def _safe(character: str) -> str:
    category = unicodedata.category(character)
    if character in "\r\n\t" or category == "Zs":
        return " "
    return "·" if category in UNSAFE else character
