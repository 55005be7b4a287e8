"""For which moment, and in which wind, a question was answered, and what the answer leaves open, for other
programs; keys and units stand in the manual, page `outputs`."""

from alongside.forecast.instant_words import Instant
from alongside.reports.what_if_json import number_or_null
from alongside.units import iso_time


def answer_object(instant: Instant, answer: dict[str, object]) -> dict[str, object]:
    """Return an answer between its time and what else is to be known of that moment: whether by the plan, the
    wind, what is open; not known is null, a calm has no direction. The time and the first key of an answer
    are those by which an earlier one is known (`reports/replaceable.py`)."""
    calm = instant.wind_speed <= 0.0
    return {
        "time": iso_time(instant.time),
        **answer,
        "by": "plan" if instant.planned else "log",
        "wind_ms": number_or_null(instant.wind_speed),
        "wind_from_deg": None if calm else number_or_null(instant.wind_from),
        "as_if_brakes_held": list(instant.brakes),
        "without": [line for line, _ in instant.without],
    }
