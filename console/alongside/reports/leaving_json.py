"""Letting go line by line for other programs; keys and units stand in the manual, page `outputs`."""

from collections.abc import Sequence

from alongside.forecast.instant_words import Instant
from alongside.forecast.letting_go import Left, Step, stations_of
from alongside.reports.instant_json import answer_object
from alongside.reports.what_if_json import number_or_null
from alongside.stay.model import Stay


def leaving_object(stay: Stay, instant: Instant, now: Left, steps: Sequence[Step]) -> dict[str, object]:
    """Return what holds her at an instant, and the steps; infinite and not known are null."""
    stations = stations_of(stay)
    answer: dict[str, object] = {
        "all_fast": _left(now),
        "steps": [
            {
                "line": step.line,
                "station": stations[step.line],
                "load_kn": number_or_null(step.load_kn),
                "lines_left": list(step.lines_left),
                "singled_up": step.singled_up,
                **_left(step.left),
            }
            for step in steps
        ],
    }
    return answer_object(instant, answer)


def _left(left: Left) -> dict[str, object]:
    return {
        "holds_ms": number_or_null(left.holds_ms),
        "from_deg": number_or_null(left.from_deg),
        "share_now": number_or_null(left.share),
        "gives_now": left.gives or None,
        "where": left.where or None,
        "on_fenders": left.on_fenders,
    }
