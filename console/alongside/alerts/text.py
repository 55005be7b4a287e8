"""Texts of alerts in the words of the trade, in the units of the stay's display."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from math import isfinite, isnan
from typing import Final

from alongside.alerts.event_text import Describe
from alongside.alerts.hearing import blind_without, channel_words, feed_events, trouble
from alongside.alerts.model import Onset
from alongside.alerts.phrases import NOUN, PHRASES, Detail, anything, force_text, line_of, percent, quantity
from alongside.alerts.rule_model import Assessment, NextLimit, Rule
from alongside.mechanics.holding import NO_WEAK_SPOT, WeakSpot
from alongside.mechanics.reasons import NoAnswer
from alongside.mechanics.state import LineStates, Pose
from alongside.readings import Quality, Readings, Reason
from alongside.stay.model import Stay
from alongside.stay.stage import Stage
from alongside.units import clock_span
from alongside.wording.times import clock

__all__ = ["alert_text", "describe", "feed_events", "feed_text", "force_text", "percent"]

NO_ONSET: Final = Onset()
NO_DETAIL: Final = Detail()


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


def describe(facts: Facts) -> Describe:
    """Return the function that words rule k at a stage."""
    rules, readings, row = facts.assessment.rules, facts.readings, facts.row

    def words(k: int, stage: Stage, onset: Onset = NO_ONSET) -> str:
        rule, value = rules[k], float(facts.assessment.value[row, k])
        if rule.cause == "feed":
            return feed_text(facts.stay, rule, stage, readings, row)
        if rule.cause == "record":
            return record_text(stage, facts.unrecorded)
        if rule.cause == "clock":
            return clock_text(stage, value)
        if rule.cause == "ahead":
            return ahead_text(rule, stage, value, facts.next_limits)
        return alert_text(facts.stay, rule, stage, value, _detail(facts, rule), onset)

    return words


def _detail(facts: Facts, rule: Rule) -> Detail:
    row = facts.row
    detail = Detail(float(facts.readings.time[row]), weak=facts.weak)
    if rule.cause == "drift" and facts.pose is not None:
        return replace(detail, moved_m=float(getattr(facts.pose, rule.subject)[row]))
    if facts.lines is None or rule.cause not in ("steep", "tension"):
        return detail
    column = next(at for at, line in enumerate(facts.stay.lines) if line.id == rule.subject)
    if rule.cause == "steep":
        return replace(detail, leads_down=not facts.lines.vertical_deg[row, column] < 0.0)
    measured = float(facts.readings.column(f"tension.{rule.subject}")[row])
    return replace(detail, measured_kn=measured, computed_kn=float(facts.lines.tension_kn[row, column]))


def alert_text(
    stay: Stay,
    rule: Rule,
    stage: Stage,
    value: float,
    detail: Detail = NO_DETAIL,
    onset: Onset = NO_ONSET,
) -> str:
    """`Line 3 at 88 % of its stretch allowance (warning from 85 %)`; where the value is better than the limit
    again, what it was when it reached it: `at 82 % of its stretch allowance, was 86 % (...)`. At the normal
    stage, in the past tense, when it came back within limits and with what value."""
    if rule.cause == "calculation":
        return "Calculation works again" if not stage else f"{no_answer(value)}: tend by eye"
    written = _written(stay, rule)
    who, what = PHRASES.get(rule.cause, anything)(stay, rule, value, detail)
    if not stage:
        return f"{who.rstrip(':')} {_back(rule, value, detail, stay, written)}"
    better = isfinite(onset.was) and not _reaches(rule, stage, value)
    was = f", was {written(onset.was)}" if better and written(onset.was) != written(value) else ""
    since = onset.unanswered_since
    asks = "" if since is None else f", nobody has answered since {clock(since, stay.display)}"
    return f"{who} {what}{was}{_limit_text(rule, stage, written)}{asks}"


def _back(rule: Rule, value: float, detail: Detail, stay: Stay, written: Callable[[float], str]) -> str:
    """`back within limits 08:00, stretch 66 % then (caution from 70 %)`."""
    at = f" {clock(detail.time, stay.display)}" if isfinite(detail.time) else ""
    if rule.cause == "steep" and value == 0.0:
        return f"hung slack{at}: no lead to watch"
    noun = f"{NOUN[rule.cause]} " if rule.cause in NOUN else ""
    then = f", {noun}{written(value)} then" if isfinite(value) else ""
    return f"back within limits{at}{then}{_limit_text(rule, Stage.NORMAL, written)}"


def _reaches(rule: Rule, stage: Stage, value: float) -> bool:
    """Whether a value is at the limit of a stage or beyond; not so only where both are known."""
    return not (value - rule.limits[stage - 1]) * rule.sense < 0.0


def no_answer(value: float) -> str:
    """Why the calculation has no answer, by the value of its alert."""
    if value == NoAnswer.NOTHING_HOLDS:
        return "By these figures nothing holds her, look at her lines"
    return "No balance found" if value == NoAnswer.NOT_BALANCED else "Calculation failed"


def feed_text(stay: Stay, rule: Rule, stage: Stage, readings: Readings, row: int) -> str:
    """`Input lost: gauges: tide silent 310 s; blind: all lines, under-keel clearance`."""
    fitted = {source.channel for feed in stay.feeds if feed.name == rule.subject for source in feed.channels}
    columns = [at for at, name in enumerate(readings.channels) if name in fitted]
    quality, reason = readings.quality[row], readings.reason[row]
    lost = [at for at in columns if quality[at] == Quality.LOST and reason[at] != Reason.WAITING]
    expected = [at for at in columns if reason[at] == Reason.EXPECTED]
    waiting = [at for at in columns if reason[at] == Reason.WAITING]
    doubtful = [at for at in columns if quality[at] == Quality.SUSPECT and at not in expected]
    if stage > Stage.CAUTION and expected and not lost:
        return stands_in(readings, row, expected, stay)
    if stage > Stage.CAUTION and lost + expected:
        blind = blind_without(stay, [readings.channels[at] for at in lost])
        blindness = f"; blind: {', '.join(blind)}" if blind else ""
        return f"Input lost: {rule.subject}: {trouble(readings, row, lost + expected)}{blindness}"
    if stage and lost + expected + doubtful:
        return f"Input doubtful: {rule.subject}: {trouble(readings, row, lost + expected + doubtful)}"
    if stage and waiting:
        return f"Waiting for input: {rule.subject}: {trouble(readings, row, waiting)}"
    return f"Input back: {rule.subject}"


def stands_in(readings: Readings, row: int, columns: Sequence[int], stay: Stay) -> str:
    """`Tide gauge silent since 22:40: predicted tide stands in`, of the channels that are expected."""
    names = " and ".join(channel_words(readings.channels[at]) for at in columns)
    age = float(readings.age[row, columns].max())
    since = float(readings.time[row]) - age
    silent = f" silent since {clock(since, stay.display)}" if isfinite(age) else " not heard"
    gauge = f"{names} gauge{silent}"
    return f"{gauge[:1].upper()}{gauge[1:]}: predicted {names} stands in"


def record_text(stage: Stage, unrecorded: str) -> str:
    """`Not on record: journal (disk full)`; what is not known to be lacking is on record again."""
    if not stage:
        return "All is on record again"
    return f"Not on record: {unrecorded}" if unrecorded else "Was not on record for a while"


def clock_text(stage: Stage, seconds: float) -> str:
    """`The clock was set back: times here run 5 h 45 min ahead, and so do tide and plan`."""
    if not stage:
        return "Times are those of the clock again"
    return f"The clock was set back: times here run {clock_span(seconds)} ahead, and so do tide and plan"


def ahead_text(rule: Rule, stage: Stage, minutes: float, next_limits: Sequence[NextLimit]) -> str:
    """`Line 3 expected at warning of stretch in 42 min`."""
    who = f"Line {rule.subject}" if rule.subject else "Ship"
    limit = next((each for each in next_limits if each.subject == rule.subject), None)
    if not stage or limit is None or not isfinite(minutes):
        return f"{who}: no limit expected soon any more"
    cause = limit.cause.replace("_", " ")
    of = f" {limit.of}" if limit.of and limit.of != rule.subject else ""
    when = f"in {minutes:.0f} min" if minutes >= 0.5 else "now"
    return f"{who} expected at {limit.stage.word} of {cause}{of} {when}"


def _written(stay: Stay, rule: Rule) -> Callable[[float], str]:
    """How a value or limit of this rule is written: in the unit in which its text tells the value."""
    if rule.cause == "tension":
        wll = line_of(stay, rule).smallest_wll_kn
        return lambda share: force_text(share * wll, stay.display)
    return lambda value: quantity(value, rule.unit)


def _limit_text(rule: Rule, stage: Stage, written: Callable[[float], str]) -> str:
    """` (warning from 85 %)`; at the normal stage that of the first stage used."""
    used = [at for at in (Stage.CAUTION, Stage.WARNING, Stage.ALARM) if not isnan(rule.limits[at - 1])]
    shown = stage if stage in used else (used[0] if used and not stage else None)
    if shown is None:
        return ""
    side = "from" if rule.sense > 0 else "below"
    apart = " apart" if rule.cause == "tension" else ""
    return f" ({shown.word} {side} {written(rule.limits[shown - 1])}{apart})"
