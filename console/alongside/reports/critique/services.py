"""Lines that do the same work: whether they share it, and whether anything does it at all.

A service is what lines do together: head lines; breasts forward of midships, breasts aft of it; springs that
lead ahead, springs that lead astern; stern lines.
"""

from collections.abc import Iterator, Mapping
from math import cos, radians
from typing import Final

import numpy as np

from alongside.reports.critique.model import LOADS, PRACTICE, PlanNote
from alongside.reports.critique.planned import Planned
from alongside.stay.model import Line
from alongside.units import KNOT
from alongside.wording.figures import figure, listed, metres, percent
from alongside.wording.safe import safe

SERVICES: Final = {
    "head": "head line",
    "fore breast": "breast forward",
    "aft breast": "breast aft",
    "spring ahead": "spring that leads ahead",
    "spring astern": "spring that leads astern",
    "stern": "stern line",
}
MANY: Final = {
    "head": "head lines",
    "fore breast": "breasts forward",
    "aft breast": "breasts aft",
    "spring ahead": "springs that lead ahead",
    "spring astern": "springs that lead astern",
    "stern": "stern lines",
}
FAIR_SHARE: Final = 0.6
"""Of its own working limit that a line bears when another of its service has reached that. Practice."""
FARTHEST_M: Final = 8.0
STEP_M: Final = 0.01
STRONG_MS: Final = 0.25
"""A current along her that is worth a spring. Practice."""


def services_of(planned: Planned) -> Mapping[str, list[int]]:
    """Return the lines of each service by their indices; those without a line have none."""
    lines: dict[str, list[int]] = {name: [] for name in SERVICES}
    half = planned.stay.ship.lbp / 2.0
    for index, line in enumerate(planned.stay.lines):
        if line.role == "breast":
            forward = planned.stay.ship.fairleads[line.fairlead].x >= half
            lines["fore breast" if forward else "aft breast"].append(index)
        elif line.role == "spring":
            ahead = float(planned.afloat.lead_deg[index]) < 90.0
            lines["spring ahead" if ahead else "spring astern"].append(index)
        else:
            lines[line.role].append(index)
    return lines


def service_notes(planned: Planned) -> Iterator[PlanNote]:
    services = services_of(planned)
    yield from _alone(services)
    yield from _mixed(planned, services)
    yield from _uneven(planned, services)
    yield from _nothing_against(planned, services)


def _alone(services: Mapping[str, list[int]]) -> Iterator[PlanNote]:
    for lines in sorted(services.values()):
        if len(lines) == 1:
            text = "alone in its service: nothing does its work when it parts or is let go"
            yield PlanNote(f"lines[{lines[0]}]", text, PRACTICE)


def _mixed(planned: Planned, services: Mapping[str, list[int]]) -> Iterator[PlanNote]:
    """Yield services of ropes of several kinds or materials, or of which only some have a tail."""
    for name, lines in services.items():
        kinds: dict[str, list[int]] = {}
        for index in lines:
            kinds.setdefault(_made_of(planned.stay.lines[index]), []).append(index)
        if len(kinds) > 1:
            which = "; ".join(f"{_named(planned, those)} {kind}" for kind, those in kinds.items())
            text = f"{MANY[name]} of several kinds ({which}): the stiffer ones bear first"
            yield PlanNote(f"lines[{lines[0]}].rope", text, PRACTICE)


def _made_of(line: Line) -> str:
    main = safe(line.rope.material or line.rope.kind)
    return main if line.tail is None else f"{main} with a tail"


def _named(planned: Planned, lines: list[int]) -> str:
    return listed([safe(planned.stay.lines[index].id) for index in lines])


def _uneven(planned: Planned, services: Mapping[str, list[int]]) -> Iterator[PlanNote]:
    """Yield lines that have little to do when the first of their service has reached its working limit."""
    moved = np.arange(0.0, FARTHEST_M, STEP_M)
    limits = np.array([line.smallest_wll_kn for line in planned.stay.lines])
    share = planned.loads_after(moved) / limits
    for name, lines in services.items():
        of_these = share[:, lines]
        if len(lines) < 2 or np.isnan(of_these).any():
            continue
        at = int(np.argmax((of_these >= 1.0).any(axis=1)))
        if not (of_these[at] >= 1.0).any():
            continue
        first, last = lines[int(of_these[at].argmax())], lines[int(of_these[at].argmin())]
        least = float(of_these[at].min())
        if least < FAIR_SHARE:
            other = planned.stay.lines[last]
            near, far = (metres(float(planned.afloat.path_m[each]), 0) for each in (first, last))
            text = f"reaches its working limit ({near} long) when line {safe(other.id)} ({far})"
            text = f"{text} bears {percent(least)} of its own: the {MANY[name]} share unevenly"
            yield PlanNote(f"lines[{first}]", text, LOADS)


def _nothing_against(planned: Planned, services: Mapping[str, list[int]]) -> Iterator[PlanNote]:
    """Yield a direction along the berth in which no spring holds her, with the current of the plan that sets
    so."""
    for name, sets, other in (("spring ahead", "astern", "head"), ("spring astern", "ahead", "stern")):
        if services[name]:
            continue
        speed = _current(planned, sets)
        current = f"; the current sets {sets} with up to {figure(speed / KNOT, 1)} kn" if speed else ""
        left = f"only {MANY[other]} hold" if services[other] else "nothing holds"
        text = f"no {SERVICES[name]}: {left} her against a push {sets}{current}"
        yield PlanNote("lines", text, PRACTICE)


def _current(planned: Planned, sets: str) -> float:
    """Return the fastest current of the plan that sets ahead or astern, m/s; 0 for none worth a spring."""
    stay = planned.stay
    head = stay.berth.bearing_of_x + (0.0 if stay.alongside == "starboard" else 180.0)
    wanted = head if sets == "ahead" else head + 180.0
    along = [each.speed_ms * cos(radians(each.to_deg - wanted)) for each in stay.current]
    fastest = max(along, default=0.0)
    return fastest if fastest >= STRONG_MS else 0.0
