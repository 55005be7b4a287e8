"""What is to be decided by when, in words: the one place for them, for alert, page, command and record."""

from collections.abc import Sequence
from math import inf, isfinite, isnan, nan
from typing import Final

from alongside.stay.model import Deed, Order
from alongside.wording.figures import bearing, held_speed, speed_text
from alongside.wording.times import DayClock, span

NAMES: Final[dict[str, str]] = {
    "stop_cargo": "stop cargo",
    "disconnect": "disconnect",
    "tugs": "tugs",
    "leave": "leave",
    "gang": "gang",
    "pilot": "pilot",
}
"""What is ordered, or a limit calls for."""
DEEDS: Final[dict[Order, str]] = {
    "stop_cargo": "Stop cargo",
    "disconnect": "Disconnect",
    "tugs": "Order tugs",
    "leave": "Leave berth",
    "gang": "Call gang",
    "pilot": "Order pilot",
}
"""What is done, as it stands first in a sentence."""
THEN: Final[dict[Deed, str]] = {
    "stop_cargo": "cargo stands still",
    "disconnect": "disconnected",
    "tugs": "tugs come",
    "leave": "off the berth",
}
"""What is so once the lead time has run, by what the limit calls for."""


def wind_and_limit(
    peak: tuple[float, float, float],
    limit_ms: float,
    gust: bool,
    agreed: bool,
    gives: str,
    clock: DayClock,
    high: tuple[float, float] = (nan, nan),
    holds: str = "lines hold",
    cap_ms: float = inf,
) -> str:
    """Return `38 kn from 200° at 05:50, lines hold 33 kn (brake of line 4)`, or `limit 30 kn`; `peak` is the
    wind that is expected, m/s, from deg true, at UNIX s. Where that stays below the limit, the `high` case
    stands behind it, which does not, m/s, and behind what the lines hold what they hold in it, m/s: `30 kn,
    high case 36 kn, from …`. From `cap_ms`, where the search for what is held ended, `more than` that;
    `holds` stands before it."""
    speed, come_from, at = peak
    display = clock.display
    below = speed < limit_ms and isfinite(high[0])
    wind = f"{'gusts ' if gust else ''}{speed_text(speed, display)}"
    wind += f", high case {speed_text(high[0], display)}" if below else ""
    if isfinite(come_from):
        wind += f"{',' if below else ''} from {bearing(come_from)}"
    if agreed:
        return f"{wind} at {clock(at)}, limit {'gusts ' if gust else ''}{speed_text(limit_ms, display)}"
    held, in_high = (held_speed(ms, display, cap_ms) for ms in (limit_ms, high[1]))
    then = f", {in_high} in the high case" if below and in_high != held else ""
    return f"{wind} at {clock(at)}, {holds} {held}{f' ({gives})' if gives else ''}{then}"


def cases(chance: float) -> str:
    """Return a share of cases: `in 6 of 10 cases`, to the nearest; all and none are exact."""
    if chance >= 1.0:
        return "in all cases"
    tenths = min(max(round(chance * 10.0), 1), 9)
    return f"in {'fewer than ' if chance < 0.05 else ''}{tenths} of 10 cases"


def due_words(
    do: Deed,
    order: Order,
    by: float,
    lead_s: float,
    first: float,
    now: float,
    clock: DayClock,
    comes: float = nan,
    newest: float = nan,
    early: bool = False,
) -> str:
    """Return what is to be done and by when: `Order tugs by 03:40`; past that when it comes of being done
    now: `Order tugs now, due 03:40: tugs come 05:00, 20 min after the limit`, or at `comes`, UNIX s, where
    something else that is late keeps it. Where the `newest` calculation has another time, both stand there,
    as long as the limit is not reached: from then on its time goes with the clock. One that was due too
    `early` for the watch, before it knew of the wind, has no time: `Order tugs now: tugs come 05:00`."""
    deed = DEEDS[order]
    if isnan(lead_s):
        return f"{deed}: lead time not given, limit may be reached {clock(first)}"
    if by >= now:
        return f"{deed} by {clock(by)}"
    due = f"{deed} now" if early else f"{deed} now, due {clock(by)}"
    if first > now and isfinite(newest) and clock(newest) != clock(by):
        due += f", newest {clock(newest)}"
    if lead_s <= 0.0:
        return due
    at = now + lead_s if isnan(comes) else comes
    return f"{due}: {THEN[do]} {clock(at)}{_after(at, first)}"


def reached_words(first: float, chance: float, now: float, clock: DayClock) -> str:
    """Return `may be reached 05:10, in 6 of 10 cases`."""
    when = "now" if first <= now else clock(first)
    return f"may be reached {when}, {cases(chance)}"


def moved_words(was: float, why: str, clock: DayClock) -> str:
    """Return `was 04:20: forecast of 02:00 has the wind earlier`; "" where it has not moved."""
    return f"was {clock(was)}: {why}" if isfinite(was) else ""


def then_words(then: Sequence[tuple[Order, float]], clock: DayClock) -> str:
    """Return `then stop cargo by 19:46, disconnect by 20:01`; "" for nothing."""
    rest = [f"{DEEDS[order].lower()} by {clock(by)}" for order, by in then if isfinite(by)]
    return f"then {', '.join(rest)}" if rest else ""


def answered_words(
    do: Deed,
    order: Order,
    at: float,
    lead_s: float,
    first: float,
    clock: DayClock,
    comes: float = nan,
) -> str:
    """Return `Tugs ordered 03:35: tugs come 05:05, 5 min after the limit`; of tugs that are there that they
    are. Where the limit calls for more, `Gang called 02:42: off the berth no earlier than 04:32`: when
    all of it `comes`, UNIX s."""
    if not isfinite(at):
        return "Tugs are alongside"
    done = {
        "stop_cargo": "Cargo stopped",
        "disconnect": "Disconnected",
        "tugs": "Tugs ordered",
        "leave": "Leaving",
        "gang": "Gang called",
        "pilot": "Pilot ordered",
    }[order]
    if not lead_s > 0.0 or order in ("stop_cargo", "disconnect"):
        return f"{done} {clock(at)}"
    then = at + lead_s if isnan(comes) else max(comes, at + lead_s)
    at_least = "" if order == do else "no earlier than "
    return f"{done} {clock(at)}: {THEN[do]} {at_least}{clock(then)}{_after(then, first)}"


def _after(at: float, first: float) -> str:
    """Return `, 20 min after the limit` in whole minutes, as both times stand on the clock; "" before it."""
    late = 60.0 * (at // 60.0 - first // 60.0)
    return f", {span(late)} after the limit" if late >= 60.0 else ""
