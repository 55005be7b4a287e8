"""Remarks on fittings: SWL of chocks, bitts and dolphins."""

from collections.abc import Iterator

from alongside.reports.remarks.afloat import Afloat
from alongside.reports.remarks.lines import SWL
from alongside.reports.remarks.model import Remark
from alongside.reports.remarks.ship import outside
from alongside.stay.model import Stay
from alongside.wording.figures import figure, force_text
from alongside.wording.safe import safe


def fitting_remarks(afloat: Afloat) -> Iterator[Remark]:
    yield from _strength(afloat.stay)
    yield from _dolphins(afloat.stay)


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
