"""The next tending round in words: `Slack 3 and 4 by 0.40 m before 14:20, good until 18:05`."""

from collections.abc import Sequence
from math import isfinite

from alongside.cycle.advice.saying import Saying
from alongside.forecast.model import ChoiceAhead, Forecast, MoveAhead, RoundAhead
from alongside.stay.model import Display
from alongside.stay.stage import Stage
from alongside.wording.figures import held_speed, listed, speed_text
from alongside.wording.times import clock


def moves_in_words(moves: Sequence[MoveAhead]) -> str:
    """`Slack 3 and 4 by 0.40 m, heave 7 by 0.20 m`: lines of one deed and one length together."""
    together: dict[tuple[bool, str], list[str]] = {}
    for move in moves:
        deed = move.pay_out_m >= 0.0, f"{abs(move.pay_out_m):.2f} m"
        together.setdefault(deed, []).append(move.line)
    parts = [
        f"{'slack' if out else 'heave'} {listed(lines)} by {metres}"
        for (out, metres), lines in together.items()
    ]
    text = ", ".join(parts)
    return text[:1].upper() + text[1:]


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
    moves = moves_in_words(first.moves)
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


def holds_words(each: RoundAhead, display: Display) -> str:
    """`holds 42 kn then, 54 kn without`; "" where that is not known or much the same."""
    before, after = each.holds_before_ms, each.holds_after_ms
    if not isfinite(before + after) or held_speed(before, display) == held_speed(after, display):
        return ""
    return f"holds {held_speed(after, display)} then, {held_speed(before, display)} without"


def choice_words(choice: ChoiceAhead) -> str:
    """`3 rounds keep lines 0.14 m clear of their bands`."""
    keep = "round keeps" if choice.rounds == 1 else "rounds keep"
    return f"{choice.rounds} {keep} lines {choice.margin_m:.2f} m clear of their bands"
