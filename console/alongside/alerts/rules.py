"""The causes of alerts: which rules a stay gives, and what each is measured by.

A cause is its name, the rules it makes of a stay (fixed for that stay) and a function that measures all of
them at n instants at once from the `Findings`.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import isnan

import numpy as np

from alongside.alerts.feed_rules import feed_ages, feed_levels, feed_rules
from alongside.alerts.findings import Findings
from alongside.alerts.rule_model import Rule
from alongside.mechanics.gangway import rail_over_quay
from alongside.mechanics.holding import WeakSpot
from alongside.mechanics.usage import Gives
from alongside.readings import Codes, Floats
from alongside.stay.causes import Cause
from alongside.stay.gear import drift_limits
from alongside.stay.model import Limits, Line, StageLimits, Stay

NAN = float("nan")

HANGS_SLACK = 0.01
"""Of the working load limit, where the file sets no warning for slack."""

RENDERS = 1e-5
"""Of the holding: a load this near to it is the holding."""


Measure = Callable[[Sequence[Rule], Findings], Floats]
"""Values (n, rules) of the rules of one cause, NaN where not known."""


@dataclass(frozen=True, slots=True)
class RuleSet:
    """The rules of one cause. `grade` gives levels (n, rules) of Stage where they do not follow from value
    and limits."""

    cause: Cause
    rules: Callable[[Stay], tuple[Rule, ...]]
    measure: Measure
    grade: Callable[[Sequence[Rule], Findings], Codes] | None = None


def steepness(rules: Sequence[Rule], findings: Findings) -> Floats:
    """Steepness in deg, up or down alike; a line not made fast leads nowhere yet, and one that hangs slack
    pulls nowhere: what matters then is that it is slack."""
    columns = findings.columns(rules)
    lines = findings.lines
    steep = watched_angle(findings.stay, lines.vertical_deg[:, columns], lines.load_share[:, columns])
    steep[np.isnan(findings.lines.unstretched_m[:, columns])] = np.nan
    return steep


def watched_angle(stay: Stay, vertical_deg: Floats, load_share: Floats) -> Floats:
    """Return the angle that counts as steepness, deg: up or down alike, 0 while the line hangs slack."""
    angle: Floats = np.abs(vertical_deg)
    angle[load_share <= (stay.limits.slack_share.warning or HANGS_SLACK)] = 0.0
    return angle


def stretch(rules: Sequence[Rule], findings: Findings) -> Floats:
    return findings.lines.stretch_share[:, findings.columns(rules)]


def load(rules: Sequence[Rule], findings: Findings) -> Floats:
    """Tension over the smallest working load limit of the line's parts."""
    return findings.lines.load_share[:, findings.columns(rules)]


def brake(rules: Sequence[Rule], findings: Findings) -> Floats:
    """Tension over what the winch brake holds. A brake that renders holds the line at just that, give or
    take the rounding: then the share is 1."""
    columns = findings.columns(rules)
    share = findings.lines.tension_kn[:, columns] / findings.brake_kn[..., columns]
    renders: Floats = np.where(np.abs(share - 1.0) < RENDERS, 1.0, share)
    return renders


def bollard(rules: Sequence[Rule], findings: Findings) -> Floats:
    """Vector sum of the lines on a bollard over its safe working load."""
    columns = [findings.bollards.index(rule.subject) for rule in rules]
    swl = np.array([findings.stay.berth.bollards[rule.subject].swl_kn for rule in rules], dtype=np.float64)
    return findings.bollard_kn[:, columns] / swl


def under_keel(_rules: Sequence[Rule], findings: Findings) -> Floats:
    """Water under the deeper of the two draught marks, m; squat, swell and heel are not in it."""
    depth = findings.stay.berth.charted_depth
    assert depth is not None, "no rule without a charted depth"
    here = findings.situation
    return (depth + here.tide - np.maximum(here.draught_fwd, here.draught_aft))[:, np.newaxis]


def drift(rules: Sequence[Rule], findings: Findings) -> Floats:
    """How far she has moved from her place along the berth and off it, m, either way."""
    if findings.pose is None:
        return np.full((len(findings), len(rules)), np.nan)
    moved: Floats = np.abs([getattr(findings.pose, rule.subject) for rule in rules]).T
    return moved


def gangway(rules: Sequence[Rule], findings: Findings) -> Floats:
    """Height of the rail at the gangway over the quay, m, for both ends of the range in which it can be
    used."""
    rail = rail_over_quay(findings.stay, findings.situation)
    return np.repeat(rail[:, np.newaxis], len(rules), axis=1)


def off_fenders(_rules: Sequence[Rule], findings: Findings) -> Floats:
    """Her side off the nearest fender, m; 0 while she lies on one."""
    return _one_column(findings, None if findings.off_m is None else np.maximum(findings.off_m, 0.0))


def holding(_rules: Sequence[Rule], findings: Findings) -> Floats:
    """The 30 s wind by what the set can hold. Where a limit is past even in a calm that is infinite; but
    where that limit has an alert of its own, which says what to do, the wind has no share in it, and less
    than any: one situation is one alert."""
    share = _one_column(findings, findings.holding)
    past = np.flatnonzero(np.isinf(share[:, 0]))
    if past.size and findings.weak is not None:
        share = share.copy()
        told = [_told_elsewhere(findings.stay, findings.weak[row]) for row in past]
        share[past[np.array(told)], 0] = -np.inf
    return share


def _told_elsewhere(stay: Stay, weak: WeakSpot) -> bool:
    """Whether the limit that gives first has an alert of its own by the stay file."""
    limits = stay.limits
    own: dict[Gives, tuple[StageLimits, ...]] = {
        "wll": (limits.stretch_share, limits.load_share),
        "brake": (limits.brake_share,),
        "bollard": (limits.bollard_share,),
        "drift": drift_limits(stay),
        "off_fenders": (limits.off_fenders_m,),
    }
    return weak.gives is not None and any(_used(each) for each in own[weak.gives])


def tension(rules: Sequence[Rule], findings: Findings) -> Floats:
    """Measured from computed tension, either way, over the smallest working load limit."""
    columns = findings.columns(rules)
    measured = np.stack([findings.readings.column(f"tension.{rule.subject}") for rule in rules], axis=1)
    computed = findings.lines.tension_kn[:, columns]
    limit = np.array([findings.stay.lines[column].smallest_wll_kn for column in columns])
    differs: Floats = np.abs(measured - computed) / limit
    return differs


def _one_column(findings: Findings, values: Floats | None) -> Floats:
    return (np.full(len(findings), np.nan) if values is None else values)[:, np.newaxis]


def failing(_rules: Sequence[Rule], findings: Findings) -> Floats:
    """The `NoAnswer` of a calculation that has no answer although its inputs are known, else 0."""
    if findings.unanswered is None:
        return np.zeros((len(findings), 1))
    return findings.unanswered.astype(np.float64)[:, np.newaxis]


def unrecorded(_rules: Sequence[Rule], findings: Findings) -> Floats:
    """1 where what happens is not being put on record, else 0."""
    return np.full((len(findings), 1), 1.0 if findings.unrecorded else 0.0)


def _used(limits: StageLimits) -> bool:
    return not all(isnan(limit) for limit in limits.as_tuple())


def _line_rules(
    cause: Cause, stay: Stay, limits: StageLimits, unit: str = "", sense: int = 1
) -> tuple[Rule, ...]:
    if not _used(limits):
        return ()
    return tuple(
        Rule(cause, line.id, limits.as_tuple(), sense=sense, unit=unit, line=line.id) for line in stay.lines
    )


def _steep_rules(stay: Stay) -> tuple[Rule, ...]:
    return _line_rules("steep", stay, stay.limits.steep_deg, unit="deg")


def _stretch_rules(stay: Stay) -> tuple[Rule, ...]:
    return _line_rules("stretch", stay, stay.limits.stretch_share)


def _load_rules(stay: Stay) -> tuple[Rule, ...]:
    """Only lines of which a part has a stretch allowance of its own, unless the stay file gives limits of its
    own. For all others the allowance is the elongation at the working load limit: stretch says the same, and
    one situation is one alert."""
    asked = stay.limits.load_share != Limits().load_share
    own = {line.id for line in stay.lines if asked or _has_own_allowance(line)}
    return tuple(rule for rule in _line_rules("load", stay, stay.limits.load_share) if rule.subject in own)


def _has_own_allowance(line: Line) -> bool:
    ropes = [line.rope] if line.tail is None else [line.rope, line.tail.rope]
    return any(rope.allowance_percent is not None for rope in ropes)


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
    return NAN if winch is None or winch.brake_kn is None else winch.brake_kn


def _bollard_rules(stay: Stay) -> tuple[Rule, ...]:
    limits = stay.limits.bollard_share
    used = {line.bollard for line in stay.lines}
    return tuple(
        Rule("bollard", name, limits.as_tuple())
        for name, bollard in stay.berth.bollards.items()
        if name in used and bollard.swl_kn is not None and _used(limits)
    )


def _under_keel_rules(stay: Stay) -> tuple[Rule, ...]:
    limits = stay.limits.under_keel_m
    if stay.berth.charted_depth is None or not _used(limits):
        return ()
    return (Rule("under_keel", "", limits.as_tuple(), sense=-1, unit="m"),)


def _is_balanced(stay: Stay) -> bool:
    return stay.balance and bool(stay.berth.fenders)


def _drift_rules(stay: Stay) -> tuple[Rule, ...]:
    if not _is_balanced(stay):
        return ()
    limits = dict(zip(("surge", "sway"), drift_limits(stay), strict=True))
    return tuple(
        Rule("drift", way, limit.as_tuple(), unit="m") for way, limit in limits.items() if _used(limit)
    )


def _off_fenders_rules(stay: Stay) -> tuple[Rule, ...]:
    limits = stay.limits.off_fenders_m
    if not _is_balanced(stay) or not _used(limits):
        return ()
    return (Rule("off_fenders", "", limits.as_tuple(), unit="m"),)


def _gangway_rules(stay: Stay) -> tuple[Rule, ...]:
    """A warning, since people are on it: one rule for each end of the range in which it can be used."""
    at = stay.outlook.gangway
    if at is None:
        return ()
    ends = (("low", at.lowest, -1), ("high", at.highest, 1))
    return tuple(
        Rule("gangway", end, (NAN, limit, NAN), sense=sense, unit="m")
        for end, limit, sense in ends
        if limit is not None
    )


def _holding_rules(stay: Stay) -> tuple[Rule, ...]:
    limits = stay.limits.holding_share
    if not _is_balanced(stay) or stay.ship.wind is None or not _used(limits):
        return ()
    return (Rule("holding", "", limits.as_tuple()),)


def _tension_rules(stay: Stay) -> tuple[Rule, ...]:
    """Only lines with a load cell."""
    measured = {source.channel for feed in stay.feeds for source in feed.channels}
    rules = _line_rules("tension", stay, stay.limits.tension_share)
    return tuple(rule for rule in rules if f"tension.{rule.subject}" in measured)


GONE_S = 120.0
CLOCK_S = 60.0
"""Within so much nothing that a watch rests on is another."""


def _ahead_rules(stay: Stay) -> tuple[Rule, ...]:
    """Every line, and the ship; nothing is foreseen without a tide."""
    if stay.tide is None:
        return ()
    limits = (stay.outlook.soon_min, NAN, NAN)
    lines = tuple(Rule("ahead", line.id, limits, sense=-1, unit="min", line=line.id) for line in stay.lines)
    return (*lines, Rule("ahead", "", limits, sense=-1, unit="min"))


def minutes_to_limit(rules: Sequence[Rule], findings: Findings) -> Floats:
    """Minutes to the next limit that the forecast expects, 0 for two minutes from then on, infinite after
    that (its own alert stands by then, or it did not come) and where none is expected; NaN where there
    is no forecast."""
    if findings.next_limits is None:
        return np.full((len(findings), len(rules)), np.nan)
    times = {each.subject: each.time for each in findings.next_limits}
    due = np.array([times.get(rule.subject, np.inf) for rule in rules])
    left = due - findings.situation.time[:, np.newaxis]
    return np.where(left < -GONE_S, np.inf, np.maximum(left, 0.0)) / 60.0


def _calculation_rules(_stay: Stay) -> tuple[Rule, ...]:
    """An alarm: while the calculation fails every alert derived from it is suspended, so nothing else can
    call the watch, and only their own eyes are left."""
    return (Rule("calculation", "", (NAN, NAN, 1.0), slow=False),)


def _clock_rules(_stay: Stay) -> tuple[Rule, ...]:
    """A warning: tide, plan and forecast are looked up for the time of the watch, which runs ahead."""
    return (Rule("clock", "", (NAN, CLOCK_S, NAN), unit="s", slow=False),)


def clock_ahead(_rules: Sequence[Rule], findings: Findings) -> Floats:
    """Seconds by which times run ahead of the clock."""
    return np.full((len(findings), 1), findings.clock_ahead_s)


def _record_rules(_stay: Stay) -> tuple[Rule, ...]:
    """A warning: the lines are watched as before, but somebody must write down by hand what is done."""
    return (Rule("record", "", (NAN, 1.0, NAN), slow=False),)


RULE_SETS: tuple[RuleSet, ...] = (
    RuleSet("steep", _steep_rules, steepness),
    RuleSet("stretch", _stretch_rules, stretch),
    RuleSet("load", _load_rules, load),
    RuleSet("slack", _slack_rules, load),
    RuleSet("brake", _brake_rules, brake),
    RuleSet("bollard", _bollard_rules, bollard),
    RuleSet("under_keel", _under_keel_rules, under_keel),
    RuleSet("drift", _drift_rules, drift),
    RuleSet("off_fenders", _off_fenders_rules, off_fenders),
    RuleSet("gangway", _gangway_rules, gangway),
    RuleSet("holding", _holding_rules, holding),
    RuleSet("tension", _tension_rules, tension),
    RuleSet("feed", feed_rules, feed_ages, feed_levels),
    RuleSet("ahead", _ahead_rules, minutes_to_limit),
    RuleSet("calculation", _calculation_rules, failing),
    RuleSet("record", _record_rules, unrecorded),
    RuleSet("clock", _clock_rules, clock_ahead),
)
"""Every cause, in the order in which their rules stand."""


def rules_of(stay: Stay, ahead: bool = False) -> tuple[Rule, ...]:
    """The rules that a stay gives, cause by cause; fixed for that stay. With `ahead` those too that rest on
    a forecast."""
    wanted = [rule_set for rule_set in RULE_SETS if ahead or rule_set.cause != "ahead"]
    return tuple(rule for rule_set in wanted for rule in rule_set.rules(stay))
