"""What one more line, or a line led elsewhere, does to the others: loads now and in the wind that is held,
bollards, and the rounds of the hours ahead."""

from dataclasses import dataclass
from math import nan

import numpy as np

from alongside.forecast.basis import Basis
from alongside.forecast.look_ahead import look_ahead
from alongside.forecast.model import Forecast
from alongside.forecast.present import Present
from alongside.mechanics.bollards import bollard_loads
from alongside.mechanics.hold import hold
from alongside.readings import Floats


@dataclass(frozen=True, slots=True)
class Share:
    """A line or bollard by what it may bear, before and after, NaN where it was not there or it is not
    known."""

    name: str
    before: float
    after: float


@dataclass(frozen=True, slots=True)
class Cost:
    """Loads of lines by their WLL or brake, whichever is nearer, of bollards and dolphins by their SWL."""

    lines: tuple[Share, ...]
    bollards: tuple[Share, ...]


@dataclass(frozen=True, slots=True)
class Rounds:
    """The rounds of the hours ahead: how many, how many lines are tended in them, which lines no round keeps
    within limits."""

    hours: float
    rounds: int
    lines_tended: int
    not_cured: tuple[str, ...]

    @property
    def rank(self) -> tuple[int, int, int]:
        return len(self.not_cured), self.rounds, self.lines_tended


def shares_in(
    basis: Basis, present: Present, wind: tuple[float, float] | None
) -> dict[str, dict[str, float]]:
    """Return shares by name of `lines` and `bollards`, in another wind (m/s, true deg) where one is given."""
    present = present if wind is None else present.in_wind(*wind)
    arrangement, here = basis.arrangement, present.situation()
    held = hold(arrangement, here, present.unstretched)
    fast = ~np.isnan(present.unstretched)
    brake: Floats = held.lines.tension_kn[0] / arrangement.brake_kn
    lines = np.fmax(held.lines.load_share[0], brake)
    bollards = bollard_loads(arrangement, held.lines, fast)[0] / arrangement.bollard_swl_kn
    return {
        "lines": dict(zip(arrangement.ids, lines.tolist(), strict=True)),
        "bollards": dict(zip(arrangement.bollard_ids, bollards.tolist(), strict=True)),
    }


def cost_of(before: dict[str, dict[str, float]], after: dict[str, dict[str, float]]) -> Cost:
    """Return both side by side, in the order of the stay, what is new last."""

    def both(what: str) -> tuple[Share, ...]:
        first, then = before[what], after[what]
        return tuple(
            Share(name, first.get(name, 0.0 if what == "bollards" else nan), then.get(name, 0.0))
            for name in dict.fromkeys([*first, *then])
        )

    return Cost(both("lines"), both("bollards"))


def rounds_of(basis: Basis, present: Present) -> Rounds | None:
    """Return the rounds that are planned from the present on; None where nothing is known of the hours
    ahead."""
    forecast = look_ahead(basis, present)
    return None if forecast.reason else rounds_in(forecast)


def rounds_in(forecast: Forecast) -> Rounds:
    tending = forecast.tending
    tended = {move.line for each in tending.rounds for move in each.moves}
    cured_not = dict.fromkeys(each.line for each in tending.cannot_cure)
    hours = float(forecast.times[-1] - forecast.time) / 3600.0
    return Rounds(hours, len(tending.rounds), len(tended), tuple(cured_not))
