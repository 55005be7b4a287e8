"""Remarks on the ship: hull, marks, fairleads, winches, wind areas, hydrostatics."""

from collections.abc import Iterator
from math import isnan
from typing import Final

from alongside.reports.remarks.afloat import Afloat
from alongside.reports.remarks.model import Remark
from alongside.stay.model import HydrostaticRow, Point, Ship
from alongside.wording.figures import figure, metres

SEA_WATER: Final = 1.025
"""t/m3."""

LENGTH_BY_BREADTH: Final = (2.5, 11.0)
DRAUGHT_BY_LENGTH: Final = (0.006, 0.10)
"""Of loa; a barge without cargo floats on as little."""
SMALL_M: Final = 60.0
DRAUGHT_BY_SMALL_LENGTH: Final = (0.006, 0.17)
"""The same of tugs and fishing vessels, shorter than `SMALL_M`."""
FREEBOARD_BY_DRAUGHT: Final = (0.05, 9.0)
"""A laden coaster to a barge without cargo; of the mean draught, since small craft trim by a third of it."""
SIDE_AREA: Final = (0.3, 2.5)
"""Of LOA B/2."""
FRONT_AREA: Final = (0.3, 1.6)
"""Of B squared."""
BLOCK: Final = (0.45, 0.99)
"""A ship has 0.45 to 0.90; a barge is nearly a box."""
WATERPLANE: Final = (0.60, 0.995)
LCF: Final = (0.40, 0.60)
"""Of LBP from the aft perpendicular."""
MCTC: Final = (0.6, 4.0)
"""Of a hundredth of the displacement: longitudinal metacentric height by length."""
ABOVE_DECK_M: Final = 8.0
"""A fairlead on a high forecastle stands so far above the main deck at most."""
INBOARD_M: Final = 60.0


def ship_remarks(afloat: Afloat) -> Iterator[Remark]:
    ship = afloat.stay.ship
    yield from _hull(ship)
    yield from _draughts(ship, afloat)
    yield from _fairleads(ship, afloat)
    yield from _winches(afloat)
    yield from _areas(ship)
    if all(guess.path != "ship.hydrostatics" for guess in afloat.stay.guesses):
        yield from _hydrostatics(ship)


def outside(value: float, gate: tuple[float, float]) -> bool:
    """Return whether a known value lies outside a gate."""
    return not isnan(value) and not gate[0] <= value <= gate[1]


def _hull(ship: Ship) -> Iterator[Remark]:
    if outside(ship.loa / ship.breadth, LENGTH_BY_BREADTH):
        text = f"{metres(ship.loa)} by {metres(ship.breadth)} is no usual hull; length and breadth in metres?"
        yield Remark("ship.breadth", text)
    if ship.lbp > ship.loa:
        yield Remark("ship.lbp", f"{metres(ship.lbp)} is longer than loa, {metres(ship.loa)}: exchanged?")
    elif ship.lbp < 0.85 * ship.loa:
        yield Remark("ship.lbp", f"{metres(ship.lbp)} is short for a ship of {metres(ship.loa)} in all")
    if not 0.3 * ship.breadth <= ship.depth <= 1.2 * ship.breadth:
        text = f"{metres(ship.depth)} to deck for a breadth of {metres(ship.breadth)}: is it the draught?"
        yield Remark("ship.depth", text)
    for name, x in (("fwd", ship.marks.fwd), ("aft", ship.marks.aft)):
        if not -0.05 * ship.lbp <= x <= 1.05 * ship.lbp:
            text = f"{metres(x)} lies beyond the hull; x is forward of the aft perpendicular"
            yield Remark(f"ship.marks.{name}", text)
    if ship.marks.fwd < ship.marks.aft:
        yield Remark(
            "ship.marks", "the forward mark stands aft of the after one: x from the stem, or exchanged?"
        )


def _draughts(ship: Ship, afloat: Afloat) -> Iterator[Remark]:
    fwd, aft = afloat.draughts
    if isnan(fwd):
        return
    path = (
        "simulate.draught_fwd" if afloat.stay.lines[0].made_fast.draught_fwd is None else FAST + "draught_fwd"
    )
    deepest, mean = max(fwd, aft), afloat.mean_draught
    usual = DRAUGHT_BY_SMALL_LENGTH if ship.loa < SMALL_M else DRAUGHT_BY_LENGTH
    if deepest >= ship.depth:
        text = f"a draught of {metres(deepest)} is more than the depth to deck, {metres(ship.depth)}"
        yield Remark(path, f"{text}; decimal point, or feet?")
    elif outside((ship.depth - mean) / mean, FREEBOARD_BY_DRAUGHT):
        text = f"a freeboard of {metres(ship.depth - mean)} over a draught of {metres(mean)} is not usual"
        yield Remark(path, text)
    if outside(mean / ship.loa, usual):
        text = f"a mean draught of {metres(mean)} for a length of {metres(ship.loa)} is not usual"
        yield Remark(path, f"{text}; decimal point, or feet?")
    if fwd - aft > 0.008 * ship.lbp:
        text = f"trim by the head of {metres(fwd - aft)}: forward and aft exchanged?"
        yield Remark(path, text)
    elif aft - fwd > 0.05 * ship.lbp:
        yield Remark(path, f"trim by the stern of {metres(aft - fwd)} is very large; decimal point?")


FAST: Final = "lines[0].made_fast."


def _fairleads(ship: Ship, afloat: Afloat) -> Iterator[Remark]:
    used = {line.fairlead for line in afloat.stay.lines}
    waterline = max(afloat.draughts)
    for name, at in ship.fairleads.items():
        path = f"ship.fairleads.{name}"
        yield from _on_hull(ship, path, at)
        if at.z > ship.depth + ABOVE_DECK_M:
            text = f"z {metres(at.z)} stands {metres(at.z - ship.depth)} above the deck; z is from the keel"
            yield Remark(path, f"{text}: from chart datum, or in feet?")
        elif at.z < 0.0:
            yield Remark(path, f"z {metres(at.z)} lies below the keel; z is from the keel up")
        elif name in used and at.z < waterline:
            text = (
                f"z {metres(at.z)} lies under water at a draught of {metres(waterline)}; z is from the keel"
            )
            yield Remark(path, f"{text}: from the waterline or the deck?")
    yield from _same_place(ship)


def _on_hull(ship: Ship, path: str, at: Point) -> Iterator[Remark]:
    overhang = ship.loa - ship.lbp + 0.02 * ship.lbp
    if not -overhang <= at.x <= ship.lbp + overhang:
        text = f"x {metres(at.x)} lies beyond the hull of {metres(ship.loa)}; x is from the aft perpendicular"
        yield Remark(path, text)
    if abs(at.y) > ship.breadth / 2.0 + 0.5:
        text = f"y {metres(at.y)} lies outside the hull of {metres(ship.breadth)}; y is from the centreline"
        yield Remark(path, f"{text}: from the other side?")


def _same_place(ship: Ship) -> Iterator[Remark]:
    seen: dict[tuple[float, float, float], str] = {}
    for name, at in ship.fairleads.items():
        first = seen.setdefault((at.x, at.y, at.z), name)
        if first != name:
            yield Remark(f"ship.fairleads.{name}", f"stands in the same place as {first}")


def _winches(afloat: Afloat) -> Iterator[Remark]:
    ship = afloat.stay.ship
    drums: dict[str, str] = {}
    for index, line in enumerate(afloat.stay.lines):
        if line.winch is None:
            continue
        fairlead, winch = ship.fairleads[line.fairlead], ship.winches[line.winch]
        inboard = ((fairlead.x - winch.at.x) ** 2 + (fairlead.y - winch.at.y) ** 2) ** 0.5
        if inboard > INBOARD_M or abs(fairlead.x - winch.at.x) > 0.4 * ship.lbp:
            text = (
                f"winch {line.winch} stands {metres(inboard)} from fairlead {line.fairlead}: another winch?"
            )
            yield Remark(f"lines[{index}].winch", text)
        first = drums.setdefault(line.winch, line.id)
        if first != line.id:
            text = f"winch {line.winch} also bears line {first}: one brake holds both; a drum of its own?"
            yield Remark(f"lines[{index}].winch", text)


def _areas(ship: Ship) -> Iterator[Remark]:
    wind = ship.wind
    if wind is None:
        return
    usual = ship.loa * ship.breadth / 2.0
    if outside(wind.side_m2 / usual, SIDE_AREA):
        text = f"{figure(wind.side_m2)} m2 beside {figure(usual)} m2 (LOA times half the breadth)"
        yield Remark("ship.wind.side_m2", f"{text}: ten times off, or square feet?")
    if outside(wind.front_m2 / ship.breadth**2, FRONT_AREA):
        text = f"{figure(wind.front_m2)} m2 beside {figure(ship.breadth**2)} m2 (breadth squared)"
        yield Remark("ship.wind.front_m2", f"{text}: ten times off, or square feet?")
    if wind.front_m2 > wind.side_m2:
        yield Remark("ship.wind.front_m2", "more than the side area: exchanged?")
    if wind.side_centroid_x is not None and outside(wind.side_centroid_x / ship.lbp, (0.2, 0.8)):
        text = f"{metres(wind.side_centroid_x)} lies at an end of the ship; x is from the aft perpendicular"
        yield Remark("ship.wind.side_centroid_x", f"{text}: from midships?")
    if not 0.0 < wind.at_draught < ship.depth:
        text = f"{metres(wind.at_draught)} is no draught of a hull of {metres(ship.depth)}"
        yield Remark("ship.wind.at_draught", text)
    elif outside((ship.depth - wind.at_draught) / wind.at_draught, FREEBOARD_BY_DRAUGHT):
        text = f"{metres(wind.at_draught)} leaves {metres(ship.depth - wind.at_draught)} of freeboard"
        yield Remark("ship.wind.at_draught", f"{text}: the draught that the areas belong to?")


def _hydrostatics(ship: Ship) -> Iterator[Remark]:
    for index, row in enumerate(ship.hydrostatics):
        for what, wrong in _odd_of(ship, row):
            yield Remark(f"ship.hydrostatics[{index}].{what}", wrong)
            return  # one row tells it; the others repeat it


def _odd_of(ship: Ship, row: HydrostaticRow) -> Iterator[tuple[str, str]]:
    plane = SEA_WATER * ship.lbp * ship.breadth
    block, waterplane = row.displacement / (plane * row.draught), 100.0 * row.tpc / plane
    if outside(row.lcf / ship.lbp, LCF):
        text = f"{metres(row.lcf)} lies far from midships; lcf is metres forward of the aft perpendicular"
        yield "lcf", f"{text}: from midships? Then with F or A behind it"
    if outside(block, BLOCK):
        floats = f"{figure(row.displacement)} t at {metres(row.draught)}"
        text = f"{floats} gives a block coefficient of {figure(block, 2)}"
        yield "displacement", f"{text} (usual 0.45 to 0.90, a barge to 0.98): deadweight, or another unit?"
    if outside(waterplane, WATERPLANE):
        text = f"{figure(row.tpc, 1)} t/cm is {figure(waterplane, 2)} of a full box (usual 0.60 to 0.97)"
        yield "tpc", f"{text}: t/m, or tons an inch?"
    if outside(100.0 * row.mctc / row.displacement, MCTC):
        text = f"{figure(row.mctc)} t m/cm for {figure(row.displacement)} t is not usual"
        yield "mctc", f"{text}: t m/m?"
