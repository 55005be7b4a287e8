"""A ship that passes for other programs; keys and units stand in the manual, page `outputs`."""

from alongside.forecast.instant_words import Instant
from alongside.forecast.pass_tried import Highest
from alongside.forecast.peak_seen import ByPeak
from alongside.forecast.ship_passes import Passed, speed_asked
from alongside.reports.instant_json import answer_object
from alongside.reports.what_if_json import number_or_null


def passing_object(passed: Passed, instant: Instant) -> dict[str, object]:
    """Return what she does at an instant; not known is null."""
    ship, asked = passed.ship, speed_asked(passed)
    answer: dict[str, object] = {
        "ship": {
            "length": ship.length,
            "breadth": ship.breadth,
            "draught": ship.draught,
            "distance_m": ship.distance_m,
            "speed_ms": ship.speed_ms,
            "depth_m": passed.depth_m,
        },
        "range_ms": number_or_null(passed.range_ms),
        "known": passed.is_known,
        **_pull("", passed.pull_kn),
        **_pull("least_", passed.at_least_kn),
        "share_before": number_or_null(passed.still_share),
        "share_half": number_or_null(passed.share[0]),
        "share": number_or_null(passed.share[1]),
        "share_twice": number_or_null(passed.share[2]),
        "gives_first": passed.gives or None,
        "where": passed.where or None,
        "surge_m": number_or_null(passed.moved_m[0]),
        "sway_m": number_or_null(passed.moved_m[1]),
        "off_fenders": passed.off_fenders if passed.is_known else None,
        "ask_ms": asked.ms,
        "ask_because": asked.because,
        **_highest(passed.lines, passed.fenders),
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
            for line in passed.loads
        ],
        "by_peak": None if passed.by_peak is None else _by_peak(passed.by_peak),
    }
    return answer_object(instant, answer)


def _pull(which: str, pull_kn: tuple[float, float, float]) -> dict[str, object]:
    ways = zip(("along", "off", "on"), pull_kn, strict=True)
    return {f"pull_{which}{way}_kn": number_or_null(each) for way, each in ways}


def _highest(lines: Highest | None, fenders: Highest | None) -> dict[str, object]:
    known = lines or Highest(None)
    return {
        "lines_ms": known.ms,
        "lines_give": known.gives or None,
        "lines_where": known.where or None,
        "on_fenders_ms": None if fenders is None else fenders.ms,
    }


def _by_peak(peak: ByPeak) -> dict[str, object]:
    return {
        "line": peak.seen.line,
        "before_kn": peak.seen.still_kn,
        "peak_kn": peak.seen.peak_kn,
        "seen_ms": peak.seen.speed_ms,
        "next_kn": number_or_null(peak.next_kn),
        "line_ms": number_or_null(peak.line_ms),
        "times_computed": number_or_null(peak.times),
        **_highest(peak.lines, peak.fenders),
        "only_that_line": peak.why_alone or None,
    }
