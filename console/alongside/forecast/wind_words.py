"""The wind of a weather forecast that a look ahead goes by, in words."""

from alongside.forecast.expected.wind_forecast import standing
from alongside.forecast.model import Forecast
from alongside.forecast.words import AheadWords
from alongside.stay.model import Display
from alongside.wording.by_hand import forecast_words
from alongside.wording.safe import safe


def wind_words(forecast: Forecast, display: Display, now: float) -> list[str]:
    """Return the forecasts of the hours to come, with who entered each when; the last where all are past, and
    nothing where none was entered. Figures are 30 s means, which a weather forecast's own are not: it is
    said, for who reads both."""
    rows = standing(() if forecast.present is None else forecast.present.wind_forecast)
    ahead = [each for each in rows if each.at > now] or rows[-1:]
    words = AheadWords(display, now)
    return [
        f"Wind forecast{f' by {safe(each.by)}' if each.by else ''} {words.clock(each.entered)}: "
        f"{forecast_words(each.mean_ms, each.gust_ms, each.from_deg, display)} at {words.clock(each.at)}, "
        "30 s mean"
        for each in ahead
    ]
