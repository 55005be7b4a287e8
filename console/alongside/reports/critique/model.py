"""A note on the plan of the lines, and what it stands on."""

from dataclasses import dataclass
from typing import Final

from alongside.reports.remarks.model import Remark


@dataclass(frozen=True, slots=True)
class Source:
    """Where guidance stands, "" for nowhere, and its grade: `read` in a public text, `worked out`, or common
    `practice`."""

    name: str
    grade: str

    def __str__(self) -> str:
        return f"{self.name}; {self.grade}" if self.name else "common practice, no source"


LAYOUT: Final = Source("California Building Code 3105F", "read")
"""Its simplified procedure for mooring holds only for layouts within these angles."""
DESIGN: Final = Source("MSC.1/Circ.1175/Rev.1, Circ.1619, Circ.1620", "read")
"""As flag and class digests give them: the ship design MBL is the datum of all percentages."""
HOOKS: Final = Source("California Building Code 3103F", "read")
CHOCK: Final = Source("two pulls of one line, 2 T sin(a/2)", "worked out")
BOLLARD: Final = Source("vector sum of the lines, each at its working limit", "worked out")
LOADS: Final = Source("ropes of the stay file, all moved alike", "worked out")
PRACTICE: Final = Source("", "practice")


@dataclass(frozen=True, slots=True)
class PlanNote(Remark):
    """What guidance has against it, and where that stands."""

    source: Source
