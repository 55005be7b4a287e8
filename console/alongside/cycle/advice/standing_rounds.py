"""The standing round against the wind of now: rounds that the ship would not stand are taken back at once,
wherever a forecast is shown."""

from dataclasses import replace

from alongside.cycle.advice.trial import Trial
from alongside.forecast.in_the_wind import SOON_S
from alongside.forecast.model import Forecast, Tending
from alongside.forecast.rounds_into_the_wind import up_to


def stood_by(forecast: Forecast | None, trial: Trial) -> Forecast | None:
    """Return the forecast, its rounds taken back where the wind of now speaks against the next one."""
    if forecast is None or not forecast.tending.rounds:
        return forecast
    each, now = forecast.tending.rounds[0], float(trial.situation.time[0])
    if max(each.not_before, each.lengths_from) > now + SOON_S and not each.overdue:
        return forecast
    moves = {move.line: move.pay_out_at(now) for move in each.moves}
    refusal = trial.refusal(moves)
    if refusal is None:
        return forecast
    tending = up_to(forecast.tending, 0, refusal.wind.speed_ms, float(forecast.times[-1]))
    return replace(forecast, tending=tending, followed=())


def without_rounds(forecast: Forecast | None) -> Forecast | None:
    """Return the forecast with no round at all, where they could not be tried."""
    if forecast is None:
        return None
    return replace(forecast, tending=Tending(within=forecast.tending.within), followed=())
