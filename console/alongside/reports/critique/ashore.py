"""What the bollards ashore bear when every line on them is at its working limit."""

from collections.abc import Iterator
from typing import Final

import numpy as np

from alongside.reports.critique.model import BOLLARD, HOOKS, PRACTICE, PlanNote
from alongside.reports.critique.planned import Planned
from alongside.stay.model import Stay
from alongside.wording.figures import degrees, force_text, listed
from alongside.wording.safe import safe

UPLIFT_DEG: Final = 45.0
"""From here on a line lifts its bollard more than ratings without an angle allow for. Practice."""
MOST_ON_ONE: Final = 2
"""Lines on a bollard of which no SWL is known. Practice."""


def ashore_notes(planned: Planned) -> Iterator[PlanNote]:
    stay = planned.stay
    for name in (*stay.berth.dolphins, *dict.fromkeys(line.bollard for line in stay.lines)):
        lines = [i for i, line in enumerate(stay.lines) if stay.berth.bears(name, line.bollard)]
        if lines:
            yield from _overloaded(planned, name, lines)
    yield from _uplift(planned)
    yield from _hooks(stay)


def _overloaded(planned: Planned, name: str, lines: list[int]) -> Iterator[PlanNote]:
    stay = planned.stay
    swl, ids = stay.berth.swl_of(name), listed([safe(stay.lines[each].id) for each in lines])
    path = f"berth.{'dolphins' if name in stay.berth.dolphins else 'bollards'}.{name}"
    if swl is None:
        if len(lines) > MOST_ON_ONE:
            text = f"{len(lines)} lines on it ({ids}), and no SWL of it is known"
            yield PlanNote(path, text, PRACTICE)
        return
    load = _together(planned, lines)
    if load > swl:
        display = stay.display
        bear = "bears" if len(lines) == 1 else "bear"
        limit = "its working limit" if len(lines) == 1 else "their working limits"
        which = f"line{'s' if len(lines) > 1 else ''} {ids}"
        text = f"{which} at {limit} {bear} on it with {force_text(load, display)}"
        text = f"{text}, its SWL is {force_text(swl, display)}"
        yield PlanNote(f"{path}{'' if name in stay.berth.dolphins else '.swl_kn'}", text, BOLLARD)


def _together(planned: Planned, lines: list[int]) -> float:
    """Return the vector sum of lines at their working limits, kN, where it is largest over the plan."""
    limits = np.array([planned.stay.lines[each].smallest_wll_kn for each in lines])
    ahead, down = np.radians(planned.ahead_deg[:, lines]), np.radians(planned.down_deg[:, lines])
    level = limits * np.cos(down)
    sums = [
        part.sum(axis=1) for part in (level * np.cos(ahead), level * np.sin(ahead), limits * np.sin(down))
    ]
    return float(np.sqrt(sum(part**2 for part in sums)).max())


def _uplift(planned: Planned) -> Iterator[PlanNote]:
    """Yield bollards that a line lifts steeply: it leads up from them."""
    worst = planned.down_deg.max(axis=0)
    for index, line in enumerate(planned.stay.lines):
        if worst[index] > UPLIFT_DEG:
            text = f"lifts bollard {safe(line.bollard)} at up to {degrees(float(worst[index]))} by the plan"
            yield PlanNote(f"lines[{index}].bollard", f"{text}: is it rated for that?", PRACTICE)


def _hooks(stay: Stay) -> Iterator[PlanNote]:
    """Yield hooks of dolphins with more than one line: a hook is made for one."""
    for name, bollard in stay.berth.bollards.items():
        lines = [safe(line.id) for line in stay.lines if line.bollard == name]
        if bollard.dolphin and len(lines) > 1:
            text = f"lines {listed(lines)} on one hook of dolphin {safe(bollard.dolphin)}: one line a hook"
            yield PlanNote(f"berth.bollards.{name}", text, HOOKS)
