"""The next tending round in words: `Slack 3 and 4 by 0.40 m before 14:20, good until 18:05`."""

from collections.abc import Sequence
from math import isfinite

from alongside.cycle.advice.saying import Saying
from alongside.cycle.holding_words import SpeedUnit
from alongside.forecast.outlook import ChoiceAhead, MoveAhead, Outlook, RoundAhead
from alongside.stay.stage import Stage
from alongside.units import knots
from alongside.wording.clock_words import clock


def moves_in_words(moves: Sequence[MoveAhead]) -> str:
    """`Slack 3 and 4 by 0.40 m, heave 7 by 0.20 m`: lines of one deed and one length together."""
    together: dict[tuple[bool, str], list[str]] = {}
    for move in moves:
        deed = move.pay_out_m >= 0.0, f"{abs(move.pay_out_m):.2f} m"
        together.setdefault(deed, []).append(move.line)
    parts = [
        f"{'slack' if out else 'heave'} {_listed(lines)} by {metres}"
        for (out, metres), lines in together.items()
    ]
    text = ", ".join(parts)
    return text[:1].upper() + text[1:]


def round_to_come(outlook: Outlook) -> RoundAhead | None:
    """The next round; None where none is needed. One whose time has passed is still to do: once a length
    changes, the rounds are planned anew."""
    return outlook.tending.rounds[0] if outlook.tending.rounds else None


def next_round(outlook: Outlook, now: float, zone: str, unit: SpeedUnit = "kn") -> Saying | None:
    """The same in words, speeds in `unit`."""
    first = round_to_come(outlook)
    if first is None:
        return None
    begin = f" from {clock(first.lengths_from, zone)} on," if first.lengths_from > now else ""
    when = f"{begin} before {clock(first.latest, zone)}"
    if first.overdue or first.latest < now:
        when = " now" if first.overdue else " now, overdue"
    moves = moves_in_words(first.moves)
    if first.leaves_little:
        left = f"leaves {_in(first.holds_after_ms, unit)} to a wind of {_in(first.wind_ms, unit)}"
        return Saying(Stage.NORMAL, f"Weigh the wind: {moves[:1].lower()}{moves[1:]}{when} {left}")
    until = f", good until {clock(first.serves_until, zone)}"
    return Saying(Stage.NORMAL, f"{moves}{when}", "", until, large=in_short(first.moves))


def in_short(moves: Sequence[MoveAhead]) -> str:
    """`Slack 3, 4`, `Tend 3, 7` where not all go the same way, `Heave 5 lines` where they are many."""
    ways = {move.pay_out_m >= 0.0 for move in moves}
    deed = "Tend" if len(ways) > 1 else "Slack" if ways == {True} else "Heave"
    return f"{deed} {', '.join(move.line for move in moves) if len(moves) <= 3 else f'{len(moves)} lines'}"


def holds_words(each: RoundAhead, unit: SpeedUnit) -> str:
    """`holds 42 kn then, 54 kn without`; "" where that is not known or much the same."""
    before, after = each.holds_before_ms, each.holds_after_ms
    if not isfinite(before + after) or _in(before, unit) == _in(after, unit):
        return ""
    return f"holds {_in(after, unit)} then, {_in(before, unit)} without"


def choice_words(choice: ChoiceAhead) -> str:
    """`3 rounds keep lines 0.14 m clear of their bands`."""
    keep = "round keeps" if choice.rounds == 1 else "rounds keep"
    return f"{choice.rounds} {keep} lines {choice.margin_m:.2f} m clear of their bands"


def _in(speed_ms: float, unit: SpeedUnit) -> str:
    return f"{knots(speed_ms) if unit == 'kn' else speed_ms:.0f} {unit}"


def _listed(lines: Sequence[str]) -> str:
    return lines[0] if len(lines) == 1 else f"{', '.join(lines[:-1])} and {lines[-1]}"
