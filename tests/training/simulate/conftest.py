"""A small invented stay to simulate: 6 h from 03:00, a box of a ship, four level gauges, wind, heading."""

from dataclasses import replace

import pytest

from alongside.stay.model import (
    Berth,
    CargoOperation,
    Feed,
    HydrostaticRow,
    Marks,
    Place,
    Scenario,
    Ship,
    Source,
    Stay,
    TidePlan,
    WindChange,
)
from alongside.units import unix_time

START = unix_time("2026-03-02T03:00:00Z")
HIGH_LOW = (
    (unix_time("2026-03-02T00:10:00Z"), 0.50),
    (unix_time("2026-03-02T06:25:00Z"), 5.20),
    (unix_time("2026-03-02T12:40:00Z"), 0.40),
)
ROWS = tuple(HydrostaticRow(d, 2000.0 * d, 20.0, 250.0, 50.0) for d in (3.0, 5.0, 7.0))


def xdr(channel, name, **more):
    return Source(channel, sentence="XDR", names=(name,), **more)


GAUGES = Feed(
    "gauges",
    "serial:/dev/ttyUSB0",
    (
        xdr("tide", "TIDE"),
        xdr("draught_fwd", "DRF"),
        xdr("draught_aft", "DRA"),
        xdr("draught_mid_port", "DRMP"),
        xdr("draught_mid_stbd", "DRMS"),
    ),
)
WIND = Feed(
    "wind",
    "serial:/dev/ttyUSB1",
    (
        Source("wind_speed", sentence="MWV"),
        Source("wind_from", sentence="MWV"),
        Source("heading", sentence="HDT"),
    ),
)


@pytest.fixture
def stay():
    ship = Ship("Testbed", 106.0, 100.0, 20.0, 10.0, Marks(98.0, 3.0), {}, {}, None, None, ROWS)
    berth = Berth("Test Quay", 100.0, 9.0, {})
    scenario = Scenario(
        START, 6.0, 5.0, 5.4, seed=7, noise_m=0.0, interval_s=5.0, wind=(WindChange(START, 8.0, 12.0, 190.0),)
    )
    cargo = (CargoOperation("hold 2", START + 3600.0, -600.0, 300.0, x=62.0, y=4.0),)
    plan = TidePlan(high_low=HIGH_LOW)
    place = Place(50.0, 60.0)
    return Stay(
        "test stay",
        "test.yaml",
        "starboard",
        place,
        ship,
        berth,
        {},
        (),
        (GAUGES, WIND),
        tide=plan,
        cargo=cargo,
        simulate=scenario,
    )


@pytest.fixture
def change():
    """Stay with other values in its `simulate:`."""

    def changed(stay, **values):
        return replace(stay, simulate=replace(stay.simulate, **values))

    return changed
