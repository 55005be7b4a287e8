"""Readings as far as they can be believed: doubts marked, gauges that are silent or set aside carried on."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from alongside.actions import Action
from alongside.cycle.plausibility.by_hand import HandReadings
from alongside.cycle.plausibility.carried_on import carried_on
from alongside.cycle.plausibility.hand_serves import with_hand_words, with_readings_by_hand
from alongside.cycle.plausibility.judge import Verdict, judged, verdict_of
from alongside.cycle.plausibility.model import Doubt, Plausibility
from alongside.cycle.plausibility.sudden import with_sudden_jumps
from alongside.forecast.expected.witnesses import Witnesses
from alongside.forecast.tide.stand_in import Samples, with_stand_in
from alongside.readings import DOUBTS, Floats, Quality, Readings, Reason
from alongside.stay.channels import derived_channel
from alongside.wording.doubts import SET_ASIDE, doubt_text


@dataclass(frozen=True, slots=True)
class Belief:
    """Readings with their doubts, and what is remembered. `verdicts` by row, the first at row 0."""

    readings: Readings
    memory: Plausibility
    residuals: Samples
    verdicts: tuple[Verdict, ...] = ()

    def doubts(self, row: int) -> tuple[Doubt, ...]:
        """Return what stands against which channel at one instant; a channel set aside has no doubt any
        more."""
        verdict = next((each for each in reversed(self.verdicts) if each.row <= row), None)
        if verdict is None:
            return ()
        return tuple(doubt for doubt in verdict.doubts if doubt.channel not in verdict.set_aside)


def believed(
    witnesses: Witnesses,
    memory: Plausibility,
    residuals: Samples,
    readings: Readings,
    actions: Sequence[Action] = (),
    closed: Sequence[str] = (),
    by_hand: HandReadings = (),
) -> Belief:
    """Judge n instants of readings. `residuals` are the (time, measured minus predicted level) samples of the
    tide's stand-in, `closed` names feeds whose port is not open, `by_hand` is all that was read by hand.

    How finely instants are cut into blocks makes no difference. A channel that nobody doubts, and that is
    heard, is as it came.
    """
    before = memory
    memory, verdicts = judged(witnesses, memory, readings, actions, by_hand)
    verdicts = with_sudden_jumps(witnesses, before, readings, verdicts)
    readings = _shut(witnesses, readings, closed)
    if any(verdict.doubts or verdict.set_aside for verdict in verdicts):
        readings = _marked(readings, verdicts)
        whys = tuple((verdict.row, _whys(witnesses, verdict)) for verdict in verdicts)
        readings = replace(readings, whys=whys)
    if witnesses.tide is not None:
        readings, residuals = with_stand_in(witnesses.tide, readings, residuals)
        readings = _by_believed_surge(witnesses, readings, verdicts)
    readings = carried_on(witnesses, readings, verdicts)
    readings = with_readings_by_hand(witnesses, readings, by_hand, verdicts)
    readings = with_hand_words(witnesses.stay.display, readings)
    return Belief(readings, memory, residuals, verdicts)


def with_doubts(witnesses: Witnesses, memory: Plausibility, readings: Readings) -> Belief:
    """Return readings that are marked already, as a record has them, with the doubts of the memory that was
    kept with or before them. A doubt counts where its channel is marked doubtful at the last instant."""
    marked = {
        channel
        for channel, reason in zip(readings.channels, readings.reason[-1].tolist(), strict=True)
        if reason in DOUBTS
    }
    verdict = verdict_of(memory)
    verdict = replace(verdict, doubts=tuple(each for each in verdict.doubts if each.channel in marked))
    if verdict.doubts or verdict.set_aside:
        readings = replace(readings, whys=((0, _whys(witnesses, verdict)),))
    readings = with_hand_words(witnesses.stay.display, readings)
    return Belief(readings, memory, (), (verdict,))


def tide_residual(witnesses: Witnesses, readings: Readings) -> Floats:
    """Return by how much the tide gauge stands above its table, m (n,); NaN where it is not measured, or
    nothing predicts it."""
    if "tide" not in readings.channels:
        return np.full(len(readings), np.nan)
    at = readings.channels.index("tide")
    measured = np.isin(readings.quality[:, at], (Quality.GOOD, Quality.SUSPECT))
    residual: Floats = np.where(measured, readings.value[:, at] - witnesses.table(readings.time), np.nan)
    return residual


def _by_believed_surge(witnesses: Witnesses, readings: Readings, verdicts: tuple[Verdict, ...]) -> Readings:
    """Return readings with an expected tide, where its gauge was in doubt or is set aside, by the table and
    the surge that was believed before: what it said until the doubt began may have been wrong already."""
    if "tide" not in readings.channels:
        return readings
    at = readings.channels.index("tide")
    value = readings.value.copy()
    until = len(readings)
    for verdict in reversed(verdicts):
        rows = slice(verdict.row, until)
        until = verdict.row
        in_doubt = "tide" in verdict.set_aside or any(each.channel == "tide" for each in verdict.doubts)
        if not in_doubt or np.isnan(verdict.residual):
            continue
        level = witnesses.table(readings.time[rows]) + verdict.residual
        stands_in = (readings.reason[rows, at] == Reason.EXPECTED) & np.isfinite(level)
        value[rows, at] = np.where(stands_in, level, value[rows, at])
    return replace(readings, value=value)


def _shut(witnesses: Witnesses, readings: Readings, closed: Sequence[str]) -> Readings:
    """Good values of a feed whose port is not open: the last ones, doubtful at once."""
    if not closed:
        return readings
    shut = {
        source.channel for feed in witnesses.stay.feeds if feed.name in closed for source in feed.channels
    }
    shut |= {name for channel in shut if (name := derived_channel(channel))}
    here = np.array([name in shut for name in readings.channels])
    rows = (readings.quality == Quality.GOOD) & here
    if not rows.any():
        return readings
    quality = np.where(rows, np.int8(Quality.SUSPECT), readings.quality)
    reason = np.where(rows, np.int8(Reason.CLOSED), readings.reason)
    return replace(readings, quality=quality, reason=reason)


def _marked(readings: Readings, verdicts: tuple[Verdict, ...]) -> Readings:
    """Doubtful channels suspect with their first reason, those set aside lost."""
    value, quality, reason = readings.value.copy(), readings.quality.copy(), readings.reason.copy()
    place = {name: at for at, name in enumerate(readings.channels)}
    until = len(readings)
    for verdict in reversed(verdicts):
        rows = slice(verdict.row, until)
        until = verdict.row
        for doubt in sorted(verdict.doubts, key=lambda doubt: doubt.since, reverse=True):
            for name in (doubt.channel, derived_channel(doubt.channel) or doubt.channel):
                at = place.get(name)
                if at is None or doubt.channel in verdict.set_aside:
                    continue
                heard = np.isin(quality[rows, at], (Quality.GOOD, Quality.SUSPECT))
                quality[rows, at] = np.where(heard, Quality.SUSPECT, quality[rows, at])
                reason[rows, at] = np.where(heard, doubt.reason, reason[rows, at])
        derived = (derived_channel(name) or name for name in verdict.set_aside)
        for name in (*verdict.set_aside, *derived):
            at = place.get(name)
            if at is not None:
                value[rows, at], quality[rows, at] = np.nan, Quality.LOST
                reason[rows, at] = np.where(reason[rows, at] == Reason.NONE, Reason.DIFFERS, reason[rows, at])
    return replace(readings, value=value, quality=quality, reason=reason)


def _whys(witnesses: Witnesses, verdict: Verdict) -> dict[str, str]:
    """Why each doubtful channel is, in words: the doubt that came first, as `_marked` has its reason;
    and which are set aside."""
    display = witnesses.stay.display
    whys: dict[str, str] = {}
    for doubt in sorted(verdict.doubts, key=lambda doubt: doubt.since):
        if doubt.channel not in verdict.set_aside:
            figures = doubt.off, doubt.against, doubt.likely, doubt.hours, doubt.since
            whys.setdefault(doubt.channel, doubt_text(doubt.reason.name, doubt.channel, *figures, display))
    return whys | dict.fromkeys(verdict.set_aside, SET_ASIDE)
