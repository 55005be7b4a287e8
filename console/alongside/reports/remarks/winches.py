"""Remarks on winches: the last test of their brakes, and lines beyond what they work at."""

from collections.abc import Iterator
from typing import Final

from alongside.reports.remarks.afloat import Afloat
from alongside.reports.remarks.model import Remark
from alongside.stay.model import Stay, Winch
from alongside.wording.figures import figure

YEAR_S: Final = 366.0 * 86400.0
"""Brakes are tested yearly, and after relining: public guidance, read."""
AS_TESTED: Final = 0.95
"""Of the stated holding; a test that stopped a little short of it proves it all the same. Practice."""


def winch_remarks(afloat: Afloat) -> Iterator[Remark]:
    """Yield what is odd about tests of brakes and loads of automatic winches."""
    stay = afloat.stay
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


def _automatic(stay: Stay, winch: Winch, name: str, path: str) -> Iterator[Remark]:
    """Lines made fast with a load at which the winch would work at once."""
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


def not_tested(stay: Stay) -> list[str]:
    """Return the winches with a brake of which no test is stated, where none is of any."""
    winches = stay.ship.winches
    if any(winch.tested for winch in winches.values()):
        return []
    return [name for name, winch in winches.items() if winch.brake_kn is not None]
