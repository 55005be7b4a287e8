"""Times to decide by as rows of words, for the command and the page."""

import textwrap
from collections.abc import Sequence
from math import isfinite, isnan, nan
from typing import Final

from alongside.forecast.decided import DecideRow, Decisions, LimitToCome, comes_at
from alongside.mechanics.holding_search import CAP_MS
from alongside.stay.model import DecideBy, Display, WindLimit
from alongside.wording.decide import (
    NAMES,
    answered_words,
    due_words,
    moved_words,
    reached_words,
    wind_and_limit,
)
from alongside.wording.figures import bearing, held_speed, speed_text
from alongside.wording.safe import safe
from alongside.wording.times import DayClock

BY_FORECAST: Final = "the forecast that somebody has typed"
BY_WIND: Final = "a wind that goes on as said above, with no forecast,"
STANDS_ABOVE: Final = (
    "Limits and lead times are those of the stay file. The master's judgement, the terminal and port rules "
    "stand above it."
)
NONE_AGREED: Final = "Nothing to decide by: the stay file has no section decide (limits agreed, lead times)"
HIDDEN: Final = "Hidden in this exercise"
WAITING: Final = "Not calculated yet"
NOTHING: Final = "Nothing to decide: no limit is likely to be reached"
NOT_FORECAST: Final = "Nothing to decide unless the wind changes: no forecast of what is to come"
NO_WIND: Final = "What is to be decided is not known: neither wind nor forecast"


def why_none(agreed: DecideBy | None, hidden: bool, decisions: Decisions | None) -> str:
    """Return why there are no times to decide by to be shown; "" where there are."""
    if agreed is None:
        return NONE_AGREED
    if hidden:
        return HIDDEN
    return WAITING if decisions is None else ""


def caution(decisions: Decisions) -> list[str]:
    """Return what all of it rests on, in rows, by whether a forecast serves."""
    by = BY_FORECAST if isfinite(decisions.forecast_until) else BY_WIND
    words = f"Expected, not measured: by {by} and a spread about it that is common practice. "
    no_wind = all(isnan(speed) for _, speed, _, _ in decisions.wind)
    return textwrap.wrap(STANDS_ABOVE if no_wind else words + STANDS_ABOVE, 104)


def nothing_words(decisions: Decisions, clock: DayClock) -> str:
    """Return why nothing is to be decided; that it is not known where nobody knows the wind to come."""
    if all(isnan(speed) for _, speed, _, _ in decisions.wind):
        return NO_WIND
    if not isfinite(decisions.forecast_until):
        return NOT_FORECAST
    ends = f" until {clock(decisions.forecast_until)}, when the forecast ends"
    return NOTHING + (ends if decisions.forecast_until < decisions.until else "")


def why_words(limit: LimitToCome, clock: DayClock) -> str:
    """Return `30 kn from 110° at 21:34, limit 28 kn`."""
    peak = limit.peak_ms, limit.peak_from_deg, limit.peak_at
    high = limit.high_ms, limit.high_limit_ms
    return wind_and_limit(
        peak, limit.limit_ms, limit.gust, limit.agreed is not None, limit.gives, clock, high
    )


def order_words(row: DecideRow, decisions: Decisions, now: float, clock: DayClock) -> str:
    """Return what is to be done by when, why, and what has moved it; once it is ordered when it comes."""
    limit = row.limit
    comes = comes_at(row, decisions.rows, now)
    if not row.is_open:
        words = answered_words(limit.do, row.order, row.answered, row.lead_s, limit.first, clock, comes)
        return f"{words}{f' ({safe(row.answered_by)})' if row.answered_by else ''}"
    parts = (
        due_words(
            limit.do, row.order, row.due, row.lead_s, limit.first, now, clock, comes, row.by, row.early
        ),
        why_words(limit, clock),
        reached_words(limit.first, limit.chance, now, clock),
        moved_words(row.was, row.why, clock),
    )
    return "; ".join(part for part in parts if part)


def which_set(decisions: Decisions, said: bool, clock: DayClock) -> str:
    """Return which limits count: `with transfer until 02:50 (cargo plan)`; `said` by the watch."""
    now = "with transfer" if decisions.connected else "without transfer"
    turn = f" until {clock(decisions.turns[0])}" if decisions.turns else ""
    return f"{now}{turn} ({'said by the watch' if said else 'cargo plan'})"


def limit_words(limit: WindLimit, display: Display) -> str:
    """Return `disconnect: gusts 42 kn, from 180° to 330°`."""
    what = f"{'gusts ' if limit.gust else ''}{speed_text(limit.speed_ms, display)}"
    where = f", from {bearing(limit.sector[0])} to {bearing(limit.sector[1])}" if limit.sector else ""
    return f"{NAMES[limit.do]}: {what}{where}"


def agreed_rows(limits: Sequence[WindLimit], display: Display) -> list[str]:
    """Return the limits of one set; that none is given where it is empty."""
    return [limit_words(each, display) for each in limits] or ["none given"]


def holds_words(decisions: Decisions, display: Display, clock: DayClock) -> str:
    """Return the least that the lines hold from where the wind is expected, and when: `lines hold 33 kn from
    200° at 05:10, the least`; why it is not known. "" while a line is tight without wind throughout: a note
    says so."""
    if decisions.why_not_held:
        return f"what the lines hold is not known: {decisions.why_not_held}"
    known = [(ms, at) for at, ms in decisions.holds if isfinite(ms)]
    if not known:
        return ""
    least, at = min(known)
    if least >= CAP_MS:
        return f"lines hold {held_speed(least, display, CAP_MS)} throughout, from where the wind is expected"
    come_from = {time: each for time, _, each, _ in decisions.wind}.get(at, nan)
    where = f"from {bearing(come_from)}" if isfinite(come_from) else "from where the wind is expected"
    return f"lines hold {held_speed(least, display, CAP_MS)} {where} at {clock(at)}, the least"


def note_rows(decisions: Decisions, display: Display, clock: DayClock) -> list[str]:
    """Return what the times rest on, and what is not given, a row each."""
    notes = (holds_words(decisions, display, clock), *decisions.notes, *decisions.not_given)
    return [f"{note[:1].upper()}{note[1:]}" for note in notes if note]


def decide_rows(decisions: Decisions, display: Display, said: bool = False) -> list[str]:
    """Return all of it, a row each."""
    now, clock = decisions.time, DayClock(display, decisions.time)
    rows = [
        f"{clock(now)} to {clock(decisions.until)}, {decisions.members} cases, "
        f"limits {which_set(decisions, said, clock)}",
        "",
        *(
            [order_words(row, decisions, now, clock) for row in decisions.rows]
            or [nothing_words(decisions, clock)]
        ),
    ]
    other = [limit for limit in decisions.limits if all(row.limit is not limit for row in decisions.rows)]
    if other:
        rows += ["", "May be reached as well:"]
        rows += [
            f"  {NAMES[limit.do]}: {why_words(limit, clock)}; "
            f"{reached_words(limit.first, limit.chance, now, clock)}"
            for limit in other
        ]
    return [*rows, "", *note_rows(decisions, display, clock)]
