"""A line that parted, or was let go."""

from dataclasses import replace

from alongside.actions import LineGone
from alongside.alerts.model import Event
from alongside.cycle.deck.notes import by_whom, not_done
from alongside.cycle.lengths import Lengths
from alongside.readings import Floats
from alongside.stay.making_fast import times_fast
from alongside.stay.model import Stay
from alongside.wording.safe import safe


def line_gone(
    stay: Stay, lengths: Lengths, index: int, now: float, action: LineGone
) -> tuple[Lengths, Event]:
    """Return the lengths without a line, and the event: nothing is asked of its brake."""
    if why := _why_not(stay, lengths, index, now):
        return lengths, not_done(now, action.line, why)
    went = lengths.with_line_parted if action.how == "parted" else lengths.with_line_let_go
    brakes = lengths.brakes.without({action.line})
    if brakes.slipped is not None:
        brakes = replace(brakes, slipped=_without(brakes.slipped, index))
    what = "parted" if action.how == "parted" else "let go"
    text = f"Line {safe(action.line)} {what}{by_whom(action.by)}"
    return replace(went(index, now), brakes=brakes), Event(now, action.how, line=action.line, text=text)


def _without(lengths: Floats, index: int) -> Floats:
    left = lengths.copy()
    left[index] = float("nan")
    return left


def _why_not(stay: Stay, lengths: Lengths, index: int, now: float) -> str:
    if lengths.gone[index]:
        return "it is gone already"
    is_out = lengths.fast[index] or times_fast(stay)[index] <= now
    return "" if is_out else "it is not made fast"
