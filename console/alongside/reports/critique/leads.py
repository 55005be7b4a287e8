"""Angles at which lines serve well: across, along, and not too steep."""

from collections.abc import Iterator
from typing import Final

import numpy as np

from alongside.reports.critique.model import LAYOUT, PlanNote
from alongside.reports.critique.planned import Planned
from alongside.wording.figures import degrees

FROM_SQUARE: Final = {"head": 45.0, "stern": 45.0, "breast": 15.0}
"""So far from square to her side at the most, deg."""
FROM_SIDE: Final = 10.0
"""Of a spring, from the direction of her side."""
DOWN: Final = 25.0
"""Vertically, up or down; in the lightest draught and the highest water of the plan too."""
ROUNDING: Final = 0.5


def lead_notes(planned: Planned) -> Iterator[PlanNote]:
    for index, line in enumerate(planned.stay.lines):
        ahead = float(planned.afloat.lead_deg[index])
        if line.role == "spring":
            off, most, of_what = min(ahead, 180.0 - ahead), FROM_SIDE, "from the side"
        else:
            off, most, of_what = abs(ahead - 90.0), FROM_SQUARE[line.role], "from square"
        if off > most + ROUNDING:
            text = f"leads {degrees(off)} {of_what}; a {line.role}{_word(line.role)} at most {degrees(most)}"
            yield PlanNote(f"lines[{index}]", text, LAYOUT)
        steep = np.abs(planned.down_deg[:, index])
        if steep.max() > DOWN + ROUNDING:
            fast = abs(float(planned.afloat.down_deg[index]))
            when = "when made fast" if fast >= steep.max() - 1.0 else f"{degrees(fast)} when made fast"
            worst = degrees(float(steep.max()))
            text = f"comes {worst} steep by the plan ({when}); at most {degrees(DOWN)}"
            yield PlanNote(f"lines[{index}]", text, LAYOUT)


def _word(role: str) -> str:
    return "" if role == "spring" else " line"
