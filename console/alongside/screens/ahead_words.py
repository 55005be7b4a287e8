"""What the page of the hours ahead says beside its time lines."""

import math
from collections.abc import Sequence
from typing import Final

from alongside.alerts.model import Alert
from alongside.cycle.gauge_words import why_unknown
from alongside.cycle.picture import Picture
from alongside.forecast.model import Forecast, LimitAhead
from alongside.forecast.words import AheadWords, past_limits, titled
from alongside.mechanics.reasons import REASONS, NoAnswer
from alongside.stay.model import Display
from alongside.wording.marks import MARKS

READ_INSTEAD: Final = {
    REASONS[NoAnswer.TIDE_UNKNOWN]: "read the tide board",
    REASONS[NoAnswer.DRAUGHT_UNKNOWN]: "read the draughts",
    REASONS[NoAnswer.HEEL_UNKNOWN]: "read the heel",
}
"""What stands in for a gauge that has said nothing, by why nothing is known."""


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


def enough(picture: Picture) -> str:
    """Return which reading by hand gives the hours ahead where a gauge has said nothing; "" where none does,
    or nobody can enter it."""
    if picture.look_only or picture.replay or picture.forecast is None:
        return ""
    what = READ_INSTEAD.get(picture.forecast.reason)
    return f"Enough for them: {what} by hand (r)." if what else ""


def hour(time: float | None, display: Display, since: float) -> str:
    """Return hour and minute, with the day where it is another one than that of `since`; dashes for never."""
    if time is None or not math.isfinite(time):
        return "--:--"
    return AheadWords(display, since).clock(time)


def limit_words(limit: LimitAhead, display: Display, now: float) -> str:
    """Return mark and sentence of a limit to come."""
    return f"{MARKS[limit.stage]} {AheadWords(display, now).limit(limit)}"


def plan_words(forecast: Forecast, display: Display, now: float, alerts: Sequence[Alert] = ()) -> list[str]:
    """Return rounds, what cannot be cured, and how far the plan can be relied on, beside alerts of now."""
    over = past_limits(alerts, forecast.tending.within)
    return titled(AheadWords(display, now).tending(forecast, over))
