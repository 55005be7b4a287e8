"""A small invented stay: six lines, two spare ropes, free fairleads and bitts forward and aft; and its mirror
image."""

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from alongside.forecast.basis import Basis
from alongside.forecast.present import Present, nothing_heard
from alongside.mechanics.arrangement import arrangement_of
from alongside.mechanics.settled_lengths import settled_on_fenders
from alongside.stay.model import Bollard, Point, Ship, SpareRope, Stay, Winch, WindAreas
from tests.mechanics.stays import POLYESTER, Lead, afloat, situation, stay_with

LINES = (
    Lead((118.0, -3.0, 14.0), (175.0, -6.0, 5.0), role="head", on="B7", swl_kn=800.0),
    Lead((105.0, -8.5, 14.0), (143.0, -14.0, 5.0), role="breast", on="B5", swl_kn=800.0),
    Lead((90.0, -9.8, 12.0), (95.0, -1.5, 5.0), role="spring", on="B3", swl_kn=800.0),
    Lead((30.0, -9.8, 12.0), (105.0, -1.5, 5.0), role="spring", on="B4", swl_kn=800.0),
    Lead((15.0, -9.0, 12.0), (57.0, -14.0, 5.0), role="breast", on="B2", swl_kn=800.0),
    Lead((2.0, -4.0, 12.0), (25.0, -6.0, 5.0), role="stern", on="B1", swl_kn=800.0),
)
FREE = {"G1": Point(112.0, -6.2, 14.0), "G2": Point(8.0, -6.5, 12.0)}
BITTS = {
    "P1": Winch(Point(112.0, -2.0, 14.0), swl_kn=400.0),
    "P2": Winch(Point(8.0, -2.0, 12.0), swl_kn=400.0),
}
SPARE = (SpareRope(POLYESTER, 110.0),)
BOLLARDS = {
    "B6": Bollard(Point(158.0, -22.0, 5.0), 800.0),
    "B8": Bollard(Point(40.0, -22.0, 5.0), 800.0),
}
WIND = WindAreas(front_m2=300.0, side_m2=1400.0, at_draught=6.0, coefficients="cargo_loaded")


def small_stay(spare: tuple[SpareRope, ...] = SPARE, more: Mapping[str, Bollard] | None = None) -> Stay:
    stay = stay_with(LINES, fenders=(70.0, 90.0, 110.0, 130.0))
    ship: Ship = replace(stay.ship, fairleads={**stay.ship.fairleads, **FREE}, winches=dict(BITTS), wind=WIND)
    berth = replace(stay.berth, bollards={**stay.berth.bollards, **BOLLARDS, **(more or {})})
    return replace(stay, ship=ship, berth=berth, spare_ropes=spare)


def mirrored(stay: Stay) -> Stay:
    """The same seen in a mirror: port side to, the berth's x and the ship's y turned about."""

    def on_board(point: Point) -> Point:
        return replace(point, y=-point.y)

    def ashore(point: Point) -> Point:
        return replace(point, x=-point.x)

    ship = replace(
        stay.ship,
        fairleads={name: on_board(each) for name, each in stay.ship.fairleads.items()},
        winches={name: replace(each, at=on_board(each.at)) for name, each in stay.ship.winches.items()},
    )
    berth = replace(
        stay.berth,
        bearing_of_x=(180.0 - stay.berth.bearing_of_x) % 360.0,
        bollards={name: replace(each, at=ashore(each.at)) for name, each in stay.berth.bollards.items()},
        fenders=tuple(replace(each, x=-each.x) for each in reversed(stay.berth.fenders)),
    )
    place = replace(stay.place, berth_x=-stay.place.berth_x)
    side = "port" if stay.alongside == "starboard" else "starboard"
    return replace(stay, alongside=side, place=place, ship=ship, berth=berth)


def made_fast(stay: Stay, load_kn: float = 40.0) -> tuple[Basis, Present]:
    """All lines made fast together in a calm, at a draught of 6 m and a tide of 1 m."""
    here = situation(afloat(1.0))
    arrangement = arrangement_of(stay)
    nothing = np.full(len(stay.lines), np.nan)
    made = settled_on_fenders(arrangement, here, nothing, np.full(len(stay.lines), load_kn))
    assert made.settles
    return Basis.of(stay), Present.of(here, made.unstretched, nothing_heard())
