"""One more line for other programs; keys and units stand in the manual, page `outputs`."""

from collections.abc import Iterable, Mapping

from alongside.forecast.instant_words import Instant
from alongside.forecast.other_lines.cost import Cost, Rounds, Share
from alongside.forecast.other_lines.one_more import OneMore, Option
from alongside.mechanics.holding import WeakSpot
from alongside.reports.instant_json import answer_object
from alongside.reports.what_if_json import number_or_null
from alongside.units import iso_time


def one_more_object(found: OneMore, instant: Instant) -> dict[str, object]:
    """Return the answer for an instant; not known is null."""
    blow = found.blow
    answer: dict[str, object] = {
        "aim": found.aim,
        **held_object(found.weakest, found.rounds),
        "forecast_holds_ms": number_or_null(found.forecast_ms),
        "forecast": None
        if blow is None
        else {"wind_ms": blow.ms, "wind_from_deg": blow.from_deg, "time": iso_time(blow.at)},
        "options": [_option(each) for each in found.options],
        "tried": found.tried,
        "left_out": left_out_list(found.left_out),
    }
    return answer_object(instant, answer)


def left_out_list(left_out: Mapping[str, int]) -> list[dict[str, object]]:
    """Return what stands against leads, and how many it leaves out."""
    return [{"reason": reason, "leads": count} for reason, count in sorted(left_out.items()) if count]


def spot_object(spot: WeakSpot) -> dict[str, object]:
    """Return what is held from the weakest direction, and what gives first there."""
    return {
        "holds_ms": spot.holds_ms,
        "from_deg": spot.from_deg,
        "gives": spot.gives,
        "where": spot.where,
    }


def held_object(spot: WeakSpot, rounds: Rounds | None) -> dict[str, object]:
    """Return what is held from the weakest direction, and the rounds."""
    return {
        **spot_object(spot),
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
        **held_object(option.weakest, option.rounds),
        "forecast_holds_ms": number_or_null(option.forecast_ms),
        "now": cost_object(option.now),
        "at_limit": cost_object(option.at_limit),
    }


def cost_object(cost: Cost) -> dict[str, object]:
    """Return the shares of lines and bollards, before and after."""
    return {"lines": _shares(cost.lines), "bollards": _shares(cost.bollards)}


def _shares(shares: Iterable[Share]) -> list[dict[str, object]]:
    return [
        {"name": each.name, "before": number_or_null(each.before), "after": number_or_null(each.after)}
        for each in shares
    ]
