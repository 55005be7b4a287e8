"""The best arrangement for other programs; keys and units stand in the manual, page `outputs`."""

from alongside.forecast.other_lines.arrange import Arranged, Chosen
from alongside.forecast.other_lines.limits import rope_needed_m
from alongside.mechanics.holding import WeakSpot
from alongside.reports.instant_json import answer_object
from alongside.reports.one_more_json import spot_object
from alongside.stay.model import Line


def arranged_object(found: Arranged) -> dict[str, object]:
    """Return the plan and the best arrangement; null where there is none."""
    best = None
    if found.best is not None and found.best_holds is not None:
        best = _set(found, found.best, found.best_holds, found.best_outside)
    answer: dict[str, object] = {
        "plan": _set(found, found.plan, found.plan_holds, found.plan_outside),
        "best": best,
        "arrangements": found.count,
        "tried": found.tried,
        "proved": found.is_proved,
        "at_most_ms": found.at_most_ms,
    }
    return answer_object(found.instant, answer)


def _set(found: Arranged, chosen: Chosen, spot: WeakSpot, outside: int) -> dict[str, object]:
    options = zip(found.options.of_line, found.options.outside, chosen, strict=True)
    return {
        **spot_object(spot),
        "outside": outside,
        "lines": [_line(found, own[at], flags[at]) for own, flags, at in options],
    }


def _line(found: Arranged, line: Line, is_outside: bool) -> dict[str, object]:
    lead = found.places.lead(line.fairlead, line.bollard)
    return {
        "line": line.id,
        "role": line.role,
        "fairlead": line.fairlead,
        "bollard": line.bollard,
        "lead_deg": lead.ahead_deg,
        "down_deg": lead.down_deg,
        "outboard_m": lead.outboard_m,
        "rope_needed_m": rope_needed_m(found.places, line),
        "outside": is_outside,
    }
