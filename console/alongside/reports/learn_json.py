"""What measured loads show, for other programs; keys and units stand in the manual, page `outputs`."""

from collections.abc import Sequence
from typing import Any

from alongside.forecast.learning.line_found import LineFound, Spread
from alongside.forecast.learning.then import LineThen, Then
from alongside.forecast.learning_words import grade_words
from alongside.reports.what_if_json import number_or_null
from alongside.units import iso_time


def learn_object(time: float, found: Sequence[LineFound], then: Then | None) -> dict[str, object]:
    """Return what was found of each line at the end of what was measured, UNIX s."""
    return {
        "time": iso_time(time),
        "lines": [_line(each, then) for each in found],
        "holds_ms": None if then is None else [number_or_null(each) for each in then.holds_ms],
    }


def _line(found: LineFound, then: Then | None) -> dict[str, Any]:
    before = None if then is None or found.learnt is None else _then(then.before[found.line])
    after = None if then is None or found.learnt is None else _then(then.after[found.line])
    learnt = found.learnt
    return {
        "id": found.line,
        "finding": found.finding,
        "why": found.why,
        "grade": grade_words(found),
        "cell_readings": found.cells,
        "hand_readings": found.by_hand,
        "outliers": found.outliers,
        "left_out": [{"why": why, "readings": number} for why, number in found.left_out],
        "hours": found.hours,
        "measured_kn": number_or_null(found.measured_kn),
        "computed_kn": number_or_null(found.computed_kn),
        "explained_kn": number_or_null(found.then_kn),
        "left_over_kn": number_or_null(found.left_kn),
        "stiffness": _spread(found.stiffness),
        "more_m": _spread(found.more_m),
        "cell_fault": None if found.cell is None else {"of": found.cell[0], "figure": found.cell[1]},
        "rivals": [{"of": name, "figure": number_or_null(figure)} for name, figure in found.rivals],
        "offered": None
        if learnt is None
        else {
            "stiffness": learnt.stiffness,
            "stiffness_band": learnt.stiffness_band,
            "more_m": learnt.more_m,
            "at_kn": learnt.at_kn,
            "load_band": learnt.load_band,
            "longer_m": found.longer_m,
        },
        "now": before,
        "then": after,
    }


def _spread(spread: Spread) -> dict[str, float | None]:
    low, high = spread.ends
    return {"value": number_or_null(spread.value), "low": number_or_null(low), "high": number_or_null(high)}


def _then(line: LineThen) -> dict[str, float | None]:
    low, high = line.likely_kn
    return {
        "tension_kn": number_or_null(line.tension_kn),
        "likely_low_kn": number_or_null(low),
        "likely_high_kn": number_or_null(high),
        "load_share": number_or_null(line.load_share),
        "stretch_share": number_or_null(line.stretch_share),
    }
