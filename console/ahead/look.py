"""The look ahead: expected situations through the mechanics, held against the rules of the stay."""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from console.ahead.crossing import EARLY, LATE, limits_ahead, quantile
from console.ahead.ground import Ground
from console.ahead.held import HoldsAhead, holds_ahead
from console.ahead.model import LimitAhead, Outlook, Spread, Tending
from console.ahead.tending import plan_tending
from console.assessment import Assessment, Findings, Rule, Stage, assess, line_levels
from console.mechanics.bollards import bollard_states
from console.mechanics.hold import hold, standing_off
from console.mechanics.reasons import REASONS
from console.mechanics.state import Hold
from console.outlook.expected import Expected, expected_situations
from console.outlook.hydrostatics import height_over_quay
from console.outlook.present import Present
from console.readings import Floats, Readings
from console.situation import Situation
from console.stay.model import Stay

CAUSES: Final = (
    "steep",
    "stretch",
    "load",
    "slack",
    "brake",
    "bollard",
    "under_keel",
    "drift",
    "off_fenders",
    "holding",
)
"""Causes that follow from where she floats and what leans on her."""


@dataclass(frozen=True, slots=True)
class Far:
    """How far and how finely to look: hours, seconds between instants, members."""

    hours: float
    every_s: float
    members: int

    @classmethod
    def of(cls, stay: Stay) -> "Far":
        return cls(stay.outlook.hours, stay.outlook.every_min * 60.0, stay.outlook.members)

    def times(self, now: float) -> Floats:
        """(m,) instants from now on, the end included."""
        steps = int(np.floor(self.hours * 3600.0 / self.every_s + 1e-9))
        return np.asarray(now + self.every_s * np.arange(steps + 1), dtype=np.float64)


def look_ahead(ground: Ground, present: Present, far: Far | None = None, tend: bool = True) -> Outlook:
    """What will happen to each line from the present on, with the lengths as they are; and, with `tend`, the
    rounds that keep every line in band."""
    far = far or Far.of(ground.stay)
    times = far.times(present.time)
    expected = expected_situations(ground.stay, present, times, far.members)
    situation = expected.situation()
    held = hold(ground.arrangement, situation, present.unstretched)
    outlook = _found(ground, present, expected, situation, held)
    if not tend or outlook.reason:
        return outlook
    return replace(outlook, tending=plan_tending(ground.stay, ground.arrangement, present, expected, held))


def _found(ground: Ground, present: Present, expected: Expected, situation: Situation, held: Hold) -> Outlook:
    shape = expected.tide.shape
    rules = tuple(rule for rule in ground.rules if rule.cause in CAUSES)
    holds = holds_ahead(ground, present, expected)
    findings = _findings(ground, present, expected, situation, held, holds)
    assessment = assess(rules, findings)
    levels = line_levels(assessment, ground.arrangement.ids).reshape(*shape, -1)
    value = assessment.value.reshape(*shape, len(rules))
    rail = rail_over_quay(ground.stay, situation).reshape(shape)
    limits = limits_ahead(rules, expected.time, value) + _gangway_limits(ground.stay, expected.time, rail)
    limits = limits if holds is None else [holds.named(limit) for limit in limits]

    def spread(values: Floats) -> Spread:
        return spread_of(np.reshape(values, shape))

    def of_lines(values: Floats) -> Floats:
        return values.reshape(*shape, -1)

    share = of_lines(held.lines.stretch_share)
    return Outlook(
        time=present.time,
        times=expected.time,
        lines=ground.arrangement.ids,
        members=expected.members,
        tide=spread(expected.tide),
        draught_fwd=spread(expected.draught_fwd),
        draught_aft=spread(expected.draught_aft),
        heel_deg=spread(expected.heel_deg),
        wind_ms=spread(expected.wind_speed),
        wind_from_deg=expected.wind_from[0],
        under_keel=spread(_by_cause(assessment, "under_keel")),
        rail_over_quay=spread_of(rail),
        surge=spread(held.pose.surge),
        sway=spread(held.pose.sway),
        holding_share=spread(_by_cause(assessment, "holding")),
        stage=levels[0],
        stage_best=quantile(levels, EARLY),
        stage_worst=quantile(levels, LATE),
        cause=_worst_cause(assessment, ground.arrangement.ids, shape[1]),
        causes=CAUSES,
        vertical_deg=of_lines(held.lines.vertical_deg)[0],
        stretch_share=share[0],
        load_share=of_lines(held.lines.load_share)[0],
        stretch_high=quantile(share, LATE),
        limits=tuple(sorted(limits, key=lambda limit: limit.not_before)),
        tending=Tending(within=ground.stay.outlook.keep_within),
        notes=(*expected.notes, *_without(ground, present)),
        reason=_reason(held, shape[1]),
        present=present,
    )


def _findings(
    ground: Ground,
    present: Present,
    expected: Expected,
    situation: Situation,
    held: Hold,
    holds: HoldsAhead | None,
) -> Findings:
    fast = ~np.isnan(present.unstretched)
    nothing = np.empty((len(situation), 0))
    codes = nothing.astype(np.int8)
    return Findings(
        stay=ground.stay,
        situation=situation,
        lines=held.lines,
        readings=Readings(situation.time, (), nothing, codes, codes, nothing),
        bollard_kn=bollard_states(ground.arrangement, held.lines, fast).load_kn,
        bollards=ground.arrangement.bollard_ids,
        brake_kn=ground.arrangement.brake_kn,
        pose=held.pose,
        off_m=standing_off(ground.arrangement, held.pose),
        holding=None if holds is None else holds.share,
    )


def spread_of(values: Floats) -> Spread:
    """Of (members, m) what is expected (member 0), and between what 90 % lie, what is expected among them:
    where work turns from one hold to the next, most members are on the same side of it."""
    low, high = quantile(values, EARLY), quantile(values, LATE)
    return Spread(values[0], np.fmin(low, values[0]), np.fmax(high, values[0]))


def rail_over_quay(stay: Stay, situation: Situation) -> Floats:
    """(n,) m of the rail at the gangway over the quay; NaN without a gangway in the stay file."""
    gangway, marks = stay.outlook.gangway, stay.ship.marks
    if gangway is None:
        return np.full(len(situation), np.nan)
    slope = (situation.draught_fwd - situation.draught_aft) / (marks.fwd - marks.aft)
    draught = situation.draught_aft + (gangway.ship_x - marks.aft) * slope
    quay_side = 1.0 if stay.alongside == "starboard" else -1.0
    sunk = quay_side * 0.5 * stay.ship.breadth * np.tan(np.radians(situation.heel_deg))
    return height_over_quay(situation.tide, gangway.rail_z, draught + sunk, gangway.quay_z)


def _gangway_limits(stay: Stay, time: Floats, rail: Floats) -> list[LimitAhead]:
    """When the gangway can no longer be used: a warning, since people are on it."""
    gangway = stay.outlook.gangway
    if gangway is None:
        return []
    nan = float("nan")
    ends = ((gangway.lowest, -1, "low"), (gangway.highest, 1, "high"))
    rules = [
        Rule("gangway", word, (nan, limit, nan), sense=sense, unit="m")
        for limit, sense, word in ends
        if limit is not None
    ]
    return limits_ahead(rules, time, np.repeat(rail[:, :, None], len(rules), axis=2)) if rules else []


def _by_cause(assessment: Assessment, cause: str) -> Floats:
    """(n,) the value of the one rule of a cause; NaN where there is none."""
    for at, rule in enumerate(assessment.rules):
        if rule.cause == cause:
            return assessment.value[:, at]
    return np.full(assessment.time.size, np.nan)


def _worst_cause(assessment: Assessment, lines: tuple[str, ...], m: int) -> np.ndarray:
    """(m, lines) index into `CAUSES` of what gives each line its expected stage, -1 where that is normal."""
    level = assessment.level[:m]
    worst = np.zeros((m, len(lines)), dtype=np.int8)
    cause = np.full((m, len(lines)), -1, dtype=np.int8)
    for at, rule in enumerate(assessment.rules):
        if rule.line in lines:
            column = lines.index(rule.line)
            higher = level[:, at] > worst[:, column]
            worst[higher, column] = level[higher, at]
            cause[higher, column] = CAUSES.index(rule.cause)
    return cause


def _without(ground: Ground, present: Present) -> tuple[str, ...]:
    notes = []
    loose = [
        line
        for line, length in zip(ground.arrangement.ids, present.unstretched, strict=True)
        if np.isnan(length)
    ]
    if loose:
        notes.append(f"not made fast, left out: line{'s' if len(loose) > 1 else ''} {', '.join(loose)}")
    if ground.arrangement.balanced and np.isnan(present.wind_speed):
        notes.append("wind not known: reckoned without")
    if not ground.arrangement.balanced:
        notes.append("held in place: wind, current and drift do not enter")
    return tuple(notes)


def _reason(held: Hold, m: int) -> str:
    """Why nothing is known at the first instant as expected."""
    code = int(held.reason[0])
    return REASONS[code] if m else "no instants"


def worst_stage(outlook: Outlook) -> Stage:
    """The worst stage that any line is expected to reach."""
    return Stage(int(outlook.stage.max())) if outlook.stage.size else Stage.NORMAL
