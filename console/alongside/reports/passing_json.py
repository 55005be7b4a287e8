"""A ship that passes for other programs; keys and units stand in the manual, page `outputs`."""

from alongside.forecast.ship_passes import Passed
from alongside.reports.what_if_json import number_or_null
from alongside.units import iso_time


def passing_object(passed: Passed, time: float) -> dict[str, object]:
    """Return what she does at a time, UNIX s; not known is null."""
    ship = passed.ship
    return {
        "time": iso_time(time),
        "ship": {
            "length": ship.length,
            "breadth": ship.breadth,
            "draught": ship.draught,
            "distance_m": ship.distance_m,
            "speed_ms": ship.speed_ms,
            "depth_m": passed.depth_m,
        },
        "pull_along_kn": passed.pull_kn[0],
        "pull_off_kn": passed.pull_kn[1],
        "pull_on_kn": passed.pull_kn[2],
        "share_before": number_or_null(passed.still_share),
        "share_half": number_or_null(passed.share[0]),
        "share": number_or_null(passed.share[1]),
        "share_twice": number_or_null(passed.share[2]),
        "gives_first": passed.gives,
        "where": passed.where or None,
        "surge_m": number_or_null(passed.moved_m[0]),
        "sway_m": number_or_null(passed.moved_m[1]),
        "off_fenders": passed.off_fenders,
        "ask_ms": passed.ask_ms,
        "on_fenders_ms": passed.on_fenders_ms,
        "lines": [
            {
                "id": line.line,
                "before_kn": number_or_null(line.still_kn),
                "half_kn": number_or_null(line.peak_kn[0]),
                "peak_kn": number_or_null(line.peak_kn[1]),
                "twice_kn": number_or_null(line.peak_kn[2]),
                "ahead_m": number_or_null(line.ahead_m),
                "limit_kn": number_or_null(line.limit_kn),
            }
            for line in passed.lines
        ],
    }
