"""The stay in plain words, for who reads no further."""

from collections.abc import Iterator, Sequence
from math import isfinite
from statistics import median

import numpy as np

from alongside.reports.stay.alert_courses import AlertCourse
from alongside.reports.stay.figures import LineFigures, peak
from alongside.reports.stay.record_arrays import Gathered
from alongside.reports.stay.shown import Shown, number, percent, span
from alongside.reports.stay.wind_held import WindHeld
from alongside.stay.stage import Stage

NONE_ACKNOWLEDGED = "None of the warnings and alarms was acknowledged."


def summary(
    told: Gathered,
    lines: Sequence[LineFigures],
    alerts: Sequence[AlertCourse],
    held: WindHeld | None,
) -> tuple[str, ...]:
    """One sentence or two on each thing that a superintendent asks first."""
    shown = Shown(told.stay.display)
    parts = (
        _stay(told, shown),
        _watch(told),
        _water(told),
        _wind(told, held, shown),
        _hardest(lines, shown),
        _stages(lines),
        answers(alerts),
        _tended(lines),
    )
    return tuple(text for part in parts for text in part)


def _stay(told: Gathered, shown: Shown) -> Iterator[str]:
    stay = told.stay
    yield (
        f"{stay.ship.name} lay {stay.alongside} side to {stay.berth.name}, held by {len(told.lines)} lines. "
        f"The record runs from {shown.day_and_minute(told.begin)} to {shown.day_and_minute(told.end)} "
        f"{shown.zone_name} ({span(told.end - told.begin)})."
    )


def _watch(told: Gathered) -> Iterator[str]:
    watched = float(told.stands.sum())
    gaps = [event for event in told.events if event.event == "gap" and (event.value or 0.0) > 0.0]
    if not watched:
        yield "Too few states are on record to say how long anything lasted."
        return
    if not gaps:
        yield f"States are on record for {span(watched)} of it; no gap in the watch was told."
        return
    longest = max(event.value or 0.0 for event in gaps)
    yield (
        f"States are on record for {span(watched)} of it; {_count(len(gaps), 'gap')} in the watch, "
        f"the longest of {span(longest)}. Nothing is known of the lines in the gaps."
    )


def _water(told: Gathered) -> Iterator[str]:
    tide = told.number["tide"]
    if np.isfinite(tide).any():
        low, high = float(np.nanmin(tide)), float(np.nanmax(tide))
        yield f"The tide stood between {number(low, 2)} m and {number(high, 2)} m above chart datum."
    draughts = [_first_and_last(told, name) for name in ("draught_fwd", "draught_aft")]
    if all(draughts):
        (fwd0, fwd1), (aft0, aft1) = (pair for pair in draughts if pair)
        yield (
            f"Draughts went from {fwd0:.2f} m forward and {aft0:.2f} m aft to {fwd1:.2f} m and {aft1:.2f} m."
        )


def _first_and_last(told: Gathered, name: str) -> tuple[float, float] | None:
    known = told.number[name][np.isfinite(told.number[name])]
    return (float(known[0]), float(known[-1])) if known.size else None


def _wind(told: Gathered, held: WindHeld | None, shown: Shown) -> Iterator[str]:
    most = peak(told.time, told.number["wind_ms"])
    gust = peak(told.time, told.number["wind_gust_ms"])
    if most.value != most.value:
        yield "No wind is on record."
        return
    yield (
        f"The wind reached {shown.speed(most.value)} (30 s mean) at {shown.minute(most.time)}; "
        f"the highest gust was {shown.speed(gust.value)}."
    )
    if held is not None and np.isfinite(held.share).any():
        used = peak(held.time, held.share)
        yield (
            f"At most it took {percent(used.value)} of what the set could hold from where it blew, "
            f"at {shown.minute(used.time)}."
        )


def _hardest(lines: Sequence[LineFigures], shown: Shown) -> Iterator[str]:
    known = [line for line in lines if line.stretch_share.value == line.stretch_share.value]
    if not known:
        yield "Nothing is on record of the stretch of any line."
        return
    most = max(known, key=lambda line: line.stretch_share.value)
    used, load = percent(most.stretch_share.value), shown.force(most.tension_kn.value)
    yield (
        f"Line {most.line.id} ({most.line.role}) used most of its stretch: {used} of its allowance at "
        f"{shown.minute(most.stretch_share.time)}. Its highest load was {load}, "
        f"{percent(most.load_share.value)} of its working load limit."
    )


def _stages(lines: Sequence[LineFigures]) -> Iterator[str]:
    for stage in (Stage.ALARM, Stage.WARNING, Stage.CAUTION):
        here = [line for line in lines if line.worst is stage]
        if here:
            ids = ", ".join(line.line.id for line in here)
            total = sum(line.stage_s[stage] for line in here)
            which, whose = ("Line", "its") if len(here) == 1 else ("Lines", "their")
            yield f"{which} {ids} came to {stage.word} by {whose} limits, for {span(total)} in all."
    quiet = [line.line.id for line in lines if line.worst is Stage.NORMAL]
    if quiet:
        which = "Line" if len(quiet) == 1 else "Lines"
        yield f"{which} {', '.join(quiet)} stayed normal in all that is on record."


def answers(alerts: Sequence[AlertCourse]) -> Iterator[str]:
    if not alerts:
        yield "No alert was raised."
        return
    counts = {stage: sum(one.worst is stage for one in alerts) for stage in Stage}
    by_stage = [
        _count(counts[stage], stage.word)
        for stage in (Stage.ALARM, Stage.WARNING, Stage.CAUTION)
        if counts[stage]
    ]
    yield f"{_count(len(alerts), 'alert')} raised: {', '.join(by_stage)} at their worst."
    calling = [one for one in alerts if one.calls]
    waits = [one.answered_after for one in calling if isfinite(one.answered_after)]
    in_part = sum(one.answered_in_part for one in calling)
    if waits or (calling and not in_part):
        yield _acknowledged(len(calling), waits)
    if in_part:
        yield _in_part(len(calling), in_part, len(waits))


def _acknowledged(calling: int, waits: Sequence[float]) -> str:
    """How many of the warnings and alarms were acknowledged, and how soon."""
    if not waits:
        return "The one warning or alarm was not acknowledged." if calling == 1 else NONE_ACKNOWLEDGED
    if calling == 1:
        return f"The one warning or alarm was acknowledged after {span(waits[0])}."
    if len(waits) == 1:
        return f"1 of {calling} warnings and alarms was acknowledged, after {span(waits[0])}."
    return (
        f"{len(waits)} of {calling} warnings and alarms were acknowledged, half of them within "
        f"{span(median(waits))}, the slowest after {span(max(waits))}."
    )


def _in_part(calling: int, in_part: int, whole: int) -> str:
    """How many were acknowledged and then grew worse unanswered, beside `whole` answered to the end."""
    which = f"{in_part} more" if whole else f"{in_part} of {calling} warnings and alarms"
    which = "The one warning or alarm" if calling == 1 else which
    was, it = ("was", "it") if in_part == 1 else ("were", "they")
    return f"{which} {was} acknowledged at first, but not again when {it} grew worse."


def _tended(lines: Sequence[LineFigures]) -> Iterator[str]:
    tended = [line for line in lines if line.tendings]
    if not tended:
        yield "No line was tended."
        return
    each = ", ".join(f"{line.line.id} ({line.tendings})" for line in tended)
    total = sum(line.tendings for line in tended)
    yield f"{_count(total, 'tending')} on record, by line: {each}."


def _count(count: int, one: str, many: str = "") -> str:
    return f"{count} {one}" if count == 1 else f"{count} {many or one + 's'}"
