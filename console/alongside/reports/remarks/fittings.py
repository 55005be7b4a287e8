"""Remarks on fittings: SWL of chocks, bitts and dolphins, and what a chock bears that turns a line."""

from collections.abc import Iterator
from math import acos, cos, degrees, hypot, radians, sin

from alongside.reports.remarks.afloat import Afloat
from alongside.reports.remarks.lines import SWL
from alongside.reports.remarks.model import Remark
from alongside.reports.remarks.ship import outside
from alongside.stay.model import Stay
from alongside.wording.figures import degrees as angle
from alongside.wording.figures import figure, force_text
from alongside.wording.safe import safe

EVEN_DEG = 60.0
"""A chock that turns a line through so much bears just the line's load: 2 T sin(a/2)."""


def fitting_remarks(afloat: Afloat) -> Iterator[Remark]:
    yield from _strength(afloat.stay)
    yield from _dolphins(afloat.stay)
    for index in range(len(afloat.stay.lines)):
        yield from _turned(afloat, index)


def chock_load(turn_deg: float) -> float:
    """Return what a chock bears that turns a line through an angle, as a multiple of the line's load."""
    return 2.0 * sin(radians(turn_deg) / 2.0)


def _strength(stay: Stay) -> Iterator[Remark]:
    for line in stay.lines:
        winch = stay.ship.winches.get(line.winch or "")
        for path, swl in (
            (f"ship.fairleads.{line.fairlead}.swl_kn", stay.ship.chocks.get(line.fairlead)),
            (f"ship.winches.{line.winch}.swl_kn", None if winch is None else winch.swl_kn),
        ):
            if swl is not None and outside(swl / line.smallest_mbl_kn, SWL):
                text = f"{figure(swl)} kN beside a line that breaks at {figure(line.smallest_mbl_kn)} kN"
                yield Remark(path, f"{text}: tonnes, or newtons?")


def _dolphins(stay: Stay) -> Iterator[Remark]:
    for name, swl in stay.berth.dolphins.items():
        path = f"berth.dolphins.{name}"
        on_it = {each: one.swl_kn for each, one in stay.berth.bollards.items() if one.dolphin == name}
        if not on_it:
            yield Remark(path, "no bollard stands on it")
        for hook, own in on_it.items():
            if own is not None and own > swl:
                display = stay.display
                text = f"{force_text(swl, display)} where {safe(hook)} on it bears {force_text(own, display)}"
                yield Remark(f"{path}.swl_kn", f"{text}: exchanged?")


def _turned(afloat: Afloat, index: int) -> Iterator[Remark]:
    stay = afloat.stay
    line = stay.lines[index]
    turn = turn_deg(afloat, index)
    if line.fairlead in stay.ship.chocks and turn > EVEN_DEG:
        times = figure(chock_load(turn), 1)
        text = f"turns line {safe(line.id)} through {angle(turn)}: it bears {times} times the line's load"
        yield Remark(f"ship.fairleads.{line.fairlead}.swl_kn", text)


def turn_deg(afloat: Afloat, index: int) -> float:
    """Return the angle through which its chock turns a line at making fast, deg; 0 without a winch."""
    stay = afloat.stay
    line = stay.lines[index]
    winch = stay.ship.winches.get(line.winch or "")
    chock = stay.ship.fairleads[line.fairlead]
    if winch is None:
        return 0.0
    inward = (chock.x - winch.at.x, chock.y - winch.at.y, chock.z - winch.at.z)
    length = hypot(*inward)
    lead, down = (radians(float(each[index])) for each in (afloat.lead_deg, afloat.down_deg))
    quay = -1.0 if stay.alongside == "starboard" else 1.0
    outward = (cos(lead) * cos(down), quay * sin(lead) * cos(down), -sin(down))
    if not length > 0.0:
        return 0.0
    straight = sum(a * b for a, b in zip(inward, outward, strict=True)) / length
    return degrees(acos(max(-1.0, min(1.0, straight))))
