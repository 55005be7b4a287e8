"""What comes next, in order of time: rounds, readings by hand, high and low water, limits; in short words."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import inf, isfinite, isnan
from typing import Final, Literal

from alongside.alerts.measures import LIKELY
from alongside.cycle.picture import AtWork, Picture
from alongside.cycle.who_holds import HoursAhead
from alongside.forecast.model import Forecast, RoundAhead
from alongside.forecast.round_words import lower_first, moves_text, worth_saying
from alongside.forecast.words import limit_name
from alongside.stay.model import Display
from alongside.stay.stage import Stage
from alongside.wording.decide import DEEDS
from alongside.wording.figures import figure
from alongside.wording.times import DayClock, span

Kind = Literal["round", "water", "limit", "work", "decide"]
NOW: Final = "now"
WAITS: Final = "waits"
HIGH, LOW = "HW", "LW"


@dataclass(frozen=True, slots=True)
class ToCome:
    """At `time`, UNIX s: of a round its latest begin, of work when it is done, infinite while it waits.
    `words` begin with a verb, or name what comes. `overdue`: its time is past."""

    time: float
    kind: Kind
    words: str
    overdue: bool = False

    def at(self, now: float, display: Display, *, count_down: bool = False) -> str:
        """Return `by 03:35, in 24 min` of a round, `09:40` of what happens; `now` where it is overdue."""
        if self.overdue:
            return NOW
        if self.time == inf:
            return WAITS
        clock = DayClock(display, now)(self.time)
        text = f"by {clock}" if self.kind in ("round", "decide") else clock
        return f"{text}, in {span(self.time - now)}" if count_down and self.time > now else text


def to_come(picture: Picture) -> tuple[ToCome, ...]:
    """Return what the hours ahead bring, earliest first: where they are not known only work
    that goes on and what is due, where they are hidden only work."""
    forecast, now = _forecast(picture), picture.time
    work = [ToCome(each.end, "work", each.words) for each in picture.at_work]
    due = [] if picture.forecast_hidden else _due(picture)
    if forecast is None:
        return tuple(sorted([*work, *due], key=lambda each: each.time))
    rounds = [_round(each, now) for each in _not_in_hand(forecast, picture.at_work)]
    limits = [] if rounds else _limits(forecast, now)
    return tuple(sorted([*work, *due, *rounds, *_waters(forecast, now), *limits], key=lambda each: each.time))


def water(picture: Picture) -> tuple[str, float, float] | None:
    """Return the next water, `HW` or `LW`, its time, UNIX s, and its height, m; None where that is hidden or
    not known."""
    forecast = _forecast(picture)
    if forecast is None or not forecast.tide.known:
        return None
    ahead = HoursAhead.of(forecast)
    turns = [(name, ahead.water(high, picture.time)) for name, high in ((HIGH, True), (LOW, False))]
    coming = [(name, float(ahead.time[at]), float(ahead.tide[at])) for name, at in turns if at is not None]
    return min(coming, key=lambda turn: turn[1], default=None)


def _forecast(picture: Picture) -> Forecast | None:
    """Return the hours ahead; None where they are hidden or not known."""
    forecast = picture.forecast
    if forecast is None or forecast.reason or picture.forecast_hidden or isnan(picture.time):
        return None
    return forecast


def _not_in_hand(forecast: Forecast, at_work: Sequence[AtWork]) -> list[RoundAhead]:
    """Return rounds that are a plan: of the next one without lines that somebody has been sent to."""
    rounds = [each for each in worth_saying(forecast.tending.rounds) if each.is_sure]
    in_hand = {each.line for each in at_work}
    if rounds and in_hand:
        moves = tuple(move for move in rounds[0].moves if move.line not in in_hand)
        rounds[0] = replace(rounds[0], moves=moves)
    return [each for each in rounds if each.moves]


def _round(each: RoundAhead, now: float) -> ToCome:
    overdue = each.overdue or each.latest < now
    moves = each.moves if overdue else each.moves_at(max(now, each.not_before))
    return ToCome(now if overdue else each.latest, "round", lower_first(moves_text(moves)), overdue)


def _due(picture: Picture) -> list[ToCome]:
    """Return what is to be ordered for the wind to come, as far as it is likely enough to be called for."""
    return [
        ToCome(each.by, "decide", DEEDS[each.order].lower(), each.by < picture.time)
        for each in picture.due
        if each.is_open and each.chance >= LIKELY[0] and isfinite(each.by)
    ]


def _waters(forecast: Forecast, now: float) -> list[ToCome]:
    if not forecast.tide.known:
        return []
    ahead, waters = HoursAhead.of(forecast), list[ToCome]()
    for name, high in ((HIGH, True), (LOW, False)):
        at = ahead.water(high, now)
        if at is not None and isfinite(ahead.tide[at]):
            words = f"{name} {figure(float(ahead.tide[at]), 1)} m"
            waters.append(ToCome(float(ahead.time[at]), "water", words))
    return waters


def _limits(forecast: Forecast, now: float) -> list[ToCome]:
    """Return limits to come that no round keeps away: the first time at which each may be reached."""
    coming = [
        limit
        for limit in forecast.followed or forecast.limits
        if limit.stage > Stage.CAUTION and not limit.standing and limit.not_before > now
    ]
    return [
        ToCome(limit.not_before, "limit", f"{limit_name(limit)}: {limit.stage.word}") for limit in coming[:2]
    ]
