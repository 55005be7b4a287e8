"""What is to come, in words: rounds with their windows, limits with their bands of time, what has no cure."""

import math

from alongside.cycle.advice.rounds import choice_words, holds_words, moves_in_words
from alongside.cycle.holding_words import gives_words
from alongside.cycle.picture import Picture
from alongside.forecast.model import Forecast, Incurable, LimitAhead, RoundAhead
from alongside.forecast.ship_changes import costs, is_left
from alongside.screens.marks import MARKS
from alongside.screens.quality_words import why_unknown
from alongside.stay.model import Display
from alongside.units import clock_span
from alongside.wording.figures import percent
from alongside.wording.times import clock, local

CAUSES = {
    "steep": "leads too steep",
    "stretch": "stretch",
    "load": "working limit",
    "slack": "slack",
    "brake": "brake",
    "bollard": "bollard",
    "under_keel": "under keel",
    "drift": "drift",
    "off_fenders": "off her fenders",
    "holding": "wind against what she holds",
    "gangway": "gangway",
}


def why_no_forecast(picture: Picture) -> str:
    """Why there is nothing to show of the hours ahead; "" where there is."""
    forecast = picture.forecast
    if picture.forecast_hidden:
        return "hidden in this exercise"
    if forecast is not None:
        return forecast.reason
    if picture.stay.tide is None:
        return "no tide to expect in the stay file"
    unknown = why_unknown(picture)
    return "not worked out yet" if unknown == "not known" else unknown


def hour(time: float | None, display: Display, since: float) -> str:
    """Hour and minute, with the day where it is another one than `since`; dashes for never."""
    if time is None or not math.isfinite(time):
        return "--:--"
    other_day = local(time, display).date() != local(since, display).date()
    return clock(time, display, "%a %H:%M" if other_day else "%H:%M")


def round_words(number: int, each: RoundAhead, display: Display, now: float) -> str:
    """`1  Slack 4 by 1.40 m: from 03:30 to 03:45, good until 11:25`."""
    begin = max(each.not_before, each.lengths_from)
    if each.overdue:
        when = "now"
    elif each.latest < now:
        when = "now, overdue"
    elif begin <= now:
        when = f"before {hour(each.latest, display, now)}"
    else:
        first, last = hour(begin, display, now), hour(each.latest, display, now)
        when = f"at {last}" if first == last else f"from {first} to {last}"
    until = hour(each.serves_until, display, now)
    takes = f", takes {clock_span(each.duration_s)}" if each.duration_s > 0.0 else ""
    holds = holds_words(each, display)
    holds = f"; {holds}" if holds else ""
    little = ", TOO LITTLE for the wind expected" if each.leaves_little else ""
    return f"{number}  {moves_in_words(each.moves)} {when}{takes}, good until {until}{holds}{little}"


def limit_words(limit: LimitAhead, display: Display, now: float) -> str:
    """`● line 4 stretch 04:01 (03:57 to 04:05)`; what may not occur says so.
    Holding says what gives first."""
    who = f"line {limit.line} " if limit.line else ""
    what = f"{MARKS[limit.stage]} {who}{CAUSES.get(limit.cause, limit.cause.replace('_', ' '))}"
    weak = f": {gives_words(limit.weak)}" if limit.weak.gives else ""
    if limit.standing:
        return f"{what} stands now{weak}"
    earliest = hour(limit.not_before, display, now)
    if limit.expected is None:
        return f"{what} may be from {earliest} on{weak}"
    latest = f"to {hour(limit.no_later, display, now)}" if limit.no_later is not None else "or never"
    return f"{what} {hour(limit.expected, display, now)} ({earliest} {latest}){weak}"


def cure_words(cure: Incurable, display: Display, now: float) -> str:
    spell = f"{hour(cure.time, display, now)} to {hour(cure.until, display, now)}"
    if cure.why == "wind":
        slack = f"slackened by {cure.missing_m:.2f} m she would only lie farther off her fenders"
        return f"No tending cures line {cure.line}, {spell}: {slack}"
    return f"No tending cures line {cure.line}, {spell}: {cure.missing_m:.2f} m are missing"


def plan_words(forecast: Forecast, display: Display, now: float) -> list[str]:
    """Rounds, what cannot be cured, and how far the plan can be relied on."""
    tending = forecast.tending
    known: list[str] = []
    if forecast.known_until < forecast.times[-1]:
        until = hour(forecast.known_until, display, now)
        known = [f"NOT KNOWN after {until}: tide or draughts end there; nothing is looked for beyond"]
    if tending.pending:
        return ["Lines were tended since: the rounds are being planned anew"]
    rows = known + [round_words(at, each, display, now) for at, each in enumerate(tending.rounds, start=1)]
    rows += [cure_words(cure, display, now) for cure in tending.cannot_cure]
    for change in costs(forecast):
        if change.after is not None:
            rows.append(f"Only so, or worse or sooner so: {limit_words(change.after, display, now)}")
    rows += [
        f"Not cured by these rounds: {limit_words(limit, display, now)}"
        for limit in forecast.followed
        if is_left(limit)
    ]
    if tending.rounds:
        sure = f", and in {percent(tending.holds)} of the runs" if math.isfinite(tending.holds) else ""
        but = ", but for what is not cured" if tending.cannot_cure else ""
        held = f"Run through the mechanics: holds as expected{sure}{but}"
        rows.append(held if tending.verified else "Run through the mechanics: does NOT hold as expected")
        rows += [] if tending.is_fewest else ["Not proved to be the fewest rounds"]
        rows += [choice_words(choice) for choice in tending.choices]
    elif rows == known:
        rows.append(f"No tending needed: stretch, load, brakes and slack stay short of {tending.within}")
    return rows
