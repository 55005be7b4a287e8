"""Two stays side by side for other programs; keys and units stand in the manual, page `outputs`."""

from alongside.mechanics.holding_search import CAP_MS
from alongside.reports.compared_figures import Extreme, Held, SideFigures, figures_of
from alongside.reports.compared_sides import Side
from alongside.reports.comparison_verdict import judgement
from alongside.reports.what_if_json import number_or_null
from alongside.units import iso_time


def comparison_object(one: Side, other: Side) -> dict[str, object]:
    """Return which of two holds her worse, and the figures of both; not known is null."""
    figures = figures_of((one, other))
    judged = judgement(figures[0], figures[1], one.basis.stay.display)
    return {
        "time": iso_time(one.forecast.time),
        "until": iso_time(float(one.forecast.times[-1])),
        "verdict": judged.word,
        "worse": None if judged.worse is None else figures[judged.worse].file,
        "sentence": judged.sentence,
        "stays": [_side(each) for each in figures],
    }


def _side(side: SideFigures) -> dict[str, object]:
    warning = side.first_warning
    return {
        "file": side.file,
        "name": side.name,
        "lines": list(side.lines),
        "breasts": list(side.breasts),
        "why_not_held": side.why_not or None,
        "square_off": _held(side.square_off),
        "weakest": _held(side.weakest),
        "contact_ms": None if side.contact is None else _below_cap(side.contact.ms),
        "contact_from_deg": None if side.contact is None else side.contact.from_deg,
        "would_part": [{"line": line, "time": iso_time(time)} for line, time in side.would_part],
        "hangs_slack": [{"line": line, "time": iso_time(time)} for line, time in side.slack],
        "rounds": side.rounds,
        "moves": side.moves,
        "cannot_cure": list(side.incurable),
        "first_warning": None
        if warning is None or warning.expected is None
        else {
            "cause": warning.cause,
            "subject": warning.subject,
            "line": warning.line,
            "time": iso_time(warning.expected),
        },
        "highest_stretch_share": _extreme(side.stretch),
        "highest_load_share": _extreme(side.load),
        "steepest_deg": _extreme(side.steepest),
        "least_under_keel_m": _extreme(side.under_keel),
        "plan": [
            {
                "path": note.path,
                "text": note.text,
                "source": note.source.name or None,
                "grade": note.source.grade,
            }
            for note in side.notes
        ],
        "without": [{"line": line, "why": why} for line, why in side.not_known],
    }


def _held(held: Held | None) -> dict[str, object] | None:
    if held is None:
        return None
    return {
        "holds_ms": number_or_null(held.ms),
        "from_deg": held.from_deg,
        "gives_first": held.gives,
        "where": held.where,
        "drift_m": number_or_null(held.drift_m),
    }


def _below_cap(ms: float) -> float | None:
    return None if ms >= CAP_MS else number_or_null(ms)


def _extreme(extreme: Extreme | None) -> dict[str, object] | None:
    if extreme is None:
        return None
    return {
        "value": number_or_null(extreme.value),
        "line": extreme.line or None,
        "time": iso_time(extreme.time),
    }
