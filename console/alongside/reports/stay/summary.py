"""The stay in plain words, for who reads no further."""

from collections.abc import Callable, Iterator, Sequence
from math import isfinite
from statistics import median
from typing import Final

import numpy as np

from alongside.record.words import MOST_BREAKS, break_text, missing_rows
from alongside.reports.stay.alert_history import AlertHistory
from alongside.reports.stay.holding_history import HoldingHistory
from alongside.reports.stay.line_figures import LineFigures, peak
from alongside.reports.stay.record_arrays import RecordArrays
from alongside.stay.model import Display
from alongside.stay.stage import Stage
from alongside.wording.figures import counted, force_text, metres, percent, speed_text
from alongside.wording.learnt import as_learnt_rows
from alongside.wording.names import channel
from alongside.wording.times import page_clock, span, zone_text

DAY: Final = "%d %B %Y %H:%M"
MINUTE: Final = "%d %b %H:%M"
MOST_ALARMS: Final = 6
"""More alarms than this are counted in the summary, and stand in the table of alerts."""
MEASURED: Final = {
    "tide": "tide",
    "draught_fwd": "draught_fwd",
    "draught_aft": "draught_aft",
    "wind_ms": "wind_speed",
}
"""Quantities of the record and the channels they come from: the summary says how long each was not known."""
LINE_EVENTS: Final = frozenset({"note", "parted", "made_fast", "let_go", "brake_slipped"})
"""Events on a line that the summary names."""
TWICE: Final = 2.0
"""Above this a share is said as so many times."""
NONE_ACKNOWLEDGED: Final = "None of the warnings and alarms was acknowledged."


def summary(
    arrays: RecordArrays,
    lines: Sequence[LineFigures],
    alerts: Sequence[AlertHistory],
    holding: HoldingHistory | None,
) -> tuple[str, ...]:
    """Return one sentence or two on each thing that a superintendent asks first."""
    display = arrays.stay.display
    parts = (
        _stay(arrays),
        _learnt(arrays),
        _altered(arrays),
        _watch(arrays),
        _water(arrays),
        _wind(arrays, holding, display),
        _not_known(arrays),
        _hardest(arrays, lines),
        _stages(lines),
        _alarms(alerts),
        _line_notes(arrays),
        answers(alerts),
        _tended(lines),
    )
    return tuple(text for part in parts for text in part)


def _clock(arrays: RecordArrays) -> Callable[[float, str], str]:
    """Return how the page writes times."""
    return page_clock(arrays.begin, arrays.end, arrays.stay.display)


def _stay(arrays: RecordArrays) -> Iterator[str]:
    stay, display = arrays.stay, arrays.stay.display
    clock = _clock(arrays)
    begin, end = (clock(time, DAY) for time in (arrays.begin, arrays.end))
    yield (
        f"{stay.ship.name} lay {stay.alongside} side to {stay.berth.name} on {len(arrays.lines)} lines. "
        f"The record runs from {begin} to {end} {zone_text(arrays.end, display)} "
        f"({span(arrays.end - arrays.begin)})."
    )


def _learnt(arrays: RecordArrays) -> Iterator[str]:
    """Which lines went by what the stay file says was learnt; what was accepted since stands in the log."""
    return (f"{row[0].upper()}{row[1:]}." for row in as_learnt_rows(arrays.stay))


def _altered(arrays: RecordArrays) -> Iterator[str]:
    """Which pieces are not there, and where the record is not as it was written."""
    yield from (f"{row}." for row in missing_rows(arrays.missing, arrays.stay.display))
    for each in arrays.chain.breaks[:MOST_BREAKS]:
        yield f"THE RECORD WAS CHANGED {break_text(each, arrays.stay.display)}."


def _watch(arrays: RecordArrays) -> Iterator[str]:
    watched = float(arrays.stands.sum())
    gaps = [event for event in arrays.events if event.event == "gap" and (event.value or 0.0) > 0.0]
    if not watched:
        yield "Too few states are on record to say how long anything lasted."
        return
    if not gaps:
        yield f"States are on record for {span(watched)} of it, without a gap."
        return
    longest = max(event.value or 0.0 for event in gaps)
    yield (
        f"States are on record for {span(watched)} of it; {counted(len(gaps), 'gap')} in the watch, "
        f"the longest of {span(longest)}. Nothing is known of the lines in the gaps."
    )


def _water(arrays: RecordArrays) -> Iterator[str]:
    tide = arrays.number["tide"]
    if np.isfinite(tide).any():
        low, high = metres(float(np.nanmin(tide))), metres(float(np.nanmax(tide)))
        yield f"The tide was between {low} and {high} above chart datum."
    fore, aft = (_first_and_last(arrays, name) for name in ("draught_fwd", "draught_aft"))
    if fore and aft:
        yield (
            f"Draughts went from {metres(fore[0])} forward and {metres(aft[0])} aft "
            f"to {metres(fore[1])} and {metres(aft[1])}."
        )


def _first_and_last(arrays: RecordArrays, name: str) -> tuple[float, float] | None:
    known = arrays.number[name][np.isfinite(arrays.number[name])]
    return (float(known[0]), float(known[-1])) if known.size else None


def _wind(arrays: RecordArrays, holding: HoldingHistory | None, display: Display) -> Iterator[str]:
    clock = _clock(arrays)
    most = peak(arrays.time, arrays.number["wind_ms"])
    gust = peak(arrays.time, arrays.number["wind_gust_ms"])
    if not isfinite(most.value):
        yield "No wind is on record."
        return
    yield (
        f"The highest wind was {speed_text(most.value, display)} (30 s mean), at "
        f"{clock(most.time, MINUTE)}; the highest gust was {speed_text(gust.value, display)}."
    )
    if holding is not None and np.isfinite(holding.share).any():
        used = peak(holding.time, holding.share)
        much = f"{used.value:.1f} times" if used.value > TWICE else f"{percent(used.value)} of"
        yield (
            f"At most the wind was {much} what the lines hold from where it blew, "
            f"at {clock(used.time, MINUTE)}."
        )


def _not_known(arrays: RecordArrays) -> Iterator[str]:
    """How long each quantity was missing, of those that are on record at all."""
    missing = {
        channel(name): float(arrays.stands[~np.isfinite(arrays.number[quantity])].sum())
        for quantity, name in MEASURED.items()
        if np.isfinite(arrays.number[quantity]).any()
    }
    parts = [f"{name} for {span(seconds)}" for name, seconds in missing.items() if seconds > 0.0]
    if parts:
        yield f"Not known: {', '.join(parts)}."


def _hardest(arrays: RecordArrays, lines: Sequence[LineFigures]) -> Iterator[str]:
    display, clock = arrays.stay.display, _clock(arrays)
    known = [line for line in lines if isfinite(line.stretch_share.value)]
    if not known:
        yield "Nothing is on record of the stretch of any line."
        return
    most = max(known, key=lambda line: line.stretch_share.value)
    yield (
        f"Line {most.line.id} ({most.line.role}) had the highest stretch: "
        f"{percent(most.stretch_share.value)} of its allowance, at "
        f"{clock(most.stretch_share.time, MINUTE)}. Its highest load was "
        f"{force_text(most.tension_kn.value, display)}, {percent(most.load_share.value)} of its "
        "working load limit."
    )


def _stages(lines: Sequence[LineFigures]) -> Iterator[str]:
    for stage in (Stage.ALARM, Stage.WARNING, Stage.CAUTION):
        here = [line for line in lines if line.worst is stage]
        if here:
            total = sum(line.stage_s[stage] for line in here)
            together = "" if len(here) == 1 else " together"
            yield f"{_lines(here)} came to {stage.word}, for {span(total)}{together}."
    quiet = [line for line in lines if line.worst is Stage.NORMAL]
    whole = [line for line in quiet if not line.unknown_s]
    if whole:
        yield f"{_lines(whole)} stayed normal in all that is on record."
    for line in (line for line in quiet if line.unknown_s):
        yield f"{_lines([line])} stayed normal while it was known; not known for {span(line.unknown_s)}."
    never = [line for line in lines if line.worst is None]
    if never:
        yield f"Nothing is on record of the loads of {_lines(never)[:1].lower()}{_lines(never)[1:]}."


def _lines(lines: Sequence[LineFigures]) -> str:
    return f"{'Line' if len(lines) == 1 else 'Lines'} {', '.join(line.line.id for line in lines)}"


def _alarms(alerts: Sequence[AlertHistory]) -> Iterator[str]:
    """What came to alarm, in the words of when it was worst."""
    texts = [one.text for one in alerts if one.worst is Stage.ALARM]
    if texts:
        more = f"; {len(texts) - MOST_ALARMS} more below" if len(texts) > MOST_ALARMS else ""
        yield f"Alarms: {'; '.join(texts[:MOST_ALARMS])}{more}."


def _line_notes(arrays: RecordArrays) -> Iterator[str]:
    """What happened to lines beside their tending: parted, run out over a brake."""
    notes = [event.text for event in arrays.events if event.event in LINE_EVENTS and event.line is not None]
    if notes:
        more = f"; {len(notes) - MOST_ALARMS} more below" if len(notes) > MOST_ALARMS else ""
        yield f"Also on record: {'; '.join(notes[:MOST_ALARMS])}{more}."


def answers(alerts: Sequence[AlertHistory]) -> Iterator[str]:
    """Return how many alerts were raised, how bad they became, and how soon they were acknowledged."""
    if not alerts:
        yield "No alert was raised."
        return
    counts = {stage: sum(one.worst is stage for one in alerts) for stage in Stage}
    by_stage = [
        counted(counts[stage], stage.word)
        for stage in (Stage.ALARM, Stage.WARNING, Stage.CAUTION)
        if counts[stage]
    ]
    yield f"{counted(len(alerts), 'alert')} raised: {', '.join(by_stage)} at their worst."
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
    """How many were acknowledged and not again when they worsened, beside `whole` acknowledged to the end."""
    which = f"{in_part} more" if whole else f"{in_part} of {calling} warnings and alarms"
    which = "The one warning or alarm" if calling == 1 else which
    was, it = ("was", "it") if in_part == 1 else ("were", "they")
    return f"{which} {was} acknowledged at first, but not again when {it} worsened."


def _tended(lines: Sequence[LineFigures]) -> Iterator[str]:
    tended = [line for line in lines if line.tendings]
    if not tended:
        yield "No line was tended."
        return
    each = ", ".join(f"{line.line.id} ({line.tendings})" for line in tended)
    yield f"{counted(sum(line.tendings for line in tended), 'tending')}, by line: {each}."
