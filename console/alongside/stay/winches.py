"""Winches of section `ship:`: where they stand, what their brakes hold, and on which layer of rope."""

from dataclasses import replace
from typing import Any, Final

from alongside.stay.fields import TIME, Field, choice, force, number, whole
from alongside.stay.fittings import ALONG, HEIGHT, Hull, point_keys, point_of
from alongside.stay.model import BrakeTest, Ship, Winch
from alongside.stay.nodes import Node
from alongside.stay.records import exactly_one, optional, record, required

MOST_LAYERS: Final = 12


def _winch(**given: Any) -> Winch:
    place = {key: given.pop(key) for key in (*ALONG, "y", *HEIGHT) if key in given}
    return Winch(point_of(**place), **given)


def _drum_known(node: Node, winch: Winch) -> None:
    """A layer means nothing without the drum; a drum of one diameter alone gives no radius."""
    if (winch.drum_mm is None) != (winch.rope_mm is None):
        given, other = ("drum_mm", "rope_mm") if winch.rope_mm is None else ("rope_mm", "drum_mm")
        node[given].fault(f"{given} without {other}", "both, mm: a layer's radius follows from the two")
    if winch.layer is not None and winch.drum_mm is None and winch.rope_mm is None:
        node["layer"].fault("a layer without its drum", "drum_mm and rope_mm beside it")


def in_kn(ship: Ship) -> dict[str, Winch]:
    """Return the winches of a ship whose design MBL is known, every brake in kN."""
    design = ship.design_mbl_kn or 0.0
    return {
        name: winch if winch.brake_set is None else replace(winch, brake_kn=winch.brake_set * design)
        for name, winch in ship.winches.items()
    }


def _set_once(node: Node, winch: Winch) -> None:
    if winch.brake_kn is not None and winch.brake_set is not None:
        node["brake_set"].fault("brake_kn and brake_set together", "one of them")


def _automatic_by_both(node: Node, winch: Winch) -> None:
    """An automatic winch has both loads, and no brake on."""
    low, high = winch.recovery_kn, winch.rendering_kn
    if (low is None) != (high is None):
        given, other = ("recovery_kn", "rendering_kn") if high is None else ("rendering_kn", "recovery_kn")
        node[given].fault(f"{given} without {other}", "both, of a winch on automatic")
    if low is not None and high is not None and high <= low:
        node["rendering_kn"].fault(f"{high:g} kN, not above recovery_kn", f"more than {low:g} kN")
    for key in ("brake_kn", "brake_set", "swl_kn"):
        if key in node and (low is not None or high is not None):
            node[key].fault(
                f"{key} of a winch on automatic", "none: its brake is open, it pays out by itself"
            )


TEST: Final = record(
    BrakeTest,
    at=required(TIME),
    load_kn=optional(force(above=0)),
    layer=optional(whole(least=1, most=MOST_LAYERS)),
)

SHARE: Final = number("a share", above=0, most=1)


def _bitts_or_brake(node: Node, winch: Winch) -> None:
    if winch.swl_kn is not None and (winch.brake_kn is not None or winch.brake_set is not None):
        node["swl_kn"].fault("bitts with a brake", "swl_kn for bitts, or a brake for a winch")


def winch_of(hull: Hull) -> Field[Winch]:
    """Return the field of a winch, or of bitts in its place, on a hull."""
    return record(
        _winch,
        _drum_known,
        _set_once,
        _bitts_or_brake,
        _automatic_by_both,
        exactly_one(*ALONG),
        exactly_one(*HEIGHT),
        **point_keys(hull),
        brake_kn=optional(force(above=0)),
        drum_mm=optional(number("mm", least=100, most=3000)),
        rope_mm=optional(number("mm", least=5, most=200)),
        layer=optional(whole(least=1, most=MOST_LAYERS)),
        drum=optional(choice("split", "undivided")),
        tested=optional(TEST),
        brake_set=optional(SHARE),
        brake_design=optional(SHARE),
        swl_kn=optional(force(above=0)),
        recovery_kn=optional(force(above=0)),
        rendering_kn=optional(force(above=0)),
    )
