"""The causes of alerts: which rules a stay gives, and what each is measured by.

A cause is its name, the rules it makes of a stay (fixed for that stay) and one of the `measures`.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import isnan
from typing import Final

import numpy as np
from numpy.typing import NDArray

from alongside.alerts.feed_rules import feed_ages, feed_levels, feed_rules, lost_channels
from alongside.alerts.findings import Findings
from alongside.alerts.load_rules import watched_by_computed_load, with_cell
from alongside.alerts.measures import (
    FILLING,
    SLOPE,
    bollard,
    brake,
    brake_in_question,
    bridge_failed,
    call_failed,
    clock_ahead,
    decide_kept,
    decide_levels,
    drift,
    failing,
    failures,
    gangway,
    heading_apart,
    holding,
    holding_gust,
    load,
    minutes_to_decide,
    minutes_to_limit,
    next_orders,
    off_fenders,
    slack,
    steepness,
    stretch,
    tension,
    under_keel,
    unrecorded,
)
from alongside.alerts.rule_model import Parts, Rule
from alongside.alerts.unknown_lines import (
    no_length,
    parted,
    parted_rules,
    unknown_line_levels,
    unknown_line_rules,
)
from alongside.mechanics.gangway import steepest_deg
from alongside.readings import Codes, Floats
from alongside.stay.causes import EXPECTED, Cause
from alongside.stay.gear import drift_limits, range_limits
from alongside.stay.model import DEEDS, Line, StageLimits, Stay

NAN = float("nan")


Measure = Callable[[Sequence[Rule], Findings], Floats]
"""Values (n, rules) of the rules of one cause, NaN where not known."""


@dataclass(frozen=True, slots=True)
class RuleSet:
    """The rules of one cause. `grade` gives levels (n, rules) of Stage where they do not follow from value
    and limits, `kept` those that may still be held (None: the same); `asks` says where (n, rules) somebody
    must look, whatever the limits: that is an alarm. What `warns` measures is held against the same limits,
    but calls for a warning at most. `parts` (n, rules) says what of it calls, where it is several things."""

    cause: Cause
    rules: Callable[[Stay], tuple[Rule, ...]]
    measure: Measure
    grade: Callable[[Sequence[Rule], Findings], Codes] | None = None
    asks: Callable[[Sequence[Rule], Findings], NDArray[np.bool_]] | None = None
    warns: Measure | None = None
    kept: Callable[[Sequence[Rule], Findings], Codes] | None = None
    parts: Callable[[Sequence[Rule], Findings], Parts] | None = None


def _line_rules(
    cause: Cause, stay: Stay, limits: StageLimits, unit: str = "", sense: int = 1
) -> tuple[Rule, ...]:
    if not limits.used:
        return ()
    return tuple(
        Rule(cause, line.id, limits.as_tuple(), sense=sense, unit=unit, line=line.id) for line in stay.lines
    )


def _steep_rules(stay: Stay) -> tuple[Rule, ...]:
    return _line_rules("steep", stay, stay.limits.steep_deg, unit="deg")


def _stretch_rules(stay: Stay) -> tuple[Rule, ...]:
    return _line_rules("stretch", stay, stay.limits.stretch_share)


def _load_rules(stay: Stay) -> tuple[Rule, ...]:
    """Only lines with a load cell, whose load may be another than the computed, and those of which a part has
    a stretch allowance of its own, unless the stay file gives limits of its own. For all others the allowance
    is the elongation at the working load limit: stretch says the same, and one situation is one alert."""
    watched = with_cell(stay) | watched_by_computed_load(stay)
    return tuple(
        rule for rule in _line_rules("load", stay, stay.limits.load_share) if rule.subject in watched
    )


def _slack_rules(stay: Stay) -> tuple[Rule, ...]:
    return _line_rules("slack", stay, stay.limits.slack_share, sense=-1)


def _brake_rules(stay: Stay) -> tuple[Rule, ...]:
    braked = {line.id for line in stay.lines if not isnan(_brake_kn(stay, line))}
    return tuple(
        rule for rule in _line_rules("brake", stay, stay.limits.brake_share) if rule.subject in braked
    )


def _brake_kn(stay: Stay, line: Line) -> float:
    """Holding of the line's winch brake as set, kN; NaN where there is none."""
    winch = None if line.winch is None else stay.ship.winches.get(line.winch)
    return NAN if winch is None or winch.holding_kn is None else winch.holding_kn


def _bollard_rules(stay: Stay) -> tuple[Rule, ...]:
    limits = stay.limits.bollard_share
    used = {line.bollard for line in stay.lines}
    return tuple(
        Rule("bollard", name, limits.as_tuple())
        for name in (*stay.berth.bollards, *stay.berth.dolphins)
        if stay.berth.swl_of(name) is not None
        and any(stay.berth.bears(name, bollard) for bollard in used)
        and limits.used
    )


def _under_keel_rules(stay: Stay) -> tuple[Rule, ...]:
    limits = stay.limits.under_keel_m
    if stay.berth.charted_depth is None or not limits.used:
        return ()
    return (Rule("under_keel", "", limits.as_tuple(), sense=-1, unit="m"),)


def _is_balanced(stay: Stay) -> bool:
    return stay.balance and bool(stay.berth.fenders)


def _drift_rules(stay: Stay) -> tuple[Rule, ...]:
    if not _is_balanced(stay):
        return ()
    limits = {**dict(zip(("surge", "sway"), drift_limits(stay), strict=True)), **range_limits(stay)}
    return tuple(
        Rule("drift", way, limit.as_tuple(), unit="deg" if way == "yaw_range" else "m")
        for way, limit in limits.items()
        if limit.used
    )


def _off_fenders_rules(stay: Stay) -> tuple[Rule, ...]:
    limits = stay.limits.off_fenders_m
    if not _is_balanced(stay) or not limits.used:
        return ()
    return (Rule("off_fenders", "", limits.as_tuple(), unit="m"),)


def _gangway_rules(stay: Stay) -> tuple[Rule, ...]:
    """A warning, since people are on it: one rule for each end of the range in which it can be used, and one
    for its slope."""
    at = stay.outlook.gangway
    if at is None:
        return ()
    steepest = None if at.length is None else steepest_deg(at)
    rules = (("low", at.lowest, -1, "m"), ("high", at.highest, 1, "m"), (SLOPE, steepest, 1, "deg"))
    return tuple(
        Rule("gangway", subject, (NAN, limit, NAN), sense=sense, unit=unit)
        for subject, limit, sense, unit in rules
        if limit is not None
    )


def _holding_rules(stay: Stay) -> tuple[Rule, ...]:
    limits = stay.limits.holding_share
    if not _is_balanced(stay) or stay.ship.wind is None or not limits.used:
        return ()
    return (Rule("holding", "", limits.as_tuple()),)


def _tension_rules(stay: Stay) -> tuple[Rule, ...]:
    """Only lines with a load cell."""
    rules, lines = _line_rules("tension", stay, stay.limits.tension_share), with_cell(stay)
    return tuple(rule for rule in rules if rule.subject in lines)


CLOCK_S = 60.0
"""Within so much nothing that a watch rests on is another."""


def _ahead_rules(stay: Stay) -> tuple[Rule, ...]:
    """Every line, and the ship; nothing is foreseen without a tide."""
    if stay.tide is None:
        return ()
    limits = (stay.outlook.soon_min, NAN, NAN)
    lines = tuple(Rule("ahead", line.id, limits, sense=-1, unit="min", line=line.id) for line in stay.lines)
    return (*lines, Rule("ahead", "", limits, sense=-1, unit="min"))


DECIDE_MIN: Final = (60.0, 15.0, 0.0)
"""Minutes before an order is due: to have it in mind, to give it, past. Common practice, no source."""


def _decide_rules(stay: Stay) -> tuple[Rule, ...]:
    """One of each deed that limits of the stay file call for; of tugs always, as the lines may hold less than
    the wind to come."""
    if stay.decide is None:
        return ()
    limits = (max(stay.outlook.soon_min, 2.0 * DECIDE_MIN[1]), *DECIDE_MIN[1:])
    deeds = {limit.do for limit in (*stay.decide.with_transfer, *stay.decide.without_transfer)}
    wanted = deeds | {"tugs"}
    return tuple(Rule("decide", each, limits, sense=-1, unit="min") for each in DEEDS if each in wanted)


HEADING_DEG: Final = 10.0
"""Gyro and bearing of the berth agree within this, or one of them is wrong, and the wind comes from
elsewhere."""


def _heading_rules(stay: Stay) -> tuple[Rule, ...]:
    """Where a gyro is fitted. A warning: a berth turned round turns every wind round."""
    fitted = any(source.channel == "heading" for feed in stay.feeds for source in feed.channels)
    return (Rule("heading", "", (NAN, HEADING_DEG, NAN), unit="deg"),) if fitted else ()


def _calculation_rules(_stay: Stay) -> tuple[Rule, ...]:
    """An alarm: while the calculation fails every alert derived from it is suspended, so nothing else can
    call the watch, and only their own eyes are left."""
    return (Rule("calculation", "", (NAN, NAN, 1.0), slow=False),)


def _clock_rules(_stay: Stay) -> tuple[Rule, ...]:
    """A warning: tide, plan and forecast are looked up for the time of the watch, which runs ahead."""
    return (Rule("clock", "", (NAN, CLOCK_S, NAN), unit="s", slow=False),)


def _record_rules(_stay: Stay) -> tuple[Rule, ...]:
    """A caution while a feed fills the disk. A warning while something is not kept: the lines are watched as
    before, but somebody must write down by hand what is done."""
    return (Rule("record", "", (FILLING, 1.0, NAN), slow=False),)


def _caller_rules(_stay: Stay) -> tuple[Rule, ...]:
    """A warning: nobody else hears of an alarm that nobody here answers."""
    return (Rule("caller", "", (NAN, 1.0, NAN), slow=False),)


def _bridge_rules(stay: Stay) -> tuple[Rule, ...]:
    """A caution: the watch is here, and somebody must know that nobody there sees its alerts. Only where they
    are to go there."""
    return () if stay.alerts_out is None else (Rule("bridge", "", (1.0, NAN, NAN), slow=False),)


RULE_SETS: tuple[RuleSet, ...] = (
    RuleSet("steep", _steep_rules, steepness),
    RuleSet("stretch", _stretch_rules, stretch),
    RuleSet("load", _load_rules, load),
    RuleSet("slack", _slack_rules, slack),
    RuleSet("brake", _brake_rules, brake, asks=brake_in_question),
    RuleSet("bollard", _bollard_rules, bollard),
    RuleSet("under_keel", _under_keel_rules, under_keel),
    RuleSet("drift", _drift_rules, drift),
    RuleSet("off_fenders", _off_fenders_rules, off_fenders),
    RuleSet("gangway", _gangway_rules, gangway),
    RuleSet("holding", _holding_rules, holding, warns=holding_gust),
    RuleSet("tension", _tension_rules, tension),
    RuleSet("parted", parted_rules, parted),
    RuleSet("not_known", unknown_line_rules, no_length, unknown_line_levels),
    RuleSet("feed", feed_rules, feed_ages, feed_levels, parts=lost_channels),
    RuleSet("decide", _decide_rules, minutes_to_decide, decide_levels, kept=decide_kept, parts=next_orders),
    RuleSet("ahead", _ahead_rules, minutes_to_limit),
    RuleSet("heading", _heading_rules, heading_apart),
    RuleSet("calculation", _calculation_rules, failing, parts=failures),
    RuleSet("record", _record_rules, unrecorded),
    RuleSet("clock", _clock_rules, clock_ahead),
    RuleSet("caller", _caller_rules, call_failed),
    RuleSet("bridge", _bridge_rules, bridge_failed),
)
"""Every cause, in the order in which their rules stand."""


def rules_of(stay: Stay, ahead: bool = False) -> tuple[Rule, ...]:
    """Return the rules that a stay gives, cause by cause; fixed for that stay. With `ahead` those too that
    rest on a forecast."""
    wanted = [rule_set for rule_set in RULE_SETS if ahead or rule_set.cause not in EXPECTED]
    return tuple(rule for rule_set in wanted for rule in rule_set.rules(stay))
