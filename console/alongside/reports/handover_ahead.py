"""What comes in the next hours: high and low waters, limits to come, tending rounds, cargo."""

from collections.abc import Iterable, Iterator
from typing import Final

import numpy as np

from alongside.cycle.picture import Picture
from alongside.forecast.expected.ensemble import nodes_of
from alongside.forecast.model import LimitAhead, RoundAhead
from alongside.forecast.round_words import worth_saying
from alongside.forecast.tide.prediction import expected_level, tide_table
from alongside.forecast.wind_words import wind_words
from alongside.forecast.words import ROUNDS, AheadWords, limit_name, past_limits, titled
from alongside.readings import Floats
from alongside.reports.handover_alerts import stages_now
from alongside.stay.stage import Stage
from alongside.wording.figures import counted, metres
from alongside.wording.marks import MARKS
from alongside.wording.safe import safe
from alongside.wording.times import DayClock, span

STEP_S: Final = 300.0
LENGTHS_AS_THEY_ARE: Final = "limits below are for the lengths as they are, without the rounds"

Row = tuple[float, int, str]
"""Time, rank among rows of one time (least first), text."""


def hours_ahead(picture: Picture, hours: float, clock: DayClock) -> list[str]:
    """Return what comes: by the forecast where there is one, else by tide table and cargo plan alone."""
    end = picture.time + hours * 3600.0
    rows = [*_cargo(picture, end)]
    forecast = picture.forecast
    if forecast is None or forecast.reason:
        rows += _water(*_by_table(picture, end), "by the table")
        why = forecast.reason if forecast is not None else "not calculated"
        return [*_stamped(rows, clock), f"Ahead: {safe(why)}"]
    here = (forecast.times >= picture.time) & (forecast.times <= end)
    rows += _water(forecast.times[here], forecast.tide.expected[here], "expected")
    words = AheadWords(picture.stay.display, picture.time)
    limits = [*_limits(picture, forecast.limits, end, words)]
    rows += limits
    rounds = worth_saying(forecast.tending.rounds)
    rows += _rounds(picture, rounds, end, words)
    texts = _stamped(rows, clock)
    if limits:
        texts.insert(0, LENGTHS_AS_THEY_ARE)
    over = past_limits(picture.alerts, forecast.tending.within)
    rest = [row for row in words.tending(forecast, over) if row[0] not in (*ROUNDS, "metres")]
    wind = wind_words(forecast, picture.stay.display, picture.time)
    return [*wind, *texts, *_later(rounds, end, words), *titled(rest)]


def _later(rounds: Iterable[RoundAhead], end: float, words: AheadWords) -> Iterator[str]:
    """Return how many rounds come after these hours: what follows speaks of them too."""
    later = [each for each in rounds if not _is_here(each, end)]
    if later:
        yield f"later {counted(len(later), 'round')}, from {words.clock(later[0].not_before)} on"


def _is_here(each: RoundAhead, end: float) -> bool:
    return each.overdue or each.not_before <= end


def _stamped(rows: Iterable[Row], clock: DayClock) -> list[str]:
    return [f"{clock(time)}  {safe(text)}" for time, _, text in sorted(rows)]


def _rounds(picture: Picture, rounds: Iterable[RoundAhead], end: float, words: AheadWords) -> Iterator[Row]:
    for each in rounds:
        if _is_here(each, end):
            # The metres are those of the latest time; they do not serve before `lengths_from`.
            yield max(each.not_before, each.lengths_from, picture.time), 0, words.round(each)


def _limits(picture: Picture, limits: Iterable[LimitAhead], end: float, words: AheadWords) -> Iterator[Row]:
    """Limits to come. One that is reached now is no news: its alert stands above."""
    reached = stages_now(picture.alerts)
    rows: dict[tuple[str, str, str], LimitAhead] = {}
    for limit in limits:
        stands = limit.standing or reached.get((limit.cause, limit.subject), Stage.NORMAL) >= limit.stage
        if stands or limit.expected is None or not picture.time < limit.expected <= end:
            continue
        # Stages that come in one minute are one row, of the worst.
        key = limit.cause, limit.subject, words.clock(limit.expected)
        if key not in rows or limit.stage > rows[key].stage:
            rows[key] = limit
    for limit in rows.values():
        what = f"{MARKS[limit.stage]} {limit_name(limit)}: {limit.stage.word} ({words.likely(limit)})"
        yield limit.expected or 0.0, 1 + limit.stage, what


def _by_table(picture: Picture, end: float) -> tuple[Floats, Floats]:
    """Times and levels of the tide table; NaN where there is none."""
    times = np.arange(picture.time, end + 1.0, STEP_S)
    if picture.stay.tide is None:
        return times, np.full(times.size, np.nan)
    return times, expected_level(tide_table(picture.stay.tide), times, nodes_of(picture.stay)).metres


def _water(times: Floats, level: Floats, how: str) -> Iterator[Row]:
    """High and low waters; where there is none, the height at the end."""
    known = np.flatnonzero(np.isfinite(level))
    if not known.size:
        return
    times, level = times[known], level[known]
    slope = np.sign(np.diff(level))
    turns = np.flatnonzero(slope[:-1] * slope[1:] < 0.0) + 1
    for turn in turns.tolist():
        what = "high water" if slope[turn - 1] > 0.0 else "low water"
        yield float(times[turn]), 0, f"{what} {metres(level[turn])} {how}"
    if not turns.size:
        yield float(times[-1]), 0, f"tide {metres(level[-1])} {how}"


def _cargo(picture: Picture, end: float) -> Iterator[Row]:
    now = picture.time
    for operation in picture.stay.cargo:
        doing = "loading" if operation.tonnes > 0.0 else "discharging"
        what = f"{operation.name}: {doing} {abs(operation.tonnes):.0f} t at {operation.rate:.0f} t/h"
        if now < operation.start <= end:
            yield operation.start, 0, f"{what} begins by plan"
        elif operation.start <= now < operation.end:
            yield now, 0, f"{what} continues, {span(operation.end - now)} left by plan"
        if now < operation.end <= end:
            yield operation.end, 0, f"{operation.name}: done by plan"
