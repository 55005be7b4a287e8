"""Remarks on lines, by the names of the lines; the same of several lines is one remark."""

import re
from collections.abc import Sequence
from dataclasses import replace
from typing import Final, TypeVar

from alongside.reports.remarks.model import Remark
from alongside.stay.model import Stay
from alongside.wording.figures import listed
from alongside.wording.safe import safe

AnyRemark = TypeVar("AnyRemark", bound=Remark)
LINE: Final = re.compile(r"lines\[(\d+)\]")
"""How the path of a value of a line begins."""


def alike_once(remarks: Sequence[AnyRemark], stay: Stay) -> tuple[AnyRemark, ...]:
    """Return remarks with the names of the lines that they are on; one that is the same of several lines
    stands once, at the first."""
    lines: dict[tuple[str, str], list[int]] = {}
    first: dict[tuple[str, str], AnyRemark] = {}
    for remark in remarks:
        match = LINE.match(remark.path)
        same = remark.path if match is None else remark.path[match.end() :], remark.text
        first.setdefault(same, remark)
        lines.setdefault(same, []).extend([] if match is None else [int(match[1])])
    return tuple(
        replace(remark, text=f"{line_words(stay, lines[same])}: {remark.text}") if lines[same] else remark
        for same, remark in first.items()
    )


def line_words(stay: Stay, indices: Sequence[int]) -> str:
    """Return `line 9`, `lines 1, 2 and 4`."""
    names = [safe(stay.lines[each].id) for each in dict.fromkeys(indices)]
    return f"line{'s' if len(names) > 1 else ''} {listed(names)}"
