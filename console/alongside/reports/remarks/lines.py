"""Remarks on lines: leads, roles, lengths, tails, loads at making fast, ids."""

import unicodedata
from collections import Counter
from collections.abc import Iterator
from typing import Final

import numpy as np

from alongside.reports.remarks.afloat import Afloat
from alongside.reports.remarks.berth import ends_of
from alongside.reports.remarks.model import Remark
from alongside.reports.remarks.ship import outside
from alongside.stay.model import Line, Stay
from alongside.units import iso_time
from alongside.wording.figures import degrees, figure, metres, percent

LEADS: Final = {"head": (0.0, 90.0), "breast": (45.0, 135.0), "stern": (90.0, 180.0)}
"""Horizontal angle from ahead that a role still is; a spring leads within `ALONG` of the side."""
ALONG_DEG: Final = 40.0
STEEP_DEG: Final = 60.0
OUTBOARD_M: Final = (1.5, 220.0)
TENSION: Final = (0.015, 0.40)
"""Of MBL at making fast."""
BRAKE: Final = (0.25, 1.2)
"""Holding of a brake, of the ship design MBL, else of MBL; 0.60 is usual."""
SWL: Final = (0.30, 25.0)
"""SWL of a bollard, of the MBL of one line."""
MOST_LINES: Final = 60
"""So many are watched each second with room to spare on a computer ten times slower than the one
measured, where 60 lines cost 12 ms a cycle and 100 ms at worst, 120 lines 130 ms; 320 lines
had no figures after a minute."""
DAY_S: Final = 86400.0
PAID_OUT: Final = 0.25
"""Of a line's path in one tending; a tide of 15 m takes about as much of a short breast."""
LIST_DEG: Final = 5.0
"""Ships in port keep their list under 2."""
TOGETHER_S: Final = 1800.0
APART_M: Final = {"draught_fwd": 0.5, "draught_aft": 0.5, "tide": 2.0}
"""Within `TOGETHER_S` draughts change by no more, and no tide by as much."""
ALIKE: Final = str.maketrans({"l": "1", "I": "1", "|": "1", "O": "0", "o": "0", "S": "5", "B": "8", "Z": "2"})
LETTERS: Final = str.maketrans("АВЕКМНОРСТХУІЈаеорсхуіј", "ABEKMHOPCTXYIJaeopcxyij")
"""Cyrillic letters that look like Latin ones."""


def line_remarks(afloat: Afloat) -> Iterator[Remark]:
    stay = afloat.stay
    for index, line in enumerate(stay.lines):
        path = f"lines[{index}]"
        yield from _lead(afloat, index, path)
        yield from _length(afloat, index, path)
        yield from _strength(stay, line, path)
        yield from _tended(line, float(afloat.path_m[index]), path)
    yield from _roles(stay)
    yield from _ids(stay)
    yield from _times(stay)
    yield from _stated(stay)
    if len(stay.lines) > MOST_LINES:
        text = f"{len(stay.lines)} lines are more than can be watched each second ({MOST_LINES})"
        yield Remark("lines", text)


def _lead(afloat: Afloat, index: int, path: str) -> Iterator[Remark]:
    line, lead, down = afloat.stay.lines[index], float(afloat.lead_deg[index]), float(afloat.down_deg[index])
    if _through_hull(afloat, index):
        text = "leads through the hull: fairlead on the wrong side (y is to port), or alongside?"
        yield Remark(f"{path}.fairlead", text)
    elif line.role == "spring":
        if ALONG_DEG < lead < 180.0 - ALONG_DEG:
            yield Remark(
                f"{path}.role", f"a spring that leads {degrees(lead)} from ahead: another role or bollard?"
            )
    elif outside(lead, LEADS[line.role]):
        text = f"a {line.role} line that leads {degrees(lead)} from ahead: another role or bollard?"
        yield Remark(f"{path}.role", text)
    half = afloat.stay.ship.lbp / 2.0
    x = afloat.stay.ship.fairleads[line.fairlead].x
    if (line.role == "head" and x < half) or (line.role == "stern" and x > half):
        text = f"a {line.role} line from x {metres(x)}: x from the stem instead of the aft perpendicular?"
        yield Remark(f"{path}.fairlead", text)
    if abs(down) > STEEP_DEG:
        way = "down" if down > 0.0 else "up"
        text = f"leads {degrees(abs(down))} {way} at making fast; heights from keel and from chart datum?"
        yield Remark(path, text)


def _through_hull(afloat: Afloat, index: int) -> bool:
    """Return whether the lead crosses more of the hull, seen from above, than its fairlead stands in from the
    quay side: an outline with a full middle and ends that taper to a third of the breadth."""
    stay = afloat.stay
    ship = stay.ship
    bollard = stay.berth.bollards[stay.lines[index].bollard].at
    fairlead = afloat.fairleads[index]
    first, last = ends_of(stay)
    steps = np.linspace(0.0, 1.0, 101)[1:]
    x = fairlead[0] + steps * (bollard.x - fairlead[0])
    y = fairlead[1] + steps * (bollard.y - fairlead[1])
    along = np.interp(
        x, [first, first + 0.2 * ship.loa, last - 0.2 * ship.loa, last], [0.34, 1.0, 1.0, 0.34], 0, 0
    )
    inside = np.abs(y - ship.breadth / 2.0) < along * ship.breadth / 2.0
    length = float(np.hypot(bollard.x - fairlead[0], bollard.y - fairlead[1]))
    crossed = inside.mean() * length
    quay_side = fairlead[1] < ship.breadth / 2.0 + 0.1 * ship.breadth
    return bool(crossed > max(4.0, 0.35 * ship.breadth) and not (quay_side and crossed < 0.6 * ship.breadth))


def _length(afloat: Afloat, index: int, path: str) -> Iterator[Remark]:
    line, outboard = afloat.stay.lines[index], float(afloat.outboard_m[index])
    way = float(afloat.path_m[index])
    if outside(outboard, OUTBOARD_M):
        text = f"{metres(outboard)} from fairlead to bollard: coordinates, or the place of the ship?"
        yield Remark(path, text)
    if line.tail is None:
        return
    if line.tail.length >= way:
        text = f"a tail of {metres(line.tail.length)} on a path of {metres(way)}: no main rope is left"
        yield Remark(f"{path}.tail.length", f"{text}, nothing will be known of this line")
    elif line.tail.length >= outboard:
        text = (
            f"a tail of {metres(line.tail.length)} with {metres(outboard)} outboard: it lies in the fairlead"
        )
        yield Remark(f"{path}.tail.length", text)
    if line.tail.rope.mbl_kn < line.rope.mbl_kn:
        text = f"breaks at {figure(line.tail.rope.mbl_kn)} kN, the line at {figure(line.rope.mbl_kn)} kN"
        yield Remark(f"{path}.tail", f"{text}: a tail is 25 to 30 % stronger")


def _strength(stay: Stay, line: Line, path: str) -> Iterator[Remark]:
    mbl, tension = line.smallest_mbl_kn, line.made_fast.tension_kn
    design = stay.ship.design_mbl_kn
    datum = mbl if design is None else design
    if outside(tension / mbl, TENSION):
        text = f"{figure(tension, 1)} kN is {percent(tension / mbl)} of the breaking load; usual some 10 %"
        yield Remark(f"{path}.made_fast.tension_kn", f"{text}: tonnes?")
    winch = stay.ship.winches[line.winch] if line.winch is not None else None
    if winch is not None and winch.brake_kn is not None:
        where = f"ship.winches.{line.winch}.brake_kn"
        if tension >= winch.brake_kn:
            text = (
                f"holds {figure(winch.brake_kn)} kN, line {line.id} was made fast with {figure(tension)} kN"
            )
            yield Remark(where, f"{text}: tonnes?")
        elif outside(winch.brake_kn / datum, BRAKE):
            share, of_what = percent(winch.brake_kn / datum), f"breaking load of line {line.id}"
            if design is not None:
                of_what = "ship design MBL"
            text = f"{figure(winch.brake_kn)} kN is {share} of the {of_what}"
            yield Remark(where, f"{text}; usual 60 %: tonnes, newtons, or another rope?")
    swl = stay.berth.bollards[line.bollard].swl_kn
    if swl is not None and outside(swl / mbl, SWL):
        text = f"{figure(swl)} kN beside a line that breaks at {figure(mbl)} kN"
        yield Remark(f"berth.bollards.{line.bollard}.swl_kn", f"{text}: tonnes, or newtons?")


def _tended(line: Line, way: float, path: str) -> Iterator[Remark]:
    heel = line.made_fast.heel_deg
    if heel is not None and abs(heel) > LIST_DEG:
        yield Remark(f"{path}.made_fast.heel_deg", f"{degrees(abs(heel))} of list is not usual: mistyped?")
    for place, tend in enumerate(line.tended):
        if tend.paid_out is not None and abs(tend.paid_out) > PAID_OUT * way:
            text = f"{metres(tend.paid_out)} at once on a path of {metres(way)}: centimetres, or feet?"
            yield Remark(f"{path}.tended[{place}].paid_out", text)


def _roles(stay: Stay) -> Iterator[Remark]:
    roles = Counter(line.role for line in stay.lines)
    if len(stay.lines) >= 4 and len(roles) == 1:
        yield Remark("lines[0].role", f"all {len(stay.lines)} lines are {stay.lines[0].role} lines")


def _ids(stay: Stay) -> Iterator[Remark]:
    seen: dict[str, str] = {}
    for index, line in enumerate(stay.lines):
        plain = unicodedata.normalize("NFKC", line.id).translate(LETTERS)
        key = plain.translate(ALIKE).casefold()
        first = seen.setdefault(key, line.id)
        if first != line.id:
            yield Remark(
                f"lines[{index}].id", f"looks like {first!r}: two lines that one mistakes for each other"
            )
        elif plain != line.id:
            yield Remark(f"lines[{index}].id", "holds letters of another alphabet that look like Latin ones")


def _times(stay: Stay) -> Iterator[Remark]:
    """Lines are made fast within hours of each other, and not years from all other dates of the file."""
    times = sorted(line.made_fast.at for line in stay.lines)
    middle = times[len(times) // 2]
    for index, line in enumerate(stay.lines):
        path = f"lines[{index}].made_fast.at"
        if abs(line.made_fast.at - middle) > 0.75 * DAY_S:
            text = f"{iso_time(line.made_fast.at)} is far from the other lines, {iso_time(middle)}: the day?"
            yield Remark(path, text)
        for place, tend in enumerate(line.tended):
            if tend.at < line.made_fast.at:
                yield Remark(f"lines[{index}].tended[{place}].at", "before the line was made fast")


def _stated(stay: Stay) -> Iterator[Remark]:
    """Lines made fast together were made fast in one ship on one tide."""
    for name in ("draught_fwd", "draught_aft", "tide"):
        known = [
            (index, line.made_fast.at, value)
            for index, line in enumerate(stay.lines)
            if (value := getattr(line.made_fast, name)) is not None
        ]
        for index, at, value in known:
            together = [other for _, then, other in known if abs(then - at) <= TOGETHER_S]
            middle = float(np.median(together))
            if abs(value - middle) > APART_M[name]:
                text = f"{metres(value)} where the lines made fast with it have {metres(middle)}"
                yield Remark(f"lines[{index}].made_fast.{name}", f"{text}: mistyped?")
