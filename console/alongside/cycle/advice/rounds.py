"""The next tending round in words: `Slack 3 and 4 by 0.40 m before 14:20, good until 18:05`."""

from collections.abc import Sequence

from alongside.cycle.advice.saying import Saying
from alongside.forecast.model import Forecast, MoveAhead, RoundAhead
from alongside.forecast.words import moves_text
from alongside.stay.model import Display
from alongside.stay.stage import Stage
from alongside.wording.figures import held_speed, speed_text
from alongside.wording.times import clock


def round_to_come(forecast: Forecast) -> RoundAhead | None:
    """The next round; None where none is needed. One whose time has passed is still to do: once a length
    changes, the rounds are planned anew."""
    return forecast.tending.rounds[0] if forecast.tending.rounds else None


def next_round(forecast: Forecast, now: float, display: Display) -> Saying | None:
    """The same in words."""
    first = round_to_come(forecast)
    if first is None:
        return None
    begin = f" from {clock(first.lengths_from, display)} on," if first.lengths_from > now else ""
    when = f"{begin} before {clock(first.latest, display)}"
    if first.overdue or first.latest < now:
        when = " now" if first.overdue else " now, overdue"
    moves = moves_text(first.moves)
    if first.leaves_little:
        held, wind = held_speed(first.holds_after_ms, display), speed_text(first.wind_ms, display)
        left = f"leaves {held} to a wind of {wind}"
        return Saying(Stage.NORMAL, f"Weigh the wind: {moves[:1].lower()}{moves[1:]}{when} {left}")
    until = f", good until {clock(first.serves_until, display)}"
    return Saying(Stage.NORMAL, f"{moves}{when}", "", until, large=in_short(first.moves))


def in_short(moves: Sequence[MoveAhead]) -> str:
    """`Slack 3, 4`, `Tend 3, 7` where not all go the same way, `Heave 5 lines` where they are many."""
    ways = {move.pay_out_m >= 0.0 for move in moves}
    deed = "Tend" if len(ways) > 1 else "Slack" if ways == {True} else "Heave"
    return f"{deed} {', '.join(move.line for move in moves) if len(moves) <= 3 else f'{len(moves)} lines'}"
