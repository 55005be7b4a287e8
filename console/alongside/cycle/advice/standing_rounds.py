"""The standing round against the wind of now: rounds that the ship would not stand are taken back at once,
wherever a forecast is shown."""

from dataclasses import replace

from alongside.cycle.advice.trial import Trial
from alongside.forecast.in_the_wind import SOON_S
from alongside.forecast.model import Forecast, Incurable, Tending
from alongside.forecast.rounds_into_the_wind import up_to


def stood_by(forecast: Forecast | None, trial: Trial) -> Forecast | None:
    """Return the forecast, its rounds taken back where the wind of now speaks against the next one, and the
    deeds that help where none cures likewise."""
    if forecast is None:
        return None
    return _rounds_stood_by(_helps_stood_by(forecast, trial), trial)


def _helps_stood_by(forecast: Forecast, trial: Trial) -> Forecast:
    now = float(trial.situation.time[0])

    def is_refused(cure: Incurable) -> bool:
        helps = cure.helps
        return (
            helps is not None
            and helps.at <= now + SOON_S
            and trial.refusal({cure.line: helps.pay_out_m}) is not None
        )

    cures = forecast.tending.cannot_cure
    if not any(cure.helps for cure in cures):
        return forecast
    stood = tuple(replace(cure, helps=None) if is_refused(cure) else cure for cure in cures)
    return replace(forecast, tending=replace(forecast.tending, cannot_cure=stood))


def _rounds_stood_by(forecast: Forecast, trial: Trial) -> Forecast:
    if not forecast.tending.rounds:
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
    return replace(forecast, tending=Tending(within=forecast.tending.within, untried=True), followed=())
