"""What the page of the hours ahead says beside its time lines."""

import math
from collections.abc import Sequence

from alongside.alerts.model import Alert
from alongside.cycle.picture import Picture
from alongside.forecast.expected.wind_forecast import WindAt, standing
from alongside.forecast.model import Forecast, LimitAhead
from alongside.forecast.words import AheadWords, past_limits, titled
from alongside.screens.gauge_words import why_unknown
from alongside.stay.model import Display
from alongside.wording.figures import bearing, speed_text
from alongside.wording.marks import MARKS
from alongside.wording.safe import safe


def why_no_forecast(picture: Picture) -> str:
    """Return why there is nothing to show of the hours ahead; "" where there is."""
    forecast = picture.forecast
    if picture.forecast_hidden:
        return "hidden in this exercise"
    if forecast is not None:
        return forecast.reason
    if picture.stay.tide is None:
        return "no tide to expect in the stay file"
    unknown = why_unknown(picture)
    return "not calculated yet" if unknown == "not known" else unknown


def hour(time: float | None, display: Display, since: float) -> str:
    """Return hour and minute, with the day where it is another one than that of `since`; dashes for never."""
    if time is None or not math.isfinite(time):
        return "--:--"
    return AheadWords(display, since).clock(time)


def limit_words(limit: LimitAhead, display: Display, now: float) -> str:
    """Return mark and sentence of a limit to come."""
    return f"{MARKS[limit.stage]} {AheadWords(display, now).limit(limit)}"


def wind_words(forecast: Forecast, display: Display, now: float) -> list[str]:
    """Return the wind of the weather forecast that the look ahead goes by, with who entered it when; nothing
    where none was entered."""
    rows = standing(() if forecast.present is None else forecast.present.wind_forecast)
    ahead = [each for each in rows if each.at > now] or rows[-1:]
    words = AheadWords(display, now)
    return [
        f"Wind forecast by {safe(each.by)} {words.clock(each.entered)}: {_wind(each, display)} "
        f"at {words.clock(each.at)}"
        for each in ahead
    ]


def _wind(each: WindAt, display: Display) -> str:
    gusts = f", gusts {speed_text(each.gust_ms, display)}," if each.gust_ms > 0.0 else ""
    return f"{speed_text(each.mean_ms, display)}{gusts} from {bearing(each.from_deg)}"


def plan_words(forecast: Forecast, display: Display, now: float, alerts: Sequence[Alert] = ()) -> list[str]:
    """Return rounds, what cannot be cured, and how far the plan can be relied on, beside alerts of now."""
    over = past_limits(alerts, forecast.tending.within)
    return titled(AheadWords(display, now).tending(forecast, over))
