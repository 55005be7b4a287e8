"""The wind forecast that was known in a stay, typed rows and all, as issues of a stay file."""

from alongside.actions import Action
from alongside.forecast.expected.wind_forecast import WindForecast, forecast_after, known_forecast, standing
from alongside.stay.model import ForecastInFile
from alongside.training.from_stay.source import Source


def issues_of(source: Source, until: float) -> tuple[ForecastInFile, ...]:
    """Return what stood each time that something was entered up to a time, UNIX s, or the stay file had a new
    issue: all of it as an issue of then, so that it stands in the place of those before. Empty where nothing
    was typed: then the stay file says it."""
    typed: WindForecast = () if source.memory is None else source.memory.wind_forecast
    entered = source.acted(source.since, until)
    steps: list[tuple[float, list[Action]]] = [(source.since, []), *entered] if typed else list(entered)
    known, times = dict[float, WindForecast](), {each.issued for each in source.stay.wind_forecast}
    for at, actions in steps:
        after = forecast_after(typed, actions, at)
        if after != typed or not actions:
            known[at] = after
        typed = after
    if not known:
        return ()
    rows: list[ForecastInFile] = []
    for at in sorted({*known, *(each for each in times if min(known) < each <= until)}):
        last = known[max(each for each in known if each <= at)]
        rows += [
            ForecastInFile(each.at, each.mean_ms, each.gust_ms, each.from_deg, at)
            for each in standing(known_forecast(source.stay, last, at))
        ]
    return tuple(rows)
