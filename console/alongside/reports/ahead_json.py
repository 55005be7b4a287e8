"""A forecast for other programs; its fields and units stand in the manual, page `ahead`."""

from math import isfinite
from typing import Final

from alongside.forecast.instant_words import Instant
from alongside.forecast.model import Forecast, LimitAhead, MoveAhead, PartialDeed
from alongside.forecast.what_if.answer import WhatIf
from alongside.reports.instant_json import answer_object
from alongside.reports.what_if_json import number_or_null, what_if_object
from alongside.units import iso_time

FORMAT: Final = 1


def ahead_object(forecast: Forecast, other: WhatIf | None = None) -> dict[str, object]:
    """Return a forecast as JSON has it, with a what-if beside it; what is not known, or may not occur, is
    null."""
    answer = _forecast(forecast)
    if forecast.present is not None:
        answer = answer_object(Instant.of(forecast.lines, forecast.present), answer)
    whole = {"format": FORMAT, **answer}
    if other is not None:
        changed = other.changed
        whole["what_if"] = {**what_if_object(other), **({} if changed is None else _forecast(changed))}
    return whole


def _forecast(forecast: Forecast) -> dict[str, object]:
    return {
        "time": iso_time(forecast.time),
        "samples": _samples(forecast),
        "lines": [
            {
                "id": line,
                "limits": [_limit(limit) for limit in forecast.limits_of(line)],
                "why": dict(forecast.without).get(line),
            }
            for line in forecast.lines
        ],
        "ship": [
            {"subject": limit.subject, **_limit(limit), **_weak(limit)}
            for limit in forecast.limits
            if limit.line is None
        ],
        "rounds": [
            {
                "not_before": iso_time(each.not_before),
                "latest": iso_time(each.latest),
                "moves": [_move(move) for move in each.moves],
                "lengths_from": iso_time(each.lengths_from),
                "serves_until": iso_time(each.serves_until),
                "takes_s": number_or_null(each.duration_s),
                "overdue": each.overdue,
                "holds_before_ms": number_or_null(each.holds_before_ms),
                "holds_after_ms": number_or_null(each.holds_after_ms),
                "holds": number_or_null(each.holds),
                "is_plan": each.is_sure,
            }
            for each in forecast.tending.rounds
        ],
        "cannot_cure": [
            {
                "line": each.line,
                "time": iso_time(each.time),
                "missing_m": number_or_null(each.missing_m),
                "why": each.why,
                "helps": _helps(each.helps),
            }
            for each in forecast.tending.cannot_cure
        ],
        "with_rounds": [{"subject": limit.subject, **_limit(limit)} for limit in forecast.followed],
        "choices": [
            {"rounds": choice.rounds, "margin_m": number_or_null(choice.margin_m)}
            for choice in forecast.tending.choices
        ],
        "known_until": iso_time(forecast.known_until) if isfinite(forecast.known_until) else None,
        "waits_for": forecast.tending.waits_for or None,
        "winches": list(forecast.tending.winches),
        "verified": forecast.tending.verified,
        "is_fewest": forecast.tending.is_fewest,
        "rounds_by_table": forecast.tending.rounds_by_table,
        "holds": number_or_null(forecast.tending.holds),
        "members": forecast.members,
        "notes": list(forecast.notes),
    }


def _helps(deed: PartialDeed | None) -> dict[str, object] | None:
    """Return the deed that helps what no tending cures; None where none does."""
    if deed is None:
        return None
    return {
        "pay_out_m": number_or_null(deed.pay_out_m),
        "time": iso_time(deed.at),
        "undone_at": iso_time(deed.undone_at) if isfinite(deed.undone_at) else None,
        "cause": deed.cause,
        "share": number_or_null(deed.share),
        "share_at": iso_time(deed.share_at),
        "share_without": number_or_null(deed.share_without),
        "limit": number_or_null(deed.limit),
    }


def _move(move: MoveAhead) -> dict[str, object]:
    by_time = [{"time": iso_time(time), "pay_out_m": number_or_null(metres)} for time, metres in move.by_time]
    return {"line": move.line, "pay_out_m": number_or_null(move.pay_out_m), "by_time": by_time}


def _samples(forecast: Forecast) -> list[dict[str, object]]:
    samples: list[dict[str, object]] = []
    for row, time in enumerate(forecast.times):
        sample: dict[str, object] = {"time": iso_time(float(time))}
        for name in ("tide", "draught_fwd", "draught_aft"):
            spread = getattr(forecast, name)
            sample[name] = number_or_null(spread.expected[row])
            sample[f"{name}_low"], sample[f"{name}_high"] = (
                number_or_null(spread.low[row]),
                number_or_null(spread.high[row]),
            )
        samples.append(sample)
    return samples


def _limit(limit: LimitAhead) -> dict[str, object]:
    return {
        "cause": limit.cause,
        "stage": limit.stage.word,
        "not_before": iso_time(limit.not_before),
        "expected": None if limit.expected is None else iso_time(limit.expected),
        "no_later": None if limit.no_later is None else iso_time(limit.no_later),
    }


def _weak(limit: LimitAhead) -> dict[str, object]:
    """Return what gives first, of a limit of holding, and the line or bollard it is."""
    if limit.cause != "holding":
        return {}
    return {"gives_first": limit.weak.gives, "where": limit.weak.where}
