"""Remarks on lines, by the names of the lines; the same of several lines is one remark."""

import re
from collections.abc import Sequence
from typing import Final

from alongside.reports.remarks.model import Remark
from alongside.stay.model import Stay
from alongside.wording.figures import listed
from alongside.wording.safe import safe

LINE: Final = re.compile(r"lines\[(\d+)\]")
"""How the path of a value of a line begins."""


def alike_once(remarks: Sequence[Remark], stay: Stay) -> tuple[Remark, ...]:
    """Return remarks with the names of the lines that they are on; one that is the same of several lines
    stands once, at the first."""
    lines: dict[tuple[str, str], list[int]] = {}
    first: dict[tuple[str, str], Remark] = {}
    for remark in remarks:
        match = LINE.match(remark.path)
        same = remark.path if match is None else remark.path[match.end() :], remark.text
        first.setdefault(same, remark)
        lines.setdefault(same, []).extend([] if match is None else [int(match[1])])
    return tuple(
        Remark(remark.path, f"{line_words(stay, lines[same])}: {remark.text}" if lines[same] else remark.text)
        for same, remark in first.items()
    )


def line_words(stay: Stay, indices: Sequence[int]) -> str:
    """Return `line 9`, `lines 1, 2 and 4`."""
    names = [safe(stay.lines[each].id) for each in dict.fromkeys(indices)]
    return f"line{'s' if len(names) > 1 else ''} {listed(names)}"
