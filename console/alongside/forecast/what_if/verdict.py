"""One word on a change, from a closed list. What holds her goes first: a change that lowers it, or lets her
off her fenders or out of her place, is never better, whatever the lines' stretch says."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import Enum
from math import isnan
from typing import Final

import numpy as np

from alongside.forecast.what_if.ahead_of import AheadChange
from alongside.forecast.what_if.changes import WEATHER, Change
from alongside.forecast.what_if.losses import LEAST_SHARE, Effect, Figure, LineSet
from alongside.forecast.what_if.state_now import StateNow

LITTLE_LESS: Final = 0.80
"""A deed that leaves less than this part of what is held is worse, however it eases the lines. Common
practice, no source."""


class Word(Enum):
    """The closed list, worst first."""

    NOTHING_HOLDS = "WOULD NOT HOLD"
    PARTS = "WOULD PART"
    DO_NOT = "DO NOT"
    WORSE = "WORSE"
    NOT_ENOUGH = "BETTER, NOT ENOUGH"
    EASES = "EASES, HOLDS LESS"
    EARLIER = "EASES, OFF FENDERS EARLIER"
    NOT_KNOWN = "NOT KNOWN"
    NO_CHANGE = "NO CHANGE"
    BETTER = "BETTER"


@dataclass(frozen=True, slots=True)
class Verdict:
    """The word, and the measures that decide it, what weighs most first; `why` where something is not
    known."""

    word: Word
    by: tuple[Figure | LineSet, ...] = ()
    why: str = ""
    ahead: bool = False
    """Whether the hours ahead decide it, and not this instant."""
    in_that_weather: bool = False
    """Whether it is on deeds as compared in the weather that is asked with them."""


@dataclass(frozen=True, slots=True, eq=False)
class Compared:
    """All that a verdict rests on."""

    changes: Sequence[Change]
    before: StateNow
    after: StateNow
    figures: tuple[Figure, ...]
    sets: tuple[LineSet, ...]
    ahead: AheadChange

    @property
    def measures(self) -> tuple[Figure | LineSet, ...]:
        return tuple(self.figures) + tuple(self.sets)

    def losses(self) -> tuple[Figure | LineSet, ...]:
        return tuple(each for each in self.measures if each.effect is Effect.LOST)

    def gains(self) -> tuple[Figure | LineSet, ...]:
        return tuple(each for each in self.measures if each.effect is Effect.GAINED)

    def of(self, name: str) -> Figure | LineSet | None:
        return next((each for each in self.measures if each.name == name), None)


def verdict(c: Compared, deeds: Compared) -> Verdict:
    """Return the word on a change, and what decides it. Whether she is held at all goes by all of it, as
    things stand and then; beyond that `deeds` are judged, by what they change in equal weather: the same
    comparison where they come alone."""
    if refused := _not_held(c):
        return refused
    judged = _of_losses(deeds, losses) if (losses := deeds.losses()) else _without_losses(deeds)
    return judged if deeds is c else replace(judged, in_that_weather=True)


def _not_held(c: Compared) -> Verdict | None:
    """Return the verdict where nothing keeps her, a line would part, or the wind passes what is held, now or
    in the hours ahead."""
    share = c.of("wind_share")
    if c.after.adrift:
        return Verdict(Word.NOTHING_HOLDS, why="nothing keeps her")
    parts = c.of("parts")
    if isinstance(parts, LineSet) and parts.after and parts.effect is Effect.LOST:
        return Verdict(Word.PARTS, (parts, *_others(c.losses(), parts)))
    if isinstance(share, Figure) and share.after >= 1.0 and share.effect is Effect.LOST:
        return Verdict(Word.NOTHING_HOLDS, (share, *_others(c.losses(), share)))
    then = c.of("wind_ahead")
    if isinstance(then, Figure) and then.after >= 1.0 > then.before:
        return Verdict(Word.NOTHING_HOLDS, (then, *_others(c.losses(), then)))
    return None


def _others(those: Sequence[Figure | LineSet], first: Figure | LineSet) -> tuple[Figure | LineSet, ...]:
    return tuple(each for each in those if each is not first)


def _of_losses(c: Compared, losses: tuple[Figure | LineSet, ...]) -> Verdict:
    if refused := _refused(c, losses):
        is_deed = any(not isinstance(each, WEATHER) for each in c.changes)
        rest = tuple(each for each in losses if each not in refused)
        return Verdict(Word.DO_NOT if is_deed else Word.WORSE, (*refused, *rest))
    names = {each.name for each in losses}
    if names <= {"holds", "square_off", "wind_share", "wind_ahead", "contact"} and _eases(c):
        return Verdict(Word.EARLIER if names == {"contact"} else Word.EASES, losses)
    return Verdict(Word.WORSE, losses)


def _eases(c: Compared) -> bool:
    """Return whether a deed that costs some of what is held eases the lines, costs little, and makes nothing
    worse later. A tug that pulls off the berth is no gain, whatever it does to where she leaves her fenders:
    in all the lines pull more."""
    held = [each for each in c.figures if each.name in ("holds", "square_off") and each.before > 0.0]
    if any(each.after < LITTLE_LESS * each.before for each in held):
        return False
    if c.ahead.lines_worse or c.ahead.ship_worse:
        return False
    before, after = (float(np.nansum(each.tension_kn)) for each in (c.before, c.after))
    if after > before * (1.0 + LEAST_SHARE):
        return False
    fewer = any(isinstance(each, LineSet) and each.name in ("over_wll", "over_brake") for each in c.gains())
    return bool(c.ahead.lines_better or fewer or after < before * (1.0 - LEAST_SHARE))


def _refused(c: Compared, losses: tuple[Figure | LineSet, ...]) -> tuple[Figure | LineSet, ...]:
    """Return for which losses a prudent officer refuses it: less holds her in a wind that has reached the
    caution, she comes off her fenders or out of her place, a line or brake comes over its limit, or no breast
    is left."""
    limits = c.before.stay.limits
    caution, off = limits.holding_share.caution, limits.off_fenders_m.warning
    shares = [share for share in (c.after.wind_share, c.ahead.wind_share) if not isnan(share)]
    windy = caution is not None and any(share >= caution for share in shares)

    def is_reason(each: Figure | LineSet) -> bool:
        match each.name:
            case "holds" | "square_off" | "wind_share" | "wind_ahead":
                return windy
            case "off_fenders":
                return off is not None and c.after.off_m >= off
            case "drift":
                return c.after.drift_share >= 1.0
            case "breasts":
                return not each.after
        return each.name in ("over_wll", "over_brake")

    chosen = [each for each in losses if is_reason(each)]
    return tuple(sorted(chosen, key=_weight))


def _weight(each: Figure | LineSet) -> int:
    """Return what is said first of what refuses a deed: that no breast is left, then the wind that is
    forecast."""
    if isinstance(each, LineSet):
        return 0 if each.name == "breasts" else 2
    then = each.worst_wind[1]
    return 1 if then is not None and then.forecast else 2


def _without_losses(c: Compared) -> Verdict:
    if why := why_not_known(c):
        return Verdict(Word.NOT_KNOWN, c.gains(), why)
    if c.ahead.lines_worse or c.ahead.ship_worse:
        return Verdict(Word.WORSE, c.gains(), ahead=True)
    warning = c.before.stay.limits.holding_share.warning
    if gains := c.gains():
        for share in (c.of("wind_share"), c.of("wind_ahead")):
            if isinstance(share, Figure) and warning is not None and share.after >= warning:
                return Verdict(Word.NOT_ENOUGH, (share, *_others(gains, share)))
        return Verdict(Word.BETTER, gains)
    if c.ahead.lines_better or c.ahead.ship_better:
        return Verdict(Word.BETTER, ahead=True)
    return Verdict(Word.NO_CHANGE)


def why_not_known(c: Compared) -> str:
    """Return why it cannot be judged what holds her; "" where it can be."""
    reason = c.before.why_not or c.after.why_not or c.after.power.reason or c.before.power.reason
    if reason:
        return reason
    return "" if c.before.basis.arrangement.balanced else "ship kept in place, drift and fenders left out"
