"""The shape of a plain line: which numbers and times it bears, and what stands between them, which is the
same in every line of its kind."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

_SLOT: Final = re.compile(
    r"(?P<iso>\b\d{4}-\d\d-\d\d[T ]\d\d:\d\d:\d\d(?:\.\d+)?(?:Z|[-+]\d\d:\d\d)?)"
    r"|(?P<date_iso>\b\d{4}-\d\d-\d\d\b)"
    r"|(?P<date_dmy>\b\d\d\.\d\d\.\d{4}\b)"
    r"|(?P<date>\b\d{1,4}/\d{1,2}/\d{1,4}\b)"
    r"|(?P<clock_12>\b\d?\d:\d\d:\d\d ?[AP]M\b)"
    r"|(?P<clock>\b\d\d:\d\d:\d\d(?:\.\d+)?)"
    r"|(?P<clock_min>\b\d\d:\d\d\b)"
    r"|(?P<feet>(?<![\w.])[-+]?\d+ ?(?:'|ft)[ -]?\d+(?:\.\d+| \d{1,2}/\d{1,2})? ?(?:\"|''|in\b))"
    r"|(?P<side>(?:(?<=[0-9])|(?<=[0-9] ))(?:PORT|STBD|[PS])(?!\w))"
    r"|(?P<number>(?:(?<![\w.])(?:[-+] *)?|(?<=[A-Za-z0-9])[-+]|(?<=[A-Za-z])(?=\d+\.\d))"
    r"(?:\d+(?:[.,]\d+)?|\.\d+)(?:[eE][-+]?\d{1,2}(?!\w))?)",
    re.ASCII,
)
_PIECES: Final = {
    "iso": r"[-0-9]{10}[T ][0-9:.]+(?:Z|[-+][0-9:]+)?",
    "date_iso": "[-0-9]+",
    "date_dmy": "[0-9.]+",
    "date": "[0-9/]+",
    "clock_12": "[0-9:]+ ?[AP]M",
    "clock": "[0-9:.]+",
    "clock_min": "[0-9:]+",
    "feet": "[-+]?[0-9]+ ?(?:'|ft)[ -]?[0-9.]+(?: [0-9]+/[0-9]+)? ?(?:\"|''|in)",
    "side": "(?:PORT|STBD|P|S)",
}
_NUMBERS: Final = {
    "number": "[-+]?[0-9.]+",
    "power": "[-+]?[0-9.]+[eE][-+]?[0-9]+",
    "comma": "[-+]?[0-9,]+",
    "apart": "[-+] *[0-9.,]+",
}
NUMBERS: Final = frozenset((*_NUMBERS, "feet"))
"""Kinds of slots that may be a channel."""
_BLANKS: Final = re.compile(r"[ \t]+")


@dataclass(frozen=True, slots=True)
class Shape:
    """`between` has one text more than there are slots; a run of blanks in it is one blank, or one tab where
    it has one."""

    between: tuple[str, ...]
    kinds: tuple[str, ...]


def read_shape(line: bytes) -> tuple[Shape, tuple[str, ...]]:
    """Return the shape of a line and the texts of its slots."""
    text = line.decode("latin-1")
    comma = is_comma_decimal(text)
    between, kinds, texts = [], [], []
    at = 0
    for match in _slots(text, comma):
        between.append(_BLANKS.sub(_one_blank, text[at : match.start()]))
        kinds.append(_kind(match, comma))
        texts.append(match[0].strip())
        at = match.end()
    between.append(_BLANKS.sub(_one_blank, text[at:]))
    return Shape(tuple(between), tuple(kinds)), tuple(texts)


def _one_blank(run: "re.Match[str]") -> str:
    return "\t" if "\t" in run[0] else " "


def _kind(match: "re.Match[str]", comma: bool) -> str:
    if match.lastgroup != "number":
        return match.lastgroup or ""
    text = match[0].strip()
    if re.match(r"[-+] ", text):
        return "apart"
    return "comma" if comma else "power" if "e" in text.lower() else "number"


def _slots(text: str, comma: bool) -> list["re.Match[str]"]:
    """Return the matches; a comma parts numbers unless it is the mark of their decimals."""
    found: list[re.Match[str]] = []
    at = 0
    while match := _SLOT.search(text, at):
        if match.lastgroup == "number" and "," in match[0] and not comma:
            end = match.start() + match[0].index(",")
            match = _SLOT.match(text[:end], match.start()) or match
        found.append(match)
        at = max(match.end(), at + 1)
    return found


def is_comma_decimal(text: str) -> bool:
    """Return whether commas of a line are decimal marks: it has no number with a point, each comma stands
    between digits, and fields are parted by something else or there is but one comma."""
    if re.search(r"\d\.\d", re.sub(r"\d\d\.\d\d\.\d{4}", "", text)) or "," not in text:
        return False
    alone = re.findall(r"(?<![\d,])\d+,\d{1,3}(?![\d,])", text)
    return len(alone) == text.count(",")


def pattern_of(shape: Shape, groups: Sequence[str | None]) -> str:
    """Return a pattern that reads these slots by groups of these names, None for one that is passed over, up
    to the last that is named and the text behind it."""
    last = max(at for at, group in enumerate(groups) if group is not None)
    text = ""
    for at in range(last + 1):
        piece = _NUMBERS.get(shape.kinds[at]) or _PIECES[shape.kinds[at]]
        if at and not shape.between[at]:
            piece = piece.replace("[-+]?", "[-+]", 1)  # only its sign parts it from the number in front
        group, before = groups[at], shape.between[at]
        parts = bool(at) and before.isspace()
        text += (r"\s+" if "\t" in before else " +") if parts else _literal(before)
        text += f"(?P<{group}>{piece})" if group else piece
    behind = shape.between[last + 1]
    is_end = last + 1 == len(shape.kinds)
    return text + _literal(behind) + ("$" if is_end else "")


def _literal(text: str) -> str:
    return "".join({" ": " *", "\t": r"\s*"}.get(char) or _escaped(char) for char in text)


def _escaped(char: str) -> str:
    return re.escape(char) if 32 < ord(char) < 127 else f"\\x{ord(char):02x}"
