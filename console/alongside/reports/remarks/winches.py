"""Remarks on what winch brakes hold: by their last test, and by the strength the ship is designed for."""

from collections.abc import Iterator
from typing import Final

from alongside.mechanics.arrangement import arrangement_of
from alongside.mechanics.automatic import opposed
from alongside.reports.remarks.afloat import Afloat
from alongside.reports.remarks.model import Remark
from alongside.stay.model import Stay, Winch
from alongside.wording.cautions import opposed_winches
from alongside.wording.figures import figure, percent

YEAR_S: Final = 366.0 * 86400.0
"""Brakes are tested yearly, and after relining: public guidance, read."""
AS_TESTED: Final = 0.95
"""Of the stated holding; a test that stopped a little short of it proves it all the same. Practice."""


def winch_remarks(afloat: Afloat) -> Iterator[Remark]:
    """Yield what is odd about tests and settings of brakes."""
    stay = afloat.stay
    yield from _opposed(afloat)
    fast = [line.made_fast.at for line in stay.lines]
    tested = any(winch.tested for winch in stay.ship.winches.values())
    for name, winch in stay.ship.winches.items():
        path = f"ship.winches.{name}"
        if winch.brake_kn is None:
            yield from _automatic(stay, winch, name, path)
            continue
        if tested and winch.tested is None:
            yield Remark(path, "no test of its brake stated: brakes are tested yearly, and after relining")
        if winch.tested is not None:
            yield from _test(winch, winch.brake_kn, path, max(fast))
        yield from _design(winch, winch.brake_kn, stay.ship.design_mbl_kn, path)


def _automatic(stay: Stay, winch: Winch, name: str, path: str) -> Iterator[Remark]:
    """Lines made fast with a load at which the winch would work at once, or that breaks them."""
    if winch.automatic_kn is None:
        return
    low, high = winch.automatic_kn
    for line in stay.lines:
        if line.winch != name:
            continue
        tension = line.made_fast.tension_kn
        if not low <= tension <= high:
            text = f"line {line.id} was made fast with {figure(tension)} kN, its winch works beyond"
            yield Remark(path, f"{text} {figure(low)} to {figure(high)} kN: it changes that at once")
        if high > line.smallest_wll_kn:
            text = f"renders at {figure(high)} kN, above the working limit of line {line.id}"
            yield Remark(f"{path}.rendering_kn", f"{text}, {figure(line.smallest_wll_kn)} kN")


def _opposed(afloat: Afloat) -> Iterator[Remark]:
    arrangement = arrangement_of(afloat.stay)
    if text := opposed_winches(*opposed(arrangement, afloat.pose)):
        yield Remark("ship.winches", text)


def _test(winch: Winch, brake_kn: float, path: str, now: float) -> Iterator[Remark]:
    test = winch.tested
    assert test is not None
    if now - test.at > YEAR_S:
        years = (now - test.at) / YEAR_S
        yield Remark(f"{path}.tested.at", f"brake tested {figure(years, 1)} years before: tested yearly")
    elif test.at > now:
        yield Remark(f"{path}.tested.at", "brake tested after the lines were made fast: the year?")
    if test.load_kn is None:
        return
    layer = winch.rated_layer if test.layer is None else test.layer
    proved = winch.holding_on(winch.rated_layer, test.load_kn, layer)
    if proved < AS_TESTED * brake_kn:
        on = f"on layer {winch.rated_layer}"
        text = f"tested to {figure(proved)} kN {on}, stated to hold {figure(brake_kn)} kN"
        yield Remark(f"{path}.tested.load_kn", text)


def _design(winch: Winch, brake_kn: float, design_mbl_kn: float | None, path: str) -> Iterator[Remark]:
    """A brake that holds more than the gear is designed for overloads the deck before it slips."""
    if design_mbl_kn is None:
        return
    share, most = brake_kn / design_mbl_kn, winch.brake_design
    key = "brake_kn" if winch.brake_set is None else "brake_set"
    if most is not None and share > most:
        text = f"set to {percent(share)} of the ship design MBL, its gear is designed for {percent(most)}"
        yield Remark(f"{path}.{key}", text)


def not_tested(stay: Stay) -> list[str]:
    """Return the winches with a brake of which no test is stated, where none is of any."""
    winches = stay.ship.winches
    if any(winch.tested for winch in winches.values()):
        return []
    return [name for name, winch in winches.items() if winch.brake_kn is not None]
