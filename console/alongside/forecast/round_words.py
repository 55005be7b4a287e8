"""Rounds in words: what to do, from when, before when, and in how many cases it holds.

    words.round(each)             "Slack 4 by 0.80 m between 03:10 and 03:35, good until 11:25"
    words.deed(each)              "Slack 4 by 0.55 m from 02:10, by 0.80 m from 03:10 to 03:35"

Metres are those of the time at which the round is begun.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import floor, isfinite, nan
from typing import Final

from alongside.forecast.model import MoveAhead, RoundAhead
from alongside.mechanics.holding_search import CAP_MS
from alongside.stay.model import Display
from alongside.wording.figures import counted, held_speed, listed, metres
from alongside.wording.safe import safe
from alongside.wording.times import DayClock, span

LOOK_BEFORE_S: Final = 900.0
"""So long before a round must begin is the time to look again whether it is needed."""
LOOK_EVERY_S: Final = 300.0
"""After that time a round is looked at again every five minutes, as the forecast is made anew."""


@dataclass(frozen=True, slots=True)
class RoundWords:
    """Words of rounds for a display, with times about the day of `now` (UNIX s)."""

    display: Display
    now: float

    def clock(self, time: float) -> str:
        """Return `14:20`, or `21 Mar 02:05` on another day; a dash where it is not known."""
        return DayClock(self.display, self.now)(time)

    def round(self, each: RoundAhead) -> str:
        """Return moves, window and what they lead to: `Slack 4 by 0.80 m before 03:35, good until 11:25`;
        where it holds in too few cases, when to look again."""
        if not each.is_sure:
            return self.look_again(each)
        takes = f", takes {span(each.duration_s)}" if each.duration_s > 0.0 else ""
        text = f"{self.deed(each)}{takes}, good until {self.clock(each.serves_until)}"
        holds = holds_text(each, self.display)
        return text + (f"; {holds}" if holds else "")

    def deed(self, each: RoundAhead) -> str:
        """Return moves and window, with the metres of the time it is begun: `Slack 4 by 0.80 m before 03:35`,
        `Slack 4 by 0.55 m from 02:10, by 0.80 m from 03:10 to 03:35`."""
        first = self.moves_now(each)
        if first == each.moves:
            return f"{moves_text(each.moves)} {self.window(each)}"
        begin = "now" if each.not_before <= self.now else f"from {self.clock(each.not_before)}"
        changed = [move for move, now in zip(each.moves, first, strict=True) if move != now]
        last = max(move.by_time[-1][0] for move in changed)
        then = lower_first(moves_text(changed))
        if len(each.moves) == 1 and first[0].pay_out_m * changed[0].pay_out_m > 0.0:
            then = f"by {metres(abs(changed[0].pay_out_m))}"
        return f"{moves_text(first)} {begin}, {then} {self.from_to(last, each.latest)}"

    def moves_now(self, each: RoundAhead) -> tuple[MoveAhead, ...]:
        """Return the moves with the metres of now, of the earliest time where that is still to come."""
        if each.overdue or each.latest < self.now:
            return each.moves
        return each.moves_at(max(self.now, each.not_before))

    def from_to(self, begin: float, end: float) -> str:
        """Return `from 03:10 to 03:35`; `at 03:35` where that is one minute."""
        first, last = self.clock(begin), self.clock(end)
        return f"at {last}" if first == last else f"from {first} to {last}"

    def look_again(self, each: RoundAhead) -> str:
        """Return when to look again at a round that is no plan yet, and why."""
        due = each.latest - each.duration_s - LOOK_BEFORE_S
        when = due if due > self.now else min(each.latest, self.now + LOOK_EVERY_S)
        at = "now" if each.overdue or when <= self.now else f"at {self.clock(when)}"
        deed = f"{lower_first(moves_text(each.moves))} {self.window(each)}"
        return f"Look again {at}: {deed} holds {chance_text(each.holds)}"

    def then_more(self, rounds: Sequence[RoundAhead]) -> str:
        """Return that more rounds come after the first that is no plan yet: `Then 5 more rounds until 17:30,
        no plan yet: look again after round 1`; "" where none do."""
        number = len(worth_saying(rounds))
        more = len(rounds) - number
        if not more:
            return ""
        until = self.clock(rounds[-1].latest)
        return (
            f"Then {counted(more, 'more round')} until {until}, no plan yet: look again after round {number}"
        )

    def metres_by_time(self, each: RoundAhead) -> list[str]:
        """Return the metres of each line by when the round is begun, a row a line that has more than two:
        `Line 4: slack 0.55 m from 02:10, 0.65 m from 02:40, 0.80 m from 03:10`."""
        return [
            f"Line {safe(move.line)}: {steps_text(move, self.clock)}"
            for move in each.moves
            if len(move.by_time) > 2
        ]

    def window(self, each: RoundAhead) -> str:
        """Return when the metres of a round are right: `between 03:10 and 03:35`, `before 03:35`, `now`."""
        begin = max(each.not_before, each.lengths_from)
        if each.overdue:
            return "now"
        if each.latest < self.now:
            return "now, overdue"
        if begin <= self.now:
            return f"before {self.clock(each.latest)}"
        return self.between(begin, each.latest)

    def window_of(self, each: RoundAhead) -> str:
        """Return when a round may begin, with whatever metres are right then: `from 02:10 to 03:35`."""
        if each.overdue or each.latest < self.now:
            return self.window(each)
        return self.from_to(max(each.not_before, self.now), each.latest)

    def between(self, begin: float, end: float) -> str:
        """Return `between 03:10 and 03:35`; `at 03:35` where that is one minute."""
        first, last = self.clock(begin), self.clock(end)
        return f"at {last}" if first == last else f"between {first} and {last}"


def worth_saying(rounds: Sequence[RoundAhead]) -> tuple[RoundAhead, ...]:
    """Return rounds up to the first that is no plan yet: those after it hold in no more cases, for the same
    reason."""
    unsure = [number for number, each in enumerate(rounds, 1) if not each.is_sure]
    return tuple(rounds[: unsure[0]] if unsure else rounds)


def moves_text(moves: Sequence[MoveAhead]) -> str:
    """Return `Slack 3 and 4 by 0.40 m, heave 7 by 0.20 m`: lines with one deed and length together."""
    together: dict[tuple[bool, str], list[str]] = {}
    for move in moves:
        deed = move.pay_out_m >= 0.0, metres(abs(move.pay_out_m))
        together.setdefault(deed, []).append(safe(move.line))
    parts = [
        f"{'slack' if out else 'heave'} {listed(lines)} by {length}"
        for (out, length), lines in together.items()
    ]
    text = ", ".join(parts)
    return text[:1].upper() + text[1:]


def steps_text(move: MoveAhead, clock: Callable[[float], str]) -> str:
    """Return the metres of a move by time: `slack 0.55 m from 02:10, 0.80 m from 03:10`."""
    steps = move.by_time or ((nan, move.pay_out_m),)
    parts, before = [], ""
    for time, out in steps:
        deed = "slack " if out >= 0.0 else "heave "
        since = f" from {clock(time)}" if isfinite(time) else ""
        parts.append(f"{deed if deed != before else ''}{metres(abs(out))}{since}")
        before = deed
    return ", ".join(parts)


def lower_first(text: str) -> str:
    """Return a sentence as the rest of another one."""
    return text[:1].lower() + text[1:]


def holds_text(each: RoundAhead, display: Display) -> str:
    """Return `lines then hold 42 kn, without it 54 kn`; "" where that is not known or the same."""
    if not isfinite(each.holds_before_ms + each.holds_after_ms):
        return ""
    before, after = (held_speed(ms, display, CAP_MS) for ms in (each.holds_before_ms, each.holds_after_ms))
    return "" if before == after else f"lines then hold {after}, without it {before}"


def chance_text(share: float) -> str:
    """Return a share of cases, rounded down: `in 8 of 10 cases`."""
    tenths = floor(share * 10.0 + 1e-9)
    return f"in {tenths} of 10 cases" if tenths else "in fewer than 1 of 10 cases"
