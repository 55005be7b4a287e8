"""Texts of alerts in the words of the trade, in the units of the stay's display."""

from collections.abc import Callable, Sequence
from math import isfinite, isnan
from typing import Final

import numpy as np

from console.alerts.hearing import blind_without, feed_events, trouble
from console.alerts.step import Describe
from console.assessment import Assessment, Rule, Soon, Stage
from console.mechanics.reasons import NoAnswer
from console.mechanics.state import LineStates
from console.readings import Quality, Readings, Reason
from console.stay.model import Display, Line, Stay
from console.units import tonnes_force

__all__ = ["alert_text", "describe", "feed_events", "feed_text", "force_text", "percent"]

UNKNOWN: Final = "—"


def describe(
    stay: Stay,
    rules: Sequence[Rule],
    assessment: Assessment,
    readings: Readings,
    row: int,
    lines: LineStates | None = None,
    unrecorded: str = "",
    soon: Sequence[Soon] = (),
) -> Describe:
    """The function that words rule k at a stage, at one instant (row) of a block. With `lines` a steep line
    is said to lead up or down; its value alone does not tell. `unrecorded` says what is not on record,
    `soon` what is expected."""
    place = {line.id: column for column, line in enumerate(stay.lines)}

    def words(k: int, stage: Stage) -> str:
        rule = rules[k]
        if rule.cause == "feed":
            return feed_text(stay, rule, stage, readings, row)
        if rule.cause == "record":
            return record_text(stage, unrecorded)
        if rule.cause == "soon":
            return soon_text(rule, stage, float(assessment.value[row, k]), soon)
        way = ""
        if rule.cause == "steep" and lines is not None:
            way = " up" if lines.vertical_deg[row, place[rule.subject]] < 0.0 else " down"
        return alert_text(stay, rule, stage, float(assessment.value[row, k]), way)

    return words


def alert_text(stay: Stay, rule: Rule, stage: Stage, value: float, way: str = "") -> str:
    """`Line 3 at 88 % of its stretch allowance (warning from 85 %)`; at the normal stage, that it is back.
    `way` follows the value: ` down` or ` up` of a steep line."""
    if rule.cause == "calculation":
        return "Calculation works again" if not stage else f"{no_answer(value)}: tend by eye"
    who, what = WORDS.get(rule.cause, _anything)(stay, rule, value)
    between = " back in band: " if not stage else " "
    return f"{who}{between}{what}{way}{_limit_text(rule, stage, _shown_limit(stay, rule))}"


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
    if stage > Stage.CAUTION and lost + expected:
        blind = blind_without(stay, [readings.channels[at] for at in lost])
        blindness = f"; blind: {', '.join(blind)}" if blind else ""
        return f"Input lost: {rule.subject}: {trouble(readings, row, lost + expected)}{blindness}"
    if stage and lost + expected + doubtful:
        return f"Input doubtful: {rule.subject}: {trouble(readings, row, lost + expected + doubtful)}"
    if stage and waiting:
        return f"Waiting for input: {rule.subject}: {trouble(readings, row, waiting)}"
    return f"Input back: {rule.subject}"


def record_text(stage: Stage, unrecorded: str) -> str:
    """`Not on record: journal (disk full)`; what is not known to be lacking is on record again."""
    if not stage:
        return "All is on record again"
    return f"Not on record: {unrecorded}" if unrecorded else "Was not on record for a while"


def soon_text(rule: Rule, stage: Stage, minutes: float, soon: Sequence[Soon]) -> str:
    """`Line 3 expected at warning of stretch in 42 min`."""
    who = f"Line {rule.subject}" if rule.subject else "Ship"
    limit = next((each for each in soon if each.subject == rule.subject), None)
    if not stage or limit is None or not isfinite(minutes):
        return f"{who}: no limit expected soon any more"
    cause = limit.cause.replace("_", " ")
    of = f" {limit.of}" if limit.of and limit.of != rule.subject else ""
    when = f"in {minutes:.0f} min" if minutes >= 0.5 else "now"
    return f"{who} expected at {limit.stage.word} of {cause}{of} {when}"


def force_text(kn: float, display: Display) -> str:
    """A load with its unit: `23.1 t`, `227 kN`."""
    if not isfinite(kn):
        return UNKNOWN
    return f"{tonnes_force(kn):.1f} t" if display.force == "t" else f"{kn:.0f} kN"


def percent(share: float) -> str:
    """`88 %`; below ten with a decimal where it has one, `0.6 %`."""
    if not isfinite(share):
        return f"{UNKNOWN} %"
    if abs(share) >= 0.0995:
        return f"{share * 100.0:.0f} %"
    return f"{share * 100.0:.1f}".rstrip("0").rstrip(".") + " %"


Phrase = Callable[[Stay, Rule, float], tuple[str, str]]
"""Who, and what is the matter, of a rule with a value (NaN: not known)."""


def _steep(_stay: Stay, rule: Rule, value: float) -> tuple[str, str]:
    return f"Line {rule.subject}", f"leads {_figure(value, 0)}°"


def _stretch(_stay: Stay, rule: Rule, value: float) -> tuple[str, str]:
    return f"Line {rule.subject}", f"at {percent(value)} of its stretch allowance"


def _load(stay: Stay, rule: Rule, value: float) -> tuple[str, str]:
    kn = value * _line(stay, rule).smallest_wll_kn
    return f"Line {rule.subject}", f"at {percent(value)} of its working load, {force_text(kn, stay.display)}"


def _slack(stay: Stay, rule: Rule, value: float) -> tuple[str, str]:
    if value == 0.0:
        return f"Line {rule.subject}", "hangs slack, no load"
    kn = value * _line(stay, rule).smallest_wll_kn
    load = force_text(kn, stay.display)
    return f"Line {rule.subject}", f"carries {load}, {percent(value)} of its working load"


def _brake(stay: Stay, rule: Rule, value: float) -> tuple[str, str]:
    line = _line(stay, rule)
    winch = stay.ship.winches[line.winch] if line.winch is not None else None
    holding = winch.brake_kn if winch is not None and winch.brake_kn is not None else float("nan")
    load = force_text(value * holding, stay.display)
    return f"Line {rule.subject}", f"at {percent(value)} of what its brake holds, {load}"


def _bollard(stay: Stay, rule: Rule, value: float) -> tuple[str, str]:
    swl = stay.berth.bollards[rule.subject].swl_kn or float("nan")
    ids = [line.id for line in stay.lines if line.bollard == rule.subject]
    lines = f"line {ids[0]}" if len(ids) == 1 else f"lines {', '.join(ids)}"
    load = force_text(value * swl, stay.display)
    return f"Bollard {rule.subject}", f"at {percent(value)} of its safe working load, {load} from {lines}"


def _under_keel(_stay: Stay, _rule: Rule, value: float) -> tuple[str, str]:
    return "Under-keel clearance", f"{_figure(value, 2)} m"


def _drift(_stay: Stay, rule: Rule, value: float) -> tuple[str, str]:
    way = "along the berth" if rule.subject == "surge" else "off or onto the berth"
    return "Ship", f"{_figure(value, 2)} m from her place {way}"


def _off_fenders(_stay: Stay, _rule: Rule, value: float) -> tuple[str, str]:
    return "Ship", f"{_figure(value, 2)} m off her fenders"


def _holding(_stay: Stay, _rule: Rule, value: float) -> tuple[str, str]:
    return "Wind", f"at {percent(value)} of what she is held against from there"


def _tension(stay: Stay, rule: Rule, value: float) -> tuple[str, str]:
    kn = value * _line(stay, rule).smallest_wll_kn
    return f"Line {rule.subject}", f"cell and computed load are {force_text(kn, stay.display)} apart"


def _anything(_stay: Stay, rule: Rule, value: float) -> tuple[str, str]:
    """A cause without words of its own: its name, subject, value and unit."""
    who = f"{rule.cause.replace('_', ' ').capitalize()} {rule.subject}".strip()
    return who, f"at {_quantity(value, rule.unit)}"


WORDS: Final[dict[str, Phrase]] = {
    "steep": _steep,
    "stretch": _stretch,
    "load": _load,
    "slack": _slack,
    "brake": _brake,
    "bollard": _bollard,
    "under_keel": _under_keel,
    "drift": _drift,
    "off_fenders": _off_fenders,
    "holding": _holding,
    "tension": _tension,
}


def _shown_limit(stay: Stay, rule: Rule) -> Callable[[float], str]:
    """How a limit of this rule is written: in the unit in which its text tells the value."""
    if rule.cause == "tension":
        wll = _line(stay, rule).smallest_wll_kn
        return lambda limit: force_text(limit * wll, stay.display)
    return lambda limit: _quantity(limit, rule.unit)


def _limit_text(rule: Rule, stage: Stage, written: Callable[[float], str]) -> str:
    """` (warning from 85 %)`; at the normal stage that of the first stage used."""
    used = [at for at in (Stage.CAUTION, Stage.WARNING, Stage.ALARM) if not isnan(rule.limits[at - 1])]
    shown = stage if stage in used else (used[0] if used and not stage else None)
    if shown is None:
        return ""
    side = "from" if rule.sense > 0 else "below"
    return f" ({shown.word} {side} {written(rule.limits[shown - 1])})"


def _quantity(value: float, unit: str) -> str:
    if not unit:
        return percent(value)
    if unit == "deg":
        return f"{_figure(value, 1).removesuffix('.0')}°"
    return f"{_figure(value, 2 if unit == 'm' else 0)} {unit}"


def _figure(value: float, digits: int) -> str:
    return f"{value:.{digits}f}" if np.isfinite(value) else UNKNOWN


def _line(stay: Stay, rule: Rule) -> Line:
    return next(line for line in stay.lines if line.id == rule.subject)
