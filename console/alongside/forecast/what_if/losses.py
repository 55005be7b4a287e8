"""What a change takes and what it gives: measures of one instant before and after, each with its effect."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import Enum
from math import isfinite, isnan, nan
from typing import Final, Literal

from alongside.forecast.what_if.ahead_of import AheadChange
from alongside.forecast.what_if.changes import Change, LetGo, PayOut
from alongside.forecast.what_if.state_now import StateNow
from alongside.forecast.worst_wind import WorstWind
from alongside.mechanics.holding import NO_WEAK_SPOT, HoldingPower
from alongside.mechanics.lesser_holding import lesser


class Effect(Enum):
    LOST = "lost"
    GAINED = "gained"
    SAME = "same"
    NOT_KNOWN = "not known"


FigureName = Literal["holds", "square_off", "wind_share", "wind_ahead", "contact", "off_fenders", "drift"]
SetName = Literal["parts", "over_wll", "over_brake", "slack", "breasts", "fast"]
LEAST_MS: Final = 0.25
"""Half a knot: less is no other wind."""
LEAST_SHARE: Final = 0.01
LEAST_OFF_M: Final = 0.01
LEAST_DRIFT_M: Final = 0.05


@dataclass(frozen=True, slots=True)
class Figure:
    """A number before and after: m/s held (from `from_deg`, true; `gives` and `where` as of `HoldingPower`),
    m off fenders or off place, or the wind by what is held, now or at its most in the hours ahead, with that
    wind; NaN where not known."""

    name: FigureName
    before: float
    after: float
    effect: Effect
    from_deg: tuple[float, float] = (nan, nan)
    gives: tuple[str | None, str | None] = (None, None)
    where: tuple[str | None, str | None] = (None, None)
    worst_wind: tuple[WorstWind | None, WorstWind | None] = (None, None)


@dataclass(frozen=True, slots=True)
class LineSet:
    """Lines before and after, in the order of the stay. Of `breasts` and `fast` fewer is a loss, of all
    others more."""

    name: SetName
    before: tuple[str, ...]
    after: tuple[str, ...]
    effect: Effect


def only_takes(changes: Sequence[Change]) -> bool:
    """Return whether changes only let go or slack: they add nothing that holds her."""
    return all(
        isinstance(each, LetGo) or (isinstance(each, PayOut) and each.metres > 0.0) for each in changes
    )


def not_above(power: HoldingPower, before: HoldingPower) -> HoldingPower:
    """Return a holding power that is nowhere above another one. A line that gives first and is let go leaves
    to the others what they hold once it has given: that is no gain."""
    return lesser(power, before)


def figures(before: StateNow, after: StateNow, ahead: AheadChange) -> tuple[Figure, ...]:
    """Return the numbers that say whether she is held, what matters most first; of the hours ahead where they
    were looked at."""
    held = (
        _held("square_off", before, after, before.square_off, after.square_off),
        _held("holds", before, after, before.power.weakest, after.power.weakest),
    )
    share = _rising("wind_share", before.wind_share, after.wind_share, LEAST_SHARE)
    contact = _contact(before, after)
    off = _rising("off_fenders", before.off_m, after.off_m, LEAST_OFF_M)
    then = (_ahead(*ahead.worst_wind),) if ahead.known else ()
    return *held, share, *then, contact, off, _drift(before, after)


def _ahead(before: WorstWind | None, after: WorstWind | None) -> Figure:
    """Return the wind that is most by what is held in the hours ahead."""
    both = before, after
    shares = [nan if each is None else each.share for each in both]
    one, other = (NO_WEAK_SPOT if each is None else each.weak for each in both)
    return replace(
        _rising("wind_ahead", shares[0], shares[1], LEAST_SHARE),
        from_deg=(nan if before is None else before.from_deg, nan if after is None else after.from_deg),
        gives=(one.gives, other.gives),
        where=(one.where, other.where),
        worst_wind=both,
    )


def _held(name: FigureName, before: StateNow, after: StateNow, one: int, other: int) -> Figure:
    at = ((before.power, one), (after.power, other))
    holds = [float(power.holds_ms[k]) for power, k in at]
    return Figure(
        name,
        holds[0],
        holds[1],
        _effect(holds[0], holds[1], LEAST_MS),
        (float(before.power.from_deg[one]), float(after.power.from_deg[other])),
        (before.power.gives_first[one], after.power.gives_first[other]),
        (before.power.where[one], after.power.where[other]),
    )


def _contact(before: StateNow, after: StateNow) -> Figure:
    """Return the wind at which she leaves her last fender, from where she leaves it first."""
    one, other = before.power, after.power
    holds = float(one.contact_ms[one.first_off]), float(other.contact_ms[other.first_off])
    come_from = float(one.from_deg[one.first_off]), float(other.from_deg[other.first_off])
    return Figure("contact", *holds, effect=_effect(*holds, LEAST_MS), from_deg=come_from)


def _drift(before: StateNow, after: StateNow) -> Figure:
    """Return the drift; a metre more or less within the caution of the limits is neither lost nor gained."""
    drift = _rising("drift", before.drift_m, after.drift_m, LEAST_DRIFT_M)
    caution = 0.5
    near = max(before.drift_share, after.drift_share) >= caution
    return drift if drift.effect is Effect.NOT_KNOWN or near else replace(drift, effect=Effect.SAME)


def _rising(name: FigureName, before: float, after: float, least: float) -> Figure:
    """Return a number of which more is worse."""
    return Figure(name, before, after, _effect(-before, -after, least))


def _effect(before: float, after: float, least: float) -> Effect:
    """Return what becomes of a number of which more is better."""
    if isnan(before) or isnan(after):
        return Effect.NOT_KNOWN
    if before == after:
        return Effect.SAME
    change = after - before
    if isfinite(change) and abs(change) <= least:
        return Effect.SAME
    return Effect.LOST if change < 0.0 else Effect.GAINED


def line_sets(before: StateNow, after: StateNow) -> tuple[LineSet, ...]:
    """Return the lines of each set before and after; none where no load is known."""
    if before.why_not or after.why_not or after.adrift or before.adrift:
        return ()
    named = (
        ("parts", before.would_part, after.would_part),
        ("over_wll", before.over_wll, after.over_wll),
        ("over_brake", before.over_brake, after.over_brake),
        ("slack", before.slack, after.slack),
        ("breasts", before.breasts, after.breasts),
        ("fast", before.fast, after.fast),
    )
    return tuple(_line_set(name, one, other, before, after) for name, one, other in named)  # type: ignore[arg-type]


def _line_set(
    name: SetName, one: frozenset[str], other: frozenset[str], before: StateNow, after: StateNow
) -> LineSet:
    new, gone = other - one, one - other
    if name in ("breasts", "fast"):
        fewer, more = len(other) < len(one), len(other) > len(one)
        effect = Effect.LOST if fewer else Effect.GAINED if more else Effect.SAME
    else:
        # A line that is let go is out of every list: that cures nothing.
        effect = Effect.LOST if new else Effect.GAINED if gone & after.fast else Effect.SAME
    order = after.lines
    return LineSet(
        name,
        tuple(line for line in before.lines if line in one),
        tuple(line for line in order if line in other),
        effect,
    )
