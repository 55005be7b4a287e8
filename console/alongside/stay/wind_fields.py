"""A wind in a stay file: its mean and its gust in m/s or in knots, and where it comes from."""

from alongside.stay.fields import TIME, Field, number
from alongside.stay.nodes import Node
from alongside.stay.records import Key, optional, required
from alongside.units import KNOT


def wind_keys(ms: Field[float], kn: Field[float]) -> dict[str, Key]:
    """Return the keys of a wind from a time on, its speeds read by `ms` or `kn`."""
    return {
        "at": required(TIME),
        "mean_ms": optional(ms),
        "mean_kn": optional(kn),
        "gust_ms": optional(ms),
        "gust_kn": optional(kn),
        "from_deg": required(number("deg", least=0, most=360)),
    }


def in_ms(ms: float | None, kn: float | None) -> float:
    """Return a speed that is given in one of both, m/s; 0 where in neither."""
    return (kn or 0.0) * KNOT if ms is None else ms


def gust_at_least(node: Node, gust_ms: float, mean_ms: float) -> None:
    """Fault a gust that is below the mean wind, m/s, by the key that gives it."""
    if gust_ms < mean_ms - 1e-9:
        given = "gust_ms" if "gust_ms" in node else "gust_kn"
        node[given].fault("a gust below the mean wind", f"at least {mean_ms:.4g} m/s")
