"""Section `wind_forecast:`, what weather forecasts say of the wind, each known from its issue on."""

from itertools import pairwise
from math import inf
from typing import Final

from alongside.stay.fields import TIME, choice, listed, number
from alongside.stay.model import ForecastInFile
from alongside.stay.nodes import Node
from alongside.stay.records import exactly_one, optional, record
from alongside.stay.wind_fields import gust_at_least, in_ms, wind_keys
from alongside.stay.wind_means import OVER, TEN_MINUTES

KN: Final = number("kn", least=0, most=145)
MS: Final = number("m/s", least=0, most=75)


def _forecast(
    at: float,
    from_deg: float,
    mean_ms: float | None = None,
    mean_kn: float = 0.0,
    gust_ms: float | None = None,
    gust_kn: float = 0.0,
    over: str = "10 min",
    issued: float = -inf,
) -> ForecastInFile:
    mean = in_ms(mean_ms, mean_kn) * OVER.get(over, TEN_MINUTES)
    return ForecastInFile(at, mean, in_ms(gust_ms, gust_kn), from_deg % 360.0, issued)


def _gust_above_mean(node: Node, forecast: ForecastInFile) -> None:
    if forecast.gust_ms > 0.0:
        gust_at_least(node, forecast.gust_ms, forecast.mean_ms / TEN_MINUTES)


def _rising_in_each(node: Node, rows: tuple[ForecastInFile, ...]) -> None:
    """Rows of one forecast are in order of time, and forecasts in the order in which they were issued."""
    for place, (before, after) in enumerate(pairwise(rows), start=1):
        if after.issued < before.issued:
            node[place].fault("issued before the row before it", "forecasts in the order of their issue")
        elif after.issued == before.issued and after.at <= before.at:
            node[place].fault("time does not rise", "later than the row before it")


WIND_FORECAST: Final = listed(
    record(
        _forecast,
        exactly_one("mean_ms", "mean_kn"),
        _gust_above_mean,
        **wind_keys(MS, KN),
        over=optional(choice(*OVER)),
        issued=optional(TIME),
    ),
    _rising_in_each,
    least=1,
)
