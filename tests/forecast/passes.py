"""Passes at the berths of the examples, by the plan; invented ships."""

from dataclasses import replace
from functools import cache
from pathlib import Path

from alongside.forecast.basis import Basis
from alongside.forecast.pass_tried import OtherShip
from alongside.forecast.peak_seen import SeenPeak
from alongside.forecast.present import Present
from alongside.forecast.ship_passes import Passed, ship_passes
from alongside.runtime.log_moment import present_of
from alongside.stay.read import read_stay
from alongside.units import KNOT

CONFIGS = Path(__file__).parents[2] / "configs"
BERTHS = ("coal_berth", "product_jetty", "river_quay", "coaster_quay")
RIVER = OtherShip(135.0, 22.0, 6.0, 60.0, 8.5 * KNOT)  # by the shallow quay: 8.3 m of water
SHIP = OtherShip(220.0, 32.0, 9.5, 100.0, 4.0, 20.0)


@cache
def berth(name: str) -> tuple[Basis, Present]:
    basis = Basis.of(read_stay(CONFIGS / f"{name}.yaml"))
    return basis, present_of(basis, None, None)


def passed(name: str = "coal_berth", seen: SeenPeak | None = None, **changes: float) -> Passed:
    return ship_passes(*berth(name), replace(SHIP, **changes), seen)


def vars_of(ship: OtherShip, **changes: float) -> dict[str, float]:
    """The values of a ship, without the depth."""
    values = {name: getattr(ship, name) for name in OtherShip.__dataclass_fields__ if name != "depth_m"}
    return {**values, **changes}
