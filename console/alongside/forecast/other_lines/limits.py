"""Which leads may be proposed at all: every rule here is a limit, and what breaks one is never offered.

Each rule returns "" or what stands against a line, of the closed list in `AGAINST`.
"""

from collections.abc import Iterable
from math import hypot
from typing import Final

from alongside.forecast.other_lines.places import Places
from alongside.mechanics.guidance import EVEN_DEG, chock_load
from alongside.stay.model import Line, Stay

KEPT_M: Final = 10.0
"""Main rope that stays inboard of winch or bitts: turns, and metres to slack. Common practice, no source."""
MOST_ON_ONE: Final = 2
"""Lines on a bollard of which no SWL is known. Common practice, no source."""
TURNED_M: Final = 1e-6

AGAINST: Final = {
    "deck": "over her own deck",
    "crosses": "across another line",
    "steep": "too steep",
    "bollard": "no SWL left on the bollard",
    "hook": "the hook has a line",
    "chock": "turned too much in the chock",
    "short": "rope too short",
    "lead": "farther outside of the guidance",
    "holds": "lines would hold less",
    "now": "over a limit in the wind of now",
    "balance": "no balance with it",
}


def against(
    places: Places, line: Line, others: tuple[Line, ...], steep_deg: float, turn_deg: float = EVEN_DEG
) -> str:
    """Return what stands against a line beside `others`, by where it leads and what it hangs on; a chock of
    unknown SWL may turn it by `turn_deg`."""
    lead = places.lead(line.fairlead, line.bollard)
    if places.over_deck(line.fairlead, line.bollard):
        return "deck"
    if lead.steepest_deg >= steep_deg:
        return "steep"
    if places.crossed(line, others) is not None:
        return "crosses"
    return ashore(places, line, others) or chock(places, line, turn_deg)


def ashore(places: Places, line: Line, others: Iterable[Line]) -> str:
    """Return what stands against a line on its bollard: all lines there at their working limits, as vectors,
    within the SWL of bollard and dolphin; of an unknown SWL two lines; on a hook of a dolphin one."""
    berth = places.stay.berth
    bollard = berth.bollards[line.bollard]
    together = [each for each in others if each.bollard == line.bollard]
    if bollard.dolphin and together:
        return "hook"
    for name in (line.bollard, bollard.dolphin) if bollard.dolphin else (line.bollard,):
        on_it = [line, *(each for each in others if berth.bears(name, each.bollard))]
        swl = berth.swl_of(name)
        if swl is None and len(on_it) > MOST_ON_ONE:
            return "bollard"
        if swl is not None and together_kn(places, on_it) > swl:
            return "bollard"
    return ""


def together_kn(places: Places, lines: Iterable[Line]) -> float:
    """Return the vector sum of lines at their working limits, kN."""
    pulls = [
        [line.smallest_wll_kn * part for part in places.lead(line.fairlead, line.bollard).unit]
        for line in lines
    ]
    return hypot(*(sum(axis) for axis in zip(*pulls, strict=True)))


def chock(places: Places, line: Line, most_deg: float) -> str:
    """Return what stands against the chock that turns a line: its SWL with the line at its working limit; of
    unknown SWL so many degrees."""
    turn = places.turn_deg(line.winch, line.fairlead, line.bollard)
    swl = places.stay.ship.chocks.get(line.fairlead)
    if swl is None:
        return "chock" if turn > most_deg else ""
    return "chock" if chock_load(turn) * line.smallest_wll_kn > swl else ""


def rope_needed_m(places: Places, line: Line) -> float:
    """Return the main rope that a line needs, m, with what is kept inboard."""
    path = places.lead(line.fairlead, line.bollard).outboard_m + places.inboard_m(line.winch, line.fairlead)
    return path - (line.tail.length if line.tail else 0.0) + KEPT_M


def station(stay: Stay, x: float) -> str:
    """Return the mooring station of what is so far forward of the aft perpendicular."""
    return "forward" if x >= stay.ship.lbp / 2.0 else "aft"
