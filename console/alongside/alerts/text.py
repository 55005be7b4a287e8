"""Texts of alerts: what is, with its figure and limit, in the units of the stay's display."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from math import inf, isfinite, isnan
from typing import Final

from alongside.alerts.assess import DEADBAND
from alongside.alerts.event_text import Describe
from alongside.alerts.gear_text import bridge_text, caller_text, clock_text, feed_text, record_text
from alongside.alerts.model import Onset
from alongside.alerts.over_brake import OverBrake, over_its_brake
from alongside.alerts.phrases import PHRASES, Detail, anything, line_of
from alongside.alerts.rule_model import Assessment, DueBy, NextLimit, Rule
from alongside.mechanics.holding import NO_WEAK_SPOT, WeakSpot
from alongside.mechanics.reasons import NoAnswer, NoLength
from alongside.mechanics.state import LineStates, Pose
from alongside.readings import Floats, Readings
from alongside.stay.causes import Cause
from alongside.stay.gear import RANGES
from alongside.stay.making_fast import time_fast
from alongside.stay.model import Display, Stay
from alongside.stay.stage import Stage
from alongside.wording.decide import (
    answered_words,
    due_words,
    moved_words,
    reached_words,
    then_words,
    wind_and_limit,
)
from alongside.wording.figures import force_text, listed, metres, percent, quantity, slope
from alongside.wording.names import condition
from alongside.wording.names import no_length as no_length_words
from alongside.wording.safe import safe
from alongside.wording.times import DayClock, clock

NO_ONSET: Final = Onset()
NO_DETAIL: Final = Detail()
LULL: Final[dict[Cause, float]] = {"holding": DEADBAND}
"""What gusts lift over a limit eases only once it is so much below: a lull is no easing."""
OF_ONE_LINE: Final = ("steep", "tension", "load", "slack", "brake", "not_known", "parted")
"""Causes whose text says more of their line than the value."""


@dataclass(frozen=True, slots=True)
class Facts:
    """What texts are made from at one instant, `row` of the arrays."""

    stay: Stay
    assessment: Assessment
    readings: Readings
    row: int
    lines: LineStates | None = None
    """Which way a steep line leads, and the load computed beside a cell's; None: the text does without."""
    pose: Pose | None = None
    """Which way the ship has moved; None: the text does without."""
    weak: WeakSpot = NO_WEAK_SPOT
    """What would give first in a stronger wind."""
    unrecorded: str = ""
    """What is not on record."""
    next_limits: Sequence[NextLimit] = ()
    """What is expected."""
    parted_at: Floats | None = None
    """(lines,) UNIX seconds at which each line parted; None: the text does without."""
    filling: str = ""
    """Which feed fills the disk."""
    over_brake: OverBrake | None = None
    """What is in question of the winch brakes."""
    call_fault: str = ""
    """Why the second caller failed."""
    bridge_fault: str = ""
    """Why alerts do not go to the bridge."""
    due: Sequence[DueBy] = ()
    """What is to be decided, and by when."""


def describe(facts: Facts) -> Describe:
    """Return the function that words rule k at a stage."""
    rules, readings, row = facts.assessment.rules, facts.readings, facts.row

    def words(k: int, stage: Stage, onset: Onset = NO_ONSET) -> str:
        rule, value = rules[k], float(facts.assessment.value[row, k])
        if rule.cause == "feed":
            return feed_text(facts.stay, rule, stage, readings, row)
        if rule.cause == "record":
            return record_text(stage, facts.unrecorded, facts.filling)
        if rule.cause == "caller":
            return caller_text(stage, facts.call_fault)
        if rule.cause == "bridge":
            return bridge_text(stage, facts.bridge_fault)
        if rule.cause == "clock":
            return clock_text(stage, value)
        if rule.cause == "decide":
            time = float(facts.assessment.time[row])
            return decide_text(facts.stay.display, rule, time, facts.due)
        if rule.cause == "ahead":
            return ahead_text(facts.stay.display, rule, stage, value, facts.next_limits)
        return alert_text(facts.stay, rule, stage, value, _detail(facts, rule), onset)

    return words


def _detail(facts: Facts, rule: Rule) -> Detail:
    row = facts.row
    wind = float(facts.readings.column("wind_speed")[row])
    detail = Detail(float(facts.readings.time[row]), weak=facts.weak, wind_ms=wind)
    if rule.cause == "drift" and rule.subject not in RANGES and facts.pose is not None:
        return replace(detail, moved_m=float(getattr(facts.pose, rule.subject)[row]))
    if rule.cause == "holding" and facts.lines is not None:
        gust, come_from = (float(facts.readings.column(name)[row]) for name in ("wind_gust", "wind_from"))
        without = _without(facts.stay, facts.lines, row)
        over, known = facts.over_brake, isfinite(come_from)
        asked = () if over is None else over.lines(row, [line.id for line in facts.stay.lines])
        return replace(detail, without=without, gust_ms=gust, wind_from_known=known, in_question=asked)
    if rule.cause == "brake" and facts.over_brake is not None:
        at = row, next(place for place, line in enumerate(facts.stay.lines) if line.id == rule.subject)
        over = facts.over_brake
        ran_out, most = float(over.ran_out_m[at]), float(over.most_kn[at])
        detail = replace(detail, ran_out_m=ran_out, most_kn=most, or_more=over.is_or_more(*at))
    if facts.lines is None or rule.cause not in OF_ONE_LINE:
        return detail
    column = next(at for at, line in enumerate(facts.stay.lines) if line.id == rule.subject)
    if rule.cause == "not_known":
        return replace(detail, path_m=float(facts.lines.path_m[row, column]))
    if rule.cause == "parted":
        return (
            detail if facts.parted_at is None else replace(detail, parted_at=float(facts.parted_at[column]))
        )
    if rule.cause == "steep":
        return replace(detail, leads_down=not facts.lines.vertical_deg[row, column] < 0.0)
    measured = float(facts.readings.column(f"tension.{rule.subject}")[row])
    return replace(detail, measured_kn=measured, computed_kn=float(facts.lines.tension_kn[row, column]))


def _without(stay: Stay, lines: LineStates, row: int) -> str:
    """Return the lines that have no length and hold nothing: `line 3`, `lines 3 and 4`; "" for none."""
    ids = [safe(line.id) for line, m in zip(stay.lines, lines.unstretched_m[row], strict=True) if isnan(m)]
    return f"{'line' if len(ids) == 1 else 'lines'} {listed(ids)}" if ids else ""


def alert_text(
    stay: Stay,
    rule: Rule,
    stage: Stage,
    value: float,
    detail: Detail = NO_DETAIL,
    onset: Onset = NO_ONSET,
) -> str:
    """Return `Line 3 stretch 88 % (limit 85 %)`; where the value is better than the limit again, what it was
    when it reached it: `Line 3 stretch easing: 82 %, was 86 %`; at the normal stage since when it is within
    limits."""
    if rule.cause == "calculation":
        return no_answer(value) if stage else "Calculation works again"
    if rule.cause == "not_known":
        return unknown_line_text(stay, rule, value, detail)
    if rule.cause == "parted":
        return parted_text(stay, rule, stage, detail)
    if isfinite(detail.ran_out_m):
        waiting = _waiting(stay, onset)
        over = over_its_brake(stay, rule.subject, detail.ran_out_m, detail.most_kn, detail.or_more)
        return f"{over}{waiting}"
    written = _written(stay, rule)
    phrase = PHRASES.get(rule.cause, anything)(stay, rule, value, detail)
    if not stage:
        since = f" since {clock(detail.time, stay.display)}" if isfinite(detail.time) else ""
        if rule.cause == "steep" and value == 0.0:
            return f"Line {safe(rule.subject)} not steep{since}: no load then, angle not judged"
        if value == -inf:
            return phrase.sentence
        return (
            f"{phrase.head} within limits{since}: {phrase.figure}{_limit_text(rule, Stage.NORMAL, written)}"
        )
    waiting = _waiting(stay, onset)
    better = isfinite(onset.was) and not _reaches(rule, stage, value * (1.0 + LULL.get(rule.cause, 0.0)))
    if better and onset.rising and rule.cause != "holding":
        phrase = PHRASES.get(rule.cause, anything)(stay, rule, onset.was, detail)
        waiting = f", {written(value)} now{waiting}"
    elif better and written(onset.was) != written(value):
        return f"{phrase.head} easing: {phrase.figure}, was {written(onset.was)}{waiting}"
    return f"{phrase.sentence}{_limit_text(rule, stage, written)}{waiting}"


def _waiting(stay: Stay, onset: Onset) -> str:
    waits = onset.unanswered_since
    return "" if waits is None else f"; not acknowledged since {clock(waits, stay.display)}"


def _reaches(rule: Rule, stage: Stage, value: float) -> bool:
    """Whether a value is at the limit of a stage or beyond; not so only where both are known."""
    return not (value - rule.limits[stage - 1]) * rule.sense < 0.0


def no_answer(value: float) -> str:
    """Return why the calculation has no answer, by the value of its alert."""
    if value == NoAnswer.NOTHING_HOLDS:
        return "By these figures nothing holds the ship"
    return "No balance of forces found" if value == NoAnswer.NOT_BALANCED else "Calculation failed"


def unknown_line_text(stay: Stay, rule: Rule, value: float, detail: Detail) -> str:
    """Return `Line 3: length not known (tail 60.00 m, path 36.70 m)`, `Line 4 not made fast, planned 14:20`;
    that its length is known where it is again."""
    line, name = line_of(stay, rule), f"Line {safe(rule.subject)}"
    match NoLength.KNOWN if isnan(value) else NoLength(int(value)):
        case NoLength.KNOWN:
            return f"{name}: length is known"
        case NoLength.IMPOSSIBLE:
            tail = "" if line.tail is None else f"tail {metres(line.tail.length)}"
            path = f"path {metres(detail.path_m)}" if isfinite(detail.path_m) else ""
            why = ", ".join(part for part in (tail, path) if part)
            return f"{name}: length not known{f' ({why})' if why else ''}"
        case NoLength.NOT_FAST:
            at = time_fast(stay, line.id)
            planned = f", planned {DayClock(stay.display, detail.time)(at)}" if isfinite(at) else ""
            return f"{name} not made fast{planned}"
        case why:
            return f"{name} {no_length_words(why.name)}"


def parted_text(stay: Stay, rule: Rule, stage: Stage, detail: Detail) -> str:
    """Return `Line 10 parted 23:25`."""
    name = f"Line {safe(rule.subject)}"
    if not stage:
        return f"{name} is not parted"
    since = f" {DayClock(stay.display, detail.time)(detail.parted_at)}" if isfinite(detail.parted_at) else ""
    return f"{name} parted{since}"


def ahead_text(
    display: Display, rule: Rule, stage: Stage, minutes: float, next_limits: Sequence[NextLimit]
) -> str:
    """Return `Line 3 stretch: warning expected 03:40`; while it still stands, that it is reached or past."""
    limit = next((each for each in next_limits if each.subject == rule.subject), None)
    who = f"Line {safe(rule.subject)}" if rule.subject else "Ship"
    if not stage or limit is None:
        return f"{who}: no further limit expected"
    name = condition(limit.cause, limit.of, limit.subject or None)
    if not isfinite(minutes):
        then = clock(limit.time, display)
        return f"{name[:1].upper()}{name[1:]}: {limit.stage.word} expected {then} is reached or past"
    when = clock(limit.time, display) if minutes >= 0.5 else "now"
    return f"{name[:1].upper()}{name[1:]}: {limit.stage.word} expected {when}"


def decide_text(display: Display, rule: Rule, now: float, due: Sequence[DueBy]) -> str:
    """Return `Order tugs by 03:40: 38 kn from 200° at 05:50, lines hold 33 kn; may be reached 05:10, in 6 of
    10 cases; was 04:20: …`; once that is ordered when it comes."""
    each, clock = next((each for each in due if each.do == rule.subject), None), DayClock(display, now)
    if each is None:
        name = condition(rule.cause, rule.subject, None)
        return f"{name[:1].upper()}{name[1:]}: nothing calls for it any more"
    if not each.is_open:
        return answered_words(
            each.calls_for, each.order, each.answered, each.lead_s, each.first, clock, each.comes
        )
    parts = (
        due_words(
            each.calls_for,
            each.order,
            each.by,
            each.lead_s,
            each.first,
            now,
            clock,
            each.comes,
            each.newest,
            each.early,
        ),
        wind_and_limit(each.peak, each.limit_ms, each.gust, each.agreed, each.gives, clock, each.high),
        reached_words(each.first, each.chance, now, clock),
        then_words(each.then, clock),
        moved_words(each.was, each.why, clock),
    )
    head, *rest = (part for part in parts if part)
    return f"{head}{'; ' if ': ' in head else ': '}{'; '.join(rest)}"


def _written(stay: Stay, rule: Rule) -> Callable[[float], str]:
    """How a value or limit of this rule is written: in the unit in which its text has the value."""
    if rule.cause == "tension":
        wll = line_of(stay, rule).smallest_wll_kn
        return lambda share: force_text(share * wll, stay.display)
    if rule.cause == "slack":
        return lambda share: f"{percent(share)} of WLL"
    if rule.cause == "gangway" and rule.unit == "deg":
        return slope
    return lambda value: quantity(value, rule.unit)


def _limit_text(rule: Rule, stage: Stage, written: Callable[[float], str]) -> str:
    """` (limit 85 %)`, at the normal stage that of the first stage used; what lines hold is one by itself."""
    used = [at for at in (Stage.CAUTION, Stage.WARNING, Stage.ALARM) if not isnan(rule.limits[at - 1])]
    shown = stage if stage in used else (used[0] if used and not stage else None)
    if shown is None or rule.cause == "holding":
        return ""
    apart = " apart" if rule.cause == "tension" else ""
    return f" (limit {written(rule.limits[shown - 1])}{apart})"
