"""Times as answers tell them."""

from datetime import datetime, tzinfo
from math import isfinite

from alongside.stay.model import Display
from alongside.wording.zone import zone_of


class Clock:
    """Times of an outlook in the stay's zone: hour and minute, with the date where it is another day."""

    def __init__(self, display: Display, begin: float) -> None:
        self._zone: tzinfo = zone_of(display)
        self._day = datetime.fromtimestamp(begin, self._zone).date()

    def __call__(self, time: float | None) -> str:
        if time is None:
            return "may not"
        if not isfinite(time):
            return "—"
        local = datetime.fromtimestamp(time, self._zone)
        return f"{local:%H:%M}" if local.date() == self._day else f"{local:%d %b %H:%M}"

    def whole(self, time: float) -> str:
        return f"{datetime.fromtimestamp(time, self._zone):%Y-%m-%d %H:%M %z}"
