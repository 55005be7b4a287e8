"""Angles at which lines serve well: across, along, and not too steep."""

from collections.abc import Iterator

import numpy as np

from alongside.mechanics.guidance import DOWN, ROUNDING, off_lead
from alongside.reports.critique.model import LAYOUT, PlanNote
from alongside.reports.critique.planned import Planned
from alongside.wording.figures import degrees


def lead_notes(planned: Planned) -> Iterator[PlanNote]:
    for index, line in enumerate(planned.stay.lines):
        ahead = float(planned.afloat.lead_deg[index])
        off, most, of_what = off_lead(line.role, ahead)
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
