"""Lines led to farther bollards for other programs; keys and units stand in the manual, page `outputs`."""

from alongside.forecast.instant_words import Instant
from alongside.forecast.other_lines.farther import RISE_M, Farther, Move
from alongside.reports.instant_json import answer_object
from alongside.reports.one_more_json import cost_object, held_object, left_out_list


def farther_object(found: Farther, instant: Instant) -> dict[str, object]:
    """Return the answer for an instant; not known is null."""
    answer: dict[str, object] = {
        **held_object(found.weakest, found.rounds),
        "moves": [_move(each) for each in found.moves],
        "tried": found.tried,
        "left_out": left_out_list(found.left_out),
    }
    return answer_object(instant, answer)


def _move(move: Move) -> dict[str, object]:
    (was, then), (rise_before, rise_after) = move.lead, move.rise_m
    return {
        "line": move.line.id,
        "role": move.line.role,
        "fairlead": move.line.fairlead,
        "from_bollard": move.was.bollard,
        "bollard": move.line.bollard,
        "tension_kn": move.line.made_fast.tension_kn,
        "rise_before_m": None if rise_before >= RISE_M else rise_before,
        "rise_after_m": None if rise_after >= RISE_M else rise_after,
        "down_before_deg": was.down_deg,
        "down_after_deg": then.down_deg,
        "lead_deg": then.ahead_deg,
        "outboard_before_m": was.outboard_m,
        "outboard_after_m": then.outboard_m,
        "rope_needed_m": move.needs_m,
        "unstretched_m": move.length_m,
        **held_object(move.weakest, move.rounds),
        "now": cost_object(move.now),
        "at_limit": cost_object(move.at_limit),
    }
