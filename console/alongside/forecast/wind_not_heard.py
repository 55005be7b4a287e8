"""That no wind is heard, and from when on a forecast says what blows, in words."""

from math import isnan

from alongside.forecast.expected.wind import has_heard_wind, mean_wind, standing_in
from alongside.forecast.expected.wind_forecast import around_now
from alongside.forecast.present import Present
from alongside.wording.times import DayClock


def not_heard(present: Present, clock: DayClock) -> list[str]:
    """Return what stands for wind that no gauge gives, one row; none where it is measured, or where nothing
    is forecast."""
    before, ahead = around_now(present.wind_forecast, present.time)
    first, _, come_from = standing_in(present)
    if not isnan(mean_wind(present)[0]):
        if first is None or not come_from:
            return []
        return [
            f"wind direction before {clock(first.at)} not known: taken as it is forecast for then; "
            "enter that of now"
        ]
    if not ahead:
        return []
    begins = "" if before is not None else f" from {clock(ahead[0].at)} on, nothing is known before"
    what = "wind not known" if present.planned else "wind not heard"
    yet = "" if present.planned or has_heard_wind(present) else " yet"
    return [f"{what}{yet}: by the forecast{begins}; enter that of now"]
