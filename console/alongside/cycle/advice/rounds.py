"""The next tending round in words: `Slack 3 and 4 by 0.40 m before 14:20, good until 18:05`."""

from collections.abc import Sequence
from typing import Final

from alongside.cycle.advice.headlines import LineHeadline, of_lines
from alongside.cycle.advice.sentence import Sentence
from alongside.forecast.model import Forecast, MoveAhead, RoundAhead
from alongside.forecast.round_words import RoundWords
from alongside.stay.model import Display
from alongside.stay.stage import Stage
from alongside.wording.figures import metres

A_LINE_S: Final = 600.0
"""Time that two hands need for a line, where the forecast does not say how long the round takes."""
AHEAD_S: Final = 900.0
"""So long before it must begin, a round is the deed of now."""


def is_due(each: RoundAhead, now: float) -> bool:
    """Return whether a round is the deed of now: from its latest time less what it takes less 15 min on."""
    takes = each.duration_s or A_LINE_S * len(each.moves)
    return each.overdue or now >= each.latest - takes - AHEAD_S


def next_round(forecast: Forecast, now: float, display: Display) -> Sentence | None:
    """Return the next round in words; None where none is needed."""
    each = forecast.tending.next_round
    if each is None:
        return None
    words = RoundWords(display, now)
    moves = words.moves_now(each)
    until = f", good until {words.clock(each.serves_until)}"
    sizes = {metres(abs(move.pay_out_m)) for move in moves}
    by = sizes.pop() if len(sizes) == 1 else ""
    return Sentence(Stage.NORMAL, words.deed(each), "", until, large=in_short(moves), by=by)


def in_short(moves: Sequence[MoveAhead]) -> str:
    """Return the headline of a round: `SLACK 3, 4`, `TEND 3, 7` where not all go the same way."""
    ways = {move.pay_out_m >= 0.0 for move in moves}
    deed: LineHeadline = "TEND {}" if len(ways) > 1 else "SLACK {}" if ways == {True} else "HEAVE {}"
    return of_lines(deed, [move.line for move in moves])
