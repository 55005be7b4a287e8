"""A deed tried before it is advised: lengths changed, the mechanics solved again, the wind put on.

A deed is refused where, with it done, the wind reaches the caution share of what is held, or the warning off
the fenders, and that is worse than without it. Slacking is refused there even where it relieves the weakest
line, if it is the wind that matters: she would lean on the others, and lie farther off. The wind to be met is
the 30 s mean, 0.87 of the highest gust of ten minutes, and what is expected until the deed can be undone.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from math import isfinite, nan
from typing import Final, Literal

import numpy as np

from alongside.cycle.advice.deed_metres import DeedMetres
from alongside.cycle.picture import History
from alongside.forecast.basis import Basis
from alongside.forecast.expected.wind import MEAN_S
from alongside.forecast.expected.wind_forecast import WindForecast, by_forecast
from alongside.forecast.in_the_wind import (
    GUST,
    SAME_MS,
    WORSE_M,
    can_be_tried,
    holds_within,
    limits_in_wind,
    stood,
)
from alongside.mechanics.hold import why_unknown
from alongside.mechanics.reasons import NoAnswer
from alongside.mechanics.situation import Situation
from alongside.readings import Floats
from alongside.stay.model import Display
from alongside.wording.figures import speed_text

UNDONE_BY_S: Final = np.arange(0.0, 2 * 3600.0 + 1.0, 600.0)
"""s from now in which a deed can be undone; common practice, no source."""
ALL_ROUND: Final = np.arange(12) * 30.0
"""deg: where the wind blows from is not known."""


@dataclass(frozen=True, slots=True)
class Wind:
    """A 30 s mean, m/s and deg true, and what gives it; of gusts the mean and their own speed beside it."""

    speed_ms: float
    from_deg: float
    kind: Literal["now", "gusts", "expected"] = "now"
    mean_ms: float = nan
    gust_ms: float = nan

    def words(self, display: Display) -> str:
        """Return `wind 46 kn`, `wind 40 kn, gusts 53 kn`, `wind 46 kn expected`."""
        if self.kind == "gusts":
            return f"wind {speed_text(self.mean_ms, display)}, gusts {speed_text(self.gust_ms, display)}"
        return f"wind {speed_text(self.speed_ms, display)}{' expected' if self.kind == 'expected' else ''}"


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why a deed is not advised: the wind that she would not stand with it done, and by which limit."""

    wind: Wind
    by: Literal["holding", "off_fenders"]


@dataclass(frozen=True, eq=False)
class Trial:
    """One instant (`situation` has one row) with the lengths that are out, m (lines,), and the winds that a
    deed must stand."""

    basis: Basis
    situation: Situation
    lengths: Floats
    winds: tuple[Wind, ...] = ()
    if_slipped: Floats | None = None
    """The lengths if brakes in question slipped, None where none is in question: a deed must stand in both
    states."""
    cell_kn: Floats | None = None
    """(lines,) loads by good cells, kN, NaN for a line without one; None where there is none."""

    @cached_property
    def metres(self) -> DeedMetres:
        """Return by how much a deed is done in the wind that blows."""
        return DeedMetres(self.basis, self.situation, self.lengths, self.if_slipped, self.cell_kn)

    def refusal(self, moves: Mapping[str, float]) -> Refusal | None:
        """Return why moves (m to pay out, negative = heave in) are not advised, None where nothing speaks
        against them."""
        if not self.winds or not moves or not can_be_tried(self.basis):
            return None
        if why_unknown(self.situation)[0] != NoAnswer.ANSWERED:
            return None
        states = [self.lengths] if self.if_slipped is None else [self.lengths, self.if_slipped]
        refusals = (self._refused(moves, lengths) for lengths in states)
        return next((each for each in refusals if each is not None), None)

    def _refused(self, moves: Mapping[str, float], lengths: Floats) -> Refusal | None:
        """Return the same in the state with these lengths (lines,)."""
        after = self.metres.changed({line: np.array([metres]) for line, metres in moves.items()}, lengths)[0]
        slacks, blown = any(metres > 0.0 for metres in moves.values()), self._blown()
        caution, warning = limits_in_wind(self.basis)
        then = stood(self.basis, blown, after, caution)
        if not (then.over | (then.off_m >= warning)).any():
            return None
        now = stood(self.basis, blown, lengths, caution)
        for at, wind in enumerate(self.winds):
            if then.off_m[at] >= warning and then.off_m[at] > now.off_m[at] + WORSE_M:
                return Refusal(wind, "off_fenders")
            if not then.over[at]:
                continue
            if (slacks and then.of_the_wind[at]) or not now.over[at]:
                return Refusal(wind, "holding")
            here = blown.rows(at, at + 1)
            if self._holds(here, after) < self._holds(here, lengths) - SAME_MS:
                return Refusal(wind, "holding")
        return None

    def _holds(self, here: Situation, lengths: Floats) -> float:
        return holds_within(self.basis, here, lengths)

    def _blown(self) -> Situation:
        """Return the instant in each wind to be met."""
        speed, come_from = np.array([(wind.speed_ms, wind.from_deg) for wind in self.winds]).T
        here = self.situation.at(np.zeros(len(self.winds), dtype=np.intp))
        return replace(here, wind_speed=speed, wind_from=come_from)


def winds_to_meet(
    situation: Situation, history: History | None = None, forecast: WindForecast = ()
) -> tuple[Wind, ...]:
    """Return the winds that a deed done now must stand: the stronger of the 30 s mean and 0.87 of the gust,
    and the wind that is expected until it can be undone, which is the mean of the last half hour, or what is
    forecast for the next two; none where no wind is known."""
    mean, gust, come_from = (
        float(of[0]) for of in (situation.wind_speed, situation.wind_gust, situation.wind_from)
    )
    winds = []
    if isfinite(mean):
        gusts = isfinite(gust) and GUST * gust > mean
        winds += [Wind(GUST * gust, come_from, "gusts", mean, gust) if gusts else Wind(mean, come_from)]
    expected = None if history is None else _expected(history, float(situation.time[0]))
    if expected is not None and expected.speed_ms > (winds[0].speed_ms if winds else 0.0):
        winds += [expected]
    coming = _forecast(forecast, float(situation.time[0]), (mean, come_from))
    if coming is not None and coming.speed_ms > max((wind.speed_ms for wind in winds), default=0.0):
        winds += [coming]
    return tuple(each for wind in winds for each in _from_where(wind))


def _expected(history: History, now: float) -> Wind | None:
    """Return the mean wind of the last half hour, from where its mean vector blows; None where none is
    known."""
    if not {"wind_speed", "wind_from"} <= set(history.series):
        return None
    rows = (history.time > now - MEAN_S) & (history.time <= now)
    speed, come_from = (history.series[name][rows] for name in ("wind_speed", "wind_from"))
    known = ~np.isnan(speed + come_from)
    if not known.any():
        return None
    vector = (speed[known] * np.exp(1j * np.radians(come_from[known]))).mean()
    return Wind(float(speed[known].mean()), float(np.degrees(np.angle(vector))) % 360.0, "expected")


def _forecast(forecast: WindForecast, now: float, here: tuple[float, float]) -> Wind | None:
    """Return the strongest wind of the forecast until a deed can be undone; None where there is none."""
    ahead = by_forecast(forecast, now, here, now + UNDONE_BY_S) if forecast else None
    if ahead is None:
        return None
    speed, come_from = ahead
    worst = int(speed.argmax())
    return Wind(float(speed[worst]), float(come_from[worst]), "expected")


def _from_where(wind: Wind) -> tuple[Wind, ...]:
    """Return the wind; all round where it is not known where it comes from."""
    if isfinite(wind.from_deg):
        return (wind,)
    return tuple(replace(wind, from_deg=float(each)) for each in ALL_ROUND)
