"""Times to decide by for other programs; fields and units stand in the manual, page `outputs`."""

from math import isfinite
from typing import Final

from alongside.forecast.decided import DecideRow, Decisions, LimitToCome
from alongside.reports.what_if_json import number_or_null
from alongside.units import iso_time

FORMAT: Final = 1


def decide_object(decisions: Decisions) -> dict[str, object]:
    """Return times to decide by as JSON has them; what is not known, or does not occur, is null."""
    return {
        "format": FORMAT,
        "time": iso_time(decisions.time),
        "orders": [_order(row, decisions.time) for row in decisions.rows],
        "limits": [_limit(limit) for limit in decisions.limits],
        "until": iso_time(decisions.until),
        "cases": decisions.members,
        "with_transfer": decisions.connected,
        "transfer_changes": [iso_time(each) for each in decisions.turns],
        "forecast_until": _time(decisions.forecast_until),
        "holds": [{"time": iso_time(at), "holds_ms": number_or_null(ms)} for at, ms in decisions.holds],
        "wind": [
            {
                "time": iso_time(at),
                "wind_ms": number_or_null(ms),
                "wind_from_deg": number_or_null(come_from),
                "wind_ms_high": number_or_null(high),
            }
            for at, ms, come_from, high in decisions.wind
        ],
        "why_not_held": decisions.why_not_held or None,
        "not_given": list(decisions.not_given),
        "notes": list(decisions.notes),
    }


def _order(row: DecideRow, now: float) -> dict[str, object]:
    by = row.by
    return {
        "order": row.order,
        "by": _time(by),
        "lead_s": number_or_null(row.lead_s),
        "lead_not_given": list(row.lacking),
        "late_s": number_or_null(row.late_s(now)) if by < now else None,
        **_limit(row.limit),
    }


def _limit(limit: LimitToCome) -> dict[str, object]:
    agreed = limit.agreed
    return {
        "calls_for": limit.do,
        "limit": "lines" if agreed is None else "gust" if agreed.gust else "mean",
        "limit_ms": number_or_null(limit.limit_ms),
        "sector": None if agreed is None or agreed.sector is None else list(agreed.sector),
        "gives": limit.gives or None,
        "with_transfer": limit.with_transfer,
        "first": _time(limit.first),
        "expected": _time(limit.expected),
        "chance": number_or_null(limit.chance),
        "peak_ms": number_or_null(limit.peak_ms),
        "peak_from_deg": number_or_null(limit.peak_from_deg),
        "peak_time": _time(limit.peak_at),
        "high_ms": number_or_null(limit.high_ms),
        "high_limit_ms": number_or_null(limit.high_limit_ms),
    }


def _time(time: float) -> str | None:
    return iso_time(time) if isfinite(time) else None
