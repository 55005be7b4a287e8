"""Remarks on the berth: bollards, fenders, depth, place."""

from collections.abc import Iterator
from math import isnan
from typing import Final

from alongside.reports.remarks.afloat import Afloat
from alongside.reports.remarks.model import Remark
from alongside.reports.remarks.ship import outside
from alongside.stay.model import Bollard, Stay
from alongside.wording.figures import figure, metres

SWL_KN: Final = (40.0, 6000.0)
STIFFNESS_KN_PER_M: Final = (50.0, 60_000.0)
ABOVE_WATER_M: Final = 14.0
"""A bollard stands so far above high water at most."""
FAR_M: Final = 250.0
"""From the nearest end of the ship; no line is that long."""
DEEPEST_M: Final = 60.0


def berth_remarks(afloat: Afloat) -> Iterator[Remark]:
    yield from _bollards(afloat)
    yield from _fenders(afloat.stay)
    yield from _depth(afloat)
    yield from _bearings(afloat.stay)


def ends_of(stay: Stay) -> tuple[float, float]:
    """Return the (smaller, larger) berth x of the ship's ends."""
    way = 1.0 if stay.alongside == "starboard" else -1.0
    overhang = (stay.ship.loa - stay.ship.lbp) / 2.0
    ends = [stay.place.berth_x + way * (x - stay.place.ship_x) for x in (-overhang, stay.ship.lbp + overhang)]
    return min(ends), max(ends)


def _bollards(afloat: Afloat) -> Iterator[Remark]:
    stay = afloat.stay
    first, last = ends_of(stay)
    used = {line.bollard for line in stay.lines}
    names = {(each.at.x, each.at.y): name for name, each in reversed([*stay.berth.bollards.items()])}
    for name, bollard in stay.berth.bollards.items():
        path, at = f"berth.bollards.{name}", bollard.at
        if names[at.x, at.y] != name:
            yield Remark(path, f"stands in the same place as {names[at.x, at.y]}")
        is_outside = bollard.on != "" and stay.beside[bollard.on].lies == "outside"
        if name in used and at.y > 0.5 and first < at.x < last and not is_outside:
            text = f"y {metres(at.y)} lies on the water side, where the ship is; y is out to the water"
            yield Remark(path, f"{text}: sign, or x and y exchanged?")
        elif (name in used and at.x < first - FAR_M) or at.x > last + FAR_M:
            text = f"x {metres(at.x)} lies more than {metres(FAR_M, 0)} from the ship"
            yield Remark(path, f"{text}: another origin, or the place of the ship?")
        yield from _height(afloat, bollard, path)
        if bollard.swl_kn is not None and outside(bollard.swl_kn, SWL_KN):
            yield Remark(f"{path}.swl_kn", f"{figure(bollard.swl_kn)} kN is not usual: tonnes, or newtons?")


def _height(afloat: Afloat, bollard: Bollard, path: str) -> Iterator[Remark]:
    """A bollard under water, or far above it."""
    if bollard.rides:
        yield from _height_afloat(afloat, bollard, path)
        return
    z, high = bollard.at.z, afloat.levels[1]
    if not isnan(high) and z < high - 0.3:
        text = f"z {metres(z)} is under water at high water, {metres(high)}; z is above chart datum"
        yield Remark(path, f"{text}: from the water or the quay?")
    elif not isnan(high) and z > high + ABOVE_WATER_M:
        yield Remark(path, f"z {metres(z)} stands {metres(z - high)} above high water; in feet?")


def _height_afloat(afloat: Afloat, bollard: Bollard, path: str) -> Iterator[Remark]:
    key, water = "over_water", 0.0
    if bollard.on:
        key, water = "above_keel", max(draught for _, draught in afloat.stay.beside[bollard.on].draughts)
    over = bollard.at.z - water
    if over < 0.0:
        yield Remark(f"{path}.{key}", f"{metres(bollard.at.z)} is under water by {metres(-over)}")
    elif over > ABOVE_WATER_M:
        yield Remark(f"{path}.{key}", f"stands {metres(over)} above the water; in feet?")


def _fenders(stay: Stay) -> Iterator[Remark]:
    first, last = ends_of(stay)
    for index, fender in enumerate(stay.berth.fenders):
        path = f"berth.fenders[{index}]"
        if not first <= fender.x <= last:
            text = f"x {metres(fender.x)} lies beyond the ship, {metres(first)} to {metres(last)}"
            words = "she cannot touch it, yet it counts as if she did; leave it out for her"
            yield Remark(path, f"{text}: {words}")
        stiffness = fender.stiffness_kn_per_m
        if stiffness is None and len(fender.table) > 1:
            stiffness = fender.table[-1][1] / fender.table[-1][0]
        if stiffness is not None and outside(stiffness, STIFFNESS_KN_PER_M):
            text = f"{figure(stiffness)} kN a metre is not usual (50 to 60000): tonnes, or kN a millimetre?"
            yield Remark(path, text)


def _depth(afloat: Afloat) -> Iterator[Remark]:
    depth, path = afloat.stay.berth.charted_depth, "berth.charted_depth"
    if depth is None:
        return
    if depth > DEEPEST_M:
        yield Remark(path, f"{metres(depth)} is very deep for a berth: feet, or decimal point?")
    draught = max(afloat.draughts)
    low, high = afloat.levels
    if isnan(draught):
        return
    if not isnan(high) and depth + high < draught:
        text = f"{metres(depth)} and high water {metres(high)} are less than the draught, {metres(draught)}"
        yield Remark(path, f"{text}: she could not float there")
    elif not isnan(low) and depth + low < draught:
        text = f"{metres(depth)} and low water {metres(low)} are less than the draught, {metres(draught)}"
        yield Remark(path, f"{text}: she takes the ground")
    elif isnan(low) and depth + afloat.stated_level < 0.9 * draught:
        text = f"{metres(depth)} and a tide of {metres(afloat.stated_level)} at making fast"
        yield Remark(path, f"{text} are less than the draught, {metres(draught)}")


def _bearings(stay: Stay) -> Iterator[Remark]:
    """A stream runs along a quay, not through it."""
    across = [
        index
        for index, row in enumerate(stay.current)
        if row.speed_ms > 0.25 and abs((row.to_deg - stay.berth.bearing_of_x + 90.0) % 180.0 - 90.0) > 50.0
    ]
    if across:
        row = stay.current[across[0]]
        quay = figure(stay.berth.bearing_of_x)
        text = f"the current sets to {figure(row.to_deg)}°, across a quay that runs {quay}°"
        yield Remark(f"current[{across[0]}].to_deg", f"{text}: from instead of to, or the bearing of x?")
