"""Section `wind_forecast:`, what weather forecasts say of the wind, each known from its issue on."""

from itertools import pairwise
from math import inf
from typing import Final

from alongside.stay.fields import TIME, choice, listed, number
from alongside.stay.model import ForecastInFile
from alongside.stay.nodes import Node
from alongside.stay.records import exactly_one, optional, record, required
from alongside.stay.wind_means import OVER, TEN_MINUTES
from alongside.units import KNOT

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
    mean = (mean_kn * KNOT if mean_ms is None else mean_ms) * OVER.get(over, TEN_MINUTES)
    return ForecastInFile(at, mean, gust_kn * KNOT if gust_ms is None else gust_ms, from_deg % 360.0, issued)


def _gust_above_mean(node: Node, forecast: ForecastInFile) -> None:
    if 0.0 < forecast.gust_ms < forecast.mean_ms / TEN_MINUTES - 1e-9:
        given = "gust_ms" if "gust_ms" in node else "gust_kn"
        node[given].fault("a gust below the mean wind", f"at least {forecast.mean_ms / TEN_MINUTES:.4g} m/s")


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
        at=required(TIME),
        mean_kn=optional(KN),
        mean_ms=optional(MS),
        gust_kn=optional(KN),
        gust_ms=optional(MS),
        over=optional(choice(*OVER)),
        from_deg=required(number("deg", least=0, most=360)),
        issued=optional(TIME),
    ),
    _rising_in_each,
    least=1,
)
