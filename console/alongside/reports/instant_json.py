"""For which moment, and in which wind, a question was answered, for other programs; keys and units stand in
the manual, page `outputs`."""

from alongside.forecast.instant_words import Instant
from alongside.reports.what_if_json import number_or_null
from alongside.units import iso_time


def instant_object(instant: Instant) -> dict[str, object]:
    """Return time, whether by the plan, and the wind; not known is null, a calm has no direction."""
    calm = instant.wind_speed <= 0.0
    return {
        "time": iso_time(instant.time),
        "by": "plan" if instant.planned else "log",
        "wind_ms": number_or_null(instant.wind_speed),
        "wind_from_deg": None if calm else number_or_null(instant.wind_from),
    }
