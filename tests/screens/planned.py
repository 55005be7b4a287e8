"""Pictures of a stay file, by the plan alone."""

from dataclasses import replace
from pathlib import Path

from alongside.cycle.picture import Picture
from alongside.forecast.basis import Basis
from alongside.forecast.before_arrival import planned_present, when_fast
from alongside.stay.read import read_stay
from tests.screens import invented


def before_arrival(file: Path) -> Picture:
    """Before arrival; the hours ahead are not shown, as in an examination."""
    stay = read_stay(file)
    basis = Basis.of(stay)
    present = planned_present(stay, basis.arrangement, when_fast(stay))
    return replace(
        invented.normal(),
        stay=stay,
        time=present.time,
        present=present,
        forecast=None,
        log=(),
        forecast_hidden=True,
    )
