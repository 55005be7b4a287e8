"""One more line for other programs; keys and units stand in the manual, page `outputs`."""

from collections.abc import Iterable

from alongside.forecast.other_lines.cost import Cost, Rounds, Share
from alongside.forecast.other_lines.one_more import OneMore, Option
from alongside.mechanics.holding import WeakSpot
from alongside.reports.what_if_json import number_or_null
from alongside.units import iso_time


def one_more_object(found: OneMore) -> dict[str, object]:
    """Return the answer; not known is null."""
    blow = found.blow
    return {
        "time": iso_time(found.time),
        "aim": found.aim,
        **_held(found.weakest, found.forecast_ms, found.rounds),
        "forecast": None
        if blow is None
        else {"wind_ms": blow.ms, "wind_from_deg": blow.from_deg, "time": iso_time(blow.at)},
        "options": [_option(each) for each in found.options],
        "tried": found.tried,
        "left_out": [
            {"reason": reason, "leads": count} for reason, count in sorted(found.left_out.items()) if count
        ],
    }


def _held(spot: WeakSpot, forecast_ms: float, rounds: Rounds | None) -> dict[str, object]:
    return {
        "holds_ms": spot.holds_ms,
        "from_deg": spot.from_deg,
        "gives": spot.gives,
        "where": spot.where,
        "forecast_holds_ms": number_or_null(forecast_ms),
        "rounds": None
        if rounds is None
        else {
            "hours": rounds.hours,
            "rounds": rounds.rounds,
            "lines_tended": rounds.lines_tended,
            "not_cured": list(rounds.not_cured),
        },
    }


def _option(option: Option) -> dict[str, object]:
    line = option.line
    return {
        "line": line.id,
        "role": line.role,
        "fairlead": line.fairlead,
        "winch": line.winch,
        "bollard": line.bollard,
        "rope": line.rope.name,
        "tail_m": None if line.tail is None else line.tail.length,
        "tension_kn": line.made_fast.tension_kn,
        "lead_deg": option.lead.ahead_deg,
        "down_deg": option.lead.down_deg,
        "outboard_m": option.lead.outboard_m,
        "rope_needed_m": option.needs_m,
        "unstretched_m": option.length_m,
        **_held(option.weakest, option.forecast_ms, option.rounds),
        "now": _cost(option.now),
        "at_limit": _cost(option.at_limit),
    }


def _cost(cost: Cost) -> dict[str, object]:
    return {"lines": _shares(cost.lines), "bollards": _shares(cost.bollards)}


def _shares(shares: Iterable[Share]) -> list[dict[str, object]]:
    return [
        {"name": each.name, "before": number_or_null(each.before), "after": number_or_null(each.after)}
        for each in shares
    ]
