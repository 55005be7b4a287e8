"""Readings made by hand, sixty seconds apart: what the gauges of a stay say when they say this."""

import numpy as np

from alongside.forecast.expected.witnesses import Witnesses
from alongside.forecast.tide.stand_in import Tide
from alongside.readings import Floats, Quality, Readings, Reason
from alongside.stay.model import Stay
from tests.cycle.plausibility.heard import example

COASTER: Stay = example("coaster_quay")[0]
BEGIN = COASTER.simulate.start if COASTER.simulate else 0.0
COLUMNS = ("tide", "draught_fwd", "draught_aft", "wind_speed", "wind_from")


def witnesses_of(stay: Stay = COASTER) -> Witnesses:
    return Witnesses.of(stay, Tide.of(stay))


def instants(hours: float, step: float = 60.0) -> Floats:
    return BEGIN + np.arange(0.0, hours * 3600.0, step)


def quiet(time: Floats, stay: Stay = COASTER) -> dict[str, Floats]:
    """What good gauges say, with the noise of their means."""
    rng = np.random.default_rng(3)
    witnesses = witnesses_of(stay)
    draughts = witnesses.draughts(time)
    wind = 6.0 + 1.5 * np.sin(time / 700.0) + rng.normal(0.0, 0.3, time.size)
    return {
        "tide": witnesses.table(time) + rng.normal(0.0, 0.004, time.size),
        "draught_fwd": draughts[:, 0] + rng.normal(0.0, 0.004, time.size),
        "draught_aft": draughts[:, 1] + rng.normal(0.0, 0.004, time.size),
        "wind_speed": wind,
        "wind_from": 200.0 + 20.0 * np.sin(time / 900.0) + rng.normal(0.0, 3.0, time.size),
    }


def as_readings(time: Floats, columns: dict[str, Floats]) -> Readings:
    """Good readings; lost where they are NaN, since when they were not."""
    value = np.column_stack(list(columns.values()))
    lost = np.isnan(value)
    age = np.zeros(value.shape)
    for column in range(value.shape[1]):
        heard = np.maximum.accumulate(np.where(lost[:, column], -np.inf, time))
        age[:, column] = np.where(np.isfinite(heard), time - heard, np.nan)
    return Readings(
        time,
        tuple(columns),
        value,
        np.where(lost, Quality.LOST, Quality.GOOD).astype(np.int8),
        np.where(lost, Reason.SILENT, Reason.NONE).astype(np.int8),
        age,
    )
