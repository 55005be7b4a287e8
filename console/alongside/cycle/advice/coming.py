"""What is expected of the ship in the time in which a deed done now stands."""

from dataclasses import replace
from typing import Final

import numpy as np

from alongside.forecast.model import Forecast
from alongside.mechanics.situation import Situation
from alongside.readings import Floats

STANDS_S: Final = 2 * 3600.0
"""s for which a deed done now must do: nobody heaves a line to slack it within the next two hours; common
practice, no source."""
MOST_ROWS: Final = 8


def with_coming(here: Situation, forecast: Forecast | None) -> Situation:
    """Return one instant (`here` has one row), and behind it what is expected of tide, draughts and heel for
    two hours, in the wind of now; that instant alone where nothing is expected."""
    if forecast is None:
        return here
    now = float(here.time[0])
    soon = (forecast.times > now) & (forecast.times <= now + STANDS_S)
    by_forecast = (forecast.tide, forecast.draught_fwd, forecast.draught_aft)
    soon &= ~np.isnan([each.expected for each in by_forecast]).any(axis=0)
    rows = np.flatnonzero(soon)
    rows = rows[:: max(1, -(-rows.size // MOST_ROWS))]
    heel = forecast.heel_deg.expected[rows]

    def then(now_is: Floats, expected: Floats) -> Floats:
        return np.append(now_is, expected)

    many = here.at(np.zeros(1 + rows.size, dtype=np.intp))
    return replace(
        many,
        time=then(here.time, forecast.times[rows]),
        tide=then(here.tide, forecast.tide.expected[rows]),
        draught_fwd=then(here.draught_fwd, forecast.draught_fwd.expected[rows]),
        draught_aft=then(here.draught_aft, forecast.draught_aft.expected[rows]),
        heel_deg=then(here.heel_deg, np.where(np.isnan(heel), here.heel_deg, heel)),
    )
