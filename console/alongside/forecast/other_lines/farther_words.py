"""Lines led to farther bollards in words: the one first that has least stretch in hand."""

from typing import Final

from alongside.errors import WrongInput
from alongside.forecast.instant_words import doubt_rows
from alongside.forecast.other_lines.farther import RISE_M, Farther, Move
from alongside.forecast.other_lines.one_more_words import (
    CAUTION,
    brief_rounds,
    costs_rows,
    held_words,
    outside_words,
    rounds_words,
    tried_words,
)
from alongside.forecast.other_lines.places import LeadNow
from alongside.forecast.what_if.changes import Shift, in_words
from alongside.mechanics.holding_search import CAP_MS
from alongside.stay.model import Stay
from alongside.wording.figures import degrees, force_text, held_speed, metres
from alongside.wording.safe import safe

BEGINS: Final = "farther bollard"
SECOND_LINE: Final = "Move a line only after a second one is out in its place."
ROWS_LAST: Final = (SECOND_LINE, *CAUTION)


def check_typed(text: str) -> None:
    """Raise WrongInput, with what was expected, where more was typed than the question."""
    if " ".join(text.lower().split()) not in (BEGINS, f"{BEGINS}s"):
        raise WrongInput(f"{safe(text)!r}: not understood, expected {BEGINS}")


def farther_rows(found: Farther, stay: Stay) -> list[str]:
    """Return the answer: the moves in brief, then each with its gain and its cost."""
    rows = [farther_sentence(found, stay)]
    rows += doubt_rows(found.asked, found.without)
    rows.append(f"Now: {held_words(found.weakest, stay.display)}")
    if found.rounds is not None:
        rows.append(f"     {rounds_words(found.rounds)}")
    rows += [_in_brief(number, each) for number, each in enumerate(found.moves, 1)]
    for number, move in enumerate(found.moves, 1):
        rows += ["", *_move_rows(number, move, found, stay)]
    return [*rows, "", tried_words(found.tried, found.left_out)]


def farther_sentence(found: Farther, stay: Stay) -> str:
    """Return the deed, its reason and what it costs of the wind that the lines hold in one sentence, or that
    there is none."""
    if not found.moves:
        return "No line gains by a farther bollard: each breaks a limit or has no more in hand."
    best = found.moves[0]
    before, after = map(_rise, best.rise_m)
    now, then = (
        held_speed(spot.holds_ms or 0.0, stay.display, CAP_MS) for spot in (found.weakest, best.weakest)
    )
    less = (best.weakest.holds_ms or 0.0) < (found.weakest.holds_ms or 0.0) and then != now
    costs = f", but lines then hold {then} instead of {now}" if less else ""
    return f"Line {safe(best.line.id)} to {safe(best.line.bollard)}: rise in hand {before} → {after}{costs}."


def _rise(rise_m: float) -> str:
    return f"more than {metres(RISE_M, 0)}" if rise_m >= RISE_M else metres(rise_m, 1)


def _in_brief(number: int, move: Move) -> str:
    before, after = map(_rise, move.rise_m)
    words = [f"rise in hand {before} → {after}", _flatter(*move.lead)]
    if move.rounds is not None:
        words.append(brief_rounds(move.rounds))
    lead = f"{safe(move.was.id)} from {safe(move.was.bollard)} to {safe(move.line.bollard)}"
    return f"  +{number}  line {lead}, {move.line.role}: {', '.join(words)}"


def _flatter(was: LeadNow, then: LeadNow) -> str:
    """Return `20 → 7° down`, the way once where it is the same."""
    before, after = (f"{degrees(abs(each.down_deg))} {_way(each)}" for each in (was, then))
    if _way(was) == _way(then):
        before = degrees(abs(was.down_deg)).removesuffix("°")
    return f"{before} → {after}"


def _way(lead: LeadNow) -> str:
    return "down" if lead.down_deg >= 0.0 else "up"


def _move_rows(number: int, move: Move, found: Farther, stay: Stay) -> list[str]:
    display, line = stay.display, move.line
    far = " → ".join(metres(each.outboard_m, 0) for each in move.lead)
    angles = " → ".join(degrees(each.ahead_deg) for each in move.lead)
    have = "" if line.rope_length is None else f" of {metres(line.rope_length, 0)}"
    made = f"made fast at {force_text(line.made_fast.tension_kn, display)}"
    rows = [
        f"+{number} line {safe(line.id)} over {safe(line.fairlead)} to {safe(line.bollard)}",
        f"   {metres(move.needs_m, 0)} of rope needed{have}; {made}",
        f"   leads {angles} from ahead, {far} outboard{outside_words(line, move.lead[1])}",
        f"   then {held_words(move.weakest, display)}",
        *costs_rows(move.now, move.at_limit, found.weakest, display),
    ]
    if move.rounds is not None:
        rows.append(f"   {rounds_words(move.rounds)}")
    typed = in_words(Shift(line.id, line.bollard, None, line.made_fast.tension_kn), display)
    return [*rows, f"   all that it changes: {safe(typed)}"]
