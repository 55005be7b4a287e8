"""What a chock bears that turns a line: both parts of the line pull on it."""

from collections.abc import Iterator
from math import cos, radians, sin

from alongside.mechanics.guidance import EVEN_DEG, chock_load, turn_between
from alongside.reports.critique.model import CHOCK, PlanNote
from alongside.reports.critique.planned import Planned
from alongside.reports.remarks.afloat import Afloat
from alongside.wording.figures import degrees as angle
from alongside.wording.figures import figure, force_text
from alongside.wording.safe import safe


def chock_notes(planned: Planned) -> Iterator[PlanNote]:
    """Yield chocks that bear more than their SWL, or of unknown SWL more than the line, at the line's working
    limit."""
    for index in range(len(planned.stay.lines)):
        yield from _chock(planned, index)


def _chock(planned: Planned, index: int) -> Iterator[PlanNote]:
    stay = planned.stay
    line, display = stay.lines[index], stay.display
    turn = turn_deg(planned.afloat, index)
    load, swl = chock_load(turn) * line.smallest_wll_kn, stay.ship.chocks.get(line.fairlead)
    path = f"ship.fairleads.{line.fairlead}"
    turns = f"turns line {safe(line.id)} through {angle(turn)}"
    turns = f"{turns}: it bears {figure(chock_load(turn), 1)} times the line's load"
    if swl is not None and load > swl:
        most = f"{force_text(load, display)} at its working limit"
        text = f"{turns}, {most}, beside an SWL of {force_text(swl, display)}"
        yield PlanNote(f"{path}.swl_kn", text, CHOCK)
    elif swl is None and turn > EVEN_DEG:
        yield PlanNote(path, f"{turns}, and no SWL of it is known", CHOCK)


def turn_deg(afloat: Afloat, index: int) -> float:
    """Return the angle through which its chock turns a line at making fast, deg; 0 without a winch."""
    stay = afloat.stay
    line = stay.lines[index]
    winch = stay.ship.winches.get(line.winch or "")
    chock = stay.ship.fairleads[line.fairlead]
    if winch is None:
        return 0.0
    inward = (chock.x - winch.at.x, chock.y - winch.at.y, chock.z - winch.at.z)
    lead, down = (radians(float(each[index])) for each in (afloat.lead_deg, afloat.down_deg))
    quay = -1.0 if stay.alongside == "starboard" else 1.0
    outward = (cos(lead) * cos(down), quay * sin(lead) * cos(down), -sin(down))
    return turn_between(inward, outward)
